#include "audio/device_choice.h"

#include <algorithm>

namespace bellhand::audio {

namespace {

constexpr int kMostChannelsOfAnInterface = 16;

int channels_of(const Device& device, Direction direction) noexcept {
    return direction == Direction::input ? device.inputs : device.outputs;
}

const char* word(Direction direction) noexcept {
    return direction == Direction::input ? "input" : "output";
}

std::string lower(std::string text) {
    for (char& c : text) {
        if (c >= 'A' && c <= 'Z') {
            c = static_cast<char>(c - 'A' + 'a');
        }
    }
    return text;
}

bool same(const Device& device, const std::string& wanted) {
    return lower(device.name) == wanted || lower(device.id) == wanted;
}

bool part(const Device& device, const std::string& wanted) {
    return lower(device.name).find(wanted) != std::string::npos ||
           lower(device.id).find(wanted) != std::string::npos;
}

Result<std::optional<std::size_t>>
by_index(const std::vector<Device>& devices, int index, Direction direction) {
    for (std::size_t i = 0; i < devices.size(); ++i) {
        if (devices[i].index != index) {
            continue;
        }
        if (channels_of(devices[i], direction) == 0) {
            return usage_error("Device " + std::to_string(index) + ", '" + devices[i].name +
                               "', has no " + word(direction) + "; choose one that has.");
        }
        return std::optional<std::size_t>(i);
    }
    return usage_error("There is no sound device " + std::to_string(index) +
                       "; the list of devices shows their numbers.");
}

Result<std::optional<std::size_t>>
by_name(const std::vector<Device>& devices, const std::string& name, Direction direction) {
    const std::string wanted = lower(name);
    std::optional<std::size_t> without_input;
    std::vector<std::size_t> parts;
    for (std::size_t i = 0; i < devices.size(); ++i) {
        if (channels_of(devices[i], direction) == 0) {
            if (same(devices[i], wanted)) {
                without_input = i;
            }
        } else if (same(devices[i], wanted)) {
            return std::optional<std::size_t>(i);
        } else if (part(devices[i], wanted)) {
            parts.push_back(i);
        }
    }
    if (without_input && parts.empty()) {
        return usage_error("'" + devices[*without_input].name + "' has no " + word(direction) +
                           "; choose a device that has.");
    }
    if (parts.size() > 1) {
        std::string fitting;
        for (const std::size_t i : parts) {
            fitting += (fitting.empty() ? "'" : ", '") + devices[i].name + "'";
        }
        return usage_error("The name '" + name + "' fits several " + word(direction) + "s (" +
                           fitting + "); write more of it.");
    }
    return parts.empty() ? std::optional<std::size_t>{} : parts.front();
}

} // namespace

DeviceIdentity identity_of(const std::vector<Device>& devices, std::size_t position) {
    DeviceIdentity out{devices[position].host_api, devices[position].id, devices[position].name, 0};
    for (std::size_t i = 0; i < position; ++i) {
        if (devices[i].host_api == out.host_api && devices[i].id == out.id) {
            ++out.ordinal;
        }
    }
    return out;
}

std::optional<std::size_t> find_again(const std::vector<Device>& devices,
                                      const DeviceIdentity& identity,
                                      Direction direction) {
    std::optional<std::size_t> found;
    int ordinal = 0;
    for (std::size_t i = 0; i < devices.size() && ordinal <= identity.ordinal; ++i) {
        if (channels_of(devices[i], direction) > 0 && devices[i].host_api == identity.host_api &&
            devices[i].id == identity.id) {
            found = i;
            ++ordinal;
        }
    }
    return found;
}

Result<std::optional<std::size_t>>
find_chosen(const std::vector<Device>& devices, const DeviceChoice& choice, Direction direction) {
    if (choice.index >= 0) {
        return by_index(devices, choice.index, direction);
    }
    if (!choice.name.empty()) {
        return by_name(devices, choice.name, direction);
    }
    const auto can = [direction](const Device& device) {
        return channels_of(device, direction) > 0;
    };
    const auto usual = std::find_if(devices.begin(), devices.end(), [&](const Device& device) {
        return can(device) &&
               (direction == Direction::input ? device.default_input : device.default_output);
    });
    const auto first = std::find_if(devices.begin(), devices.end(), can);
    const auto found = usual != devices.end() ? usual : first;
    if (found == devices.end()) {
        return std::optional<std::size_t>{};
    }
    return std::optional<std::size_t>(static_cast<std::size_t>(found - devices.begin()));
}

Result<std::size_t> DevicePicker::pick(const std::vector<Device>& devices) {
    const std::lock_guard<std::mutex> lock(mutex_);
    if (taken_) {
        if (const std::optional<std::size_t> again = find_again(devices, *taken_, direction_)) {
            return *again;
        }
        return failure("'" + taken_->name +
                       "' is not there now; it is taken again as soon as it is back.");
    }
    const Result<std::optional<std::size_t>> chosen = find_chosen(devices, choice_, direction_);
    if (!chosen) {
        return tl::unexpected<Error>(chosen.error());
    }
    if (!chosen->has_value()) {
        const std::string what = word(direction_);
        return failure(choice_.name.empty()
                           ? "No sound " + what +
                                 " was found; one that is plugged in is taken by itself."
                           : "There is no " + what + " '" + choice_.name +
                                 "' now; it is taken as soon as it is there.");
    }
    if (!choice_.name.empty() || choice_.index >= 0) { // the default one may be another next time
        taken_ = identity_of(devices, **chosen);
    }
    return **chosen;
}

std::string DevicePicker::name() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    if (taken_) {
        return taken_->name;
    }
    if (choice_.index >= 0) {
        return word(direction_) + (" " + std::to_string(choice_.index));
    }
    return choice_.name.empty() ? std::string("default ") + word(direction_) : choice_.name;
}

Result<void> check_channel(const Device& device, int channel) {
    if (channel < 0 || channel > device.inputs) {
        return usage_error("'" + device.name + "' has " + std::to_string(device.inputs) +
                           (device.inputs == 1 ? " channel" : " channels") +
                           ": there is no channel " + std::to_string(channel) + " (0 mixes all).");
    }
    return {};
}

int channels_to_open(const Device& device, int channel) noexcept {
    if (device.inputs <= kMostChannelsOfAnInterface) {
        return device.inputs;
    }
    return std::max(2, channel);
}

} // namespace bellhand::audio
