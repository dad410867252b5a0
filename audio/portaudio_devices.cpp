#include "audio/device.h"
#include "audio/device_choice.h"
#include "audio/device_output.h"
#include "audio/device_source.h"
#include "audio/portaudio_driver.h"
#include "audio/portaudio_library.h"
#include "audio/sound_system.h"
#include "core/platform.h"

#include <future>
#include <memory>
#include <optional>
#include <string>
#include <thread>
#include <utility>

#include <portaudio.h>

namespace bellhand::audio {

namespace {

constexpr auto kListLimit = std::chrono::milliseconds(10000);
constexpr auto kGlanceLimit =
    std::chrono::milliseconds(3000); // a choice is checked by then, or later by itself

Result<std::vector<Device>> list_now(std::chrono::milliseconds limit) {
    const PortAudioTurn turn(limit);
    if (!turn.held()) {
        return failure("The computer's sound system is busy; try again in a moment.");
    }
    const platform::QuietErrors quiet;
    quiet_sound_libraries();
    if (const PaError error = Pa_Initialize(); error != paNoError) {
        return failure("The computer's sound system cannot be used: " + portaudio_error(error));
    }
    std::vector<Device> devices = devices_now();
    Pa_Terminate();
    return devices;
}

/// On a thread that can be left behind: a sound system that hangs must not take the caller with it.
Result<std::vector<Device>> list_within(std::chrono::milliseconds limit) {
    auto promise = std::make_shared<std::promise<Result<std::vector<Device>>>>();
    std::future<Result<std::vector<Device>>> listed = promise->get_future();
    std::thread([promise, limit] { promise->set_value(list_now(limit)); }).detach();
    if (listed.wait_for(limit) != std::future_status::ready) {
        return failure("The computer's sound system does not answer.");
    }
    return listed.get();
}

/// The device that a choice means now; empty = none now, or no sound system: it is waited for.
Result<std::optional<Device>> glance_at(const DeviceChoice& choice, Direction direction) {
    const Result<std::vector<Device>> devices = list_within(kGlanceLimit);
    if (!devices) {
        return std::optional<Device>{};
    }
    const Result<std::optional<std::size_t>> chosen = find_chosen(*devices, choice, direction);
    if (!chosen) {
        return tl::unexpected<Error>(chosen.error());
    }
    return chosen->has_value() ? std::optional<Device>((*devices)[**chosen]) : std::nullopt;
}

} // namespace

Result<std::vector<Device>> list_devices() {
    return list_within(kListLimit);
}

Result<std::unique_ptr<Source>> open_device(const DeviceChoice& choice) {
    if (choice.channel < 0) {
        return usage_error("There is no channel " + std::to_string(choice.channel) +
                           ": channels count from 1, and 0 mixes all.");
    }
    const Result<std::optional<Device>> device = glance_at(choice, Direction::input);
    if (!device) {
        return tl::unexpected<Error>(device.error());
    }
    if (device->has_value()) {
        if (const Result<void> there = check_channel(**device, choice.channel); !there) {
            return tl::unexpected<Error>(there.error());
        }
    }
    return std::make_unique<DeviceSource>(choice, &make_portaudio_input);
}

Result<std::unique_ptr<Output>> open_output(const DeviceChoice& choice) {
    if (const auto device = glance_at(choice, Direction::output); !device) {
        return tl::unexpected<Error>(device.error());
    }
    return std::make_unique<DeviceOutput>(choice, &make_portaudio_output);
}

} // namespace bellhand::audio
