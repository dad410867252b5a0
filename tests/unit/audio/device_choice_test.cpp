#include "audio/device_choice.h"

#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::audio;

namespace {

Device device(int index, const char* api, const char* name, int inputs, int outputs = 0) {
    Device out;
    out.index = index;
    out.host_api = api;
    out.name = name;
    out.id = name;
    out.inputs = inputs;
    out.outputs = outputs;
    return out;
}

/// Invented devices.
std::vector<Device> some_devices() {
    std::vector<Device> out{device(0, "ALSA", "Screen speaker", 0, 2),
                            device(1, "ALSA", "USB interface", 2, 2),
                            device(2, "ALSA", "USB interface", 2, 2),
                            device(3, "ALSA", "default", 32, 32),
                            device(4, "PulseAudio", "Monitor of Built-in", 2),
                            device(5, "PulseAudio", "Built-in microphone", 1)};
    out[3].default_input = true;
    out[4].id = "builtin_out.monitor";
    return out;
}

std::optional<std::size_t> chosen(const std::string& name, int index = -1) {
    DeviceChoice choice;
    choice.name = name;
    choice.index = index;
    const auto found = find_chosen(some_devices(), choice);
    REQUIRE(found.has_value());
    return *found;
}

std::string refusal(const std::string& name, int index = -1) {
    DeviceChoice choice;
    choice.name = name;
    choice.index = index;
    const auto found = find_chosen(some_devices(), choice);
    REQUIRE_FALSE(found.has_value());
    CHECK(found.error().kind == ErrorKind::usage);
    return found.error().message;
}

} // namespace

TEST_SUITE("audio/device_choice") {
    TEST_CASE("a device is chosen by default, by number, by name in any case, by a part of the "
              "name, or by id") {
        CHECK(chosen("") == 3);
        CHECK(chosen("", 5) == 5);
        CHECK(chosen("built-in MICROPHONE") == 5);
        CHECK(chosen("microphone") == 5);
        CHECK(chosen("monitor of") == 4);
        CHECK(chosen("builtin_out.monitor") == 4);
        CHECK(chosen("usb interface") == 1); // the first of two equal ones
    }

    TEST_CASE("without a default the first device with inputs is taken, without any none") {
        std::vector<Device> devices = some_devices();
        devices[3].default_input = false;
        CHECK(*find_chosen(devices, {}) == std::optional<std::size_t>(1));
        CHECK(*find_chosen({device(0, "ALSA", "Screen speaker", 0, 2)}, {}) == std::nullopt);
        CHECK(*find_chosen({}, {}) == std::nullopt);
    }

    TEST_CASE("a device that is not there can be waited for") {
        CHECK(chosen("clip-on microphone") == std::nullopt);
    }

    TEST_CASE("choices that cannot be met are refused, each with its reason") {
        CHECK(refusal("", 9) ==
              "There is no sound device 9; the list of devices shows their numbers.");
        CHECK(refusal("", 0) == "Device 0, 'Screen speaker', has no input; choose one that has.");
        CHECK(refusal("screen speaker") ==
              "'Screen speaker' has no input; choose a device that has.");
        CHECK(refusal("built") == "The name 'built' fits several inputs ('Monitor of Built-in', "
                                  "'Built-in microphone'); write more of it.");
    }

    TEST_CASE("a device is found again by host, name and which of the equal ones, whatever its "
              "number now") {
        const std::vector<Device> before = some_devices();
        const DeviceIdentity second = identity_of(before, 2);
        CHECK(second.ordinal == 1);
        CHECK(find_again(before, second) == std::optional<std::size_t>(2));

        std::vector<Device> after{device(0, "JACK", "USB interface", 2),
                                  device(1, "ALSA", "Headset", 1),
                                  device(2, "ALSA", "USB interface", 2),
                                  device(3, "ALSA", "USB interface", 2)};
        CHECK(find_again(after, second) == std::optional<std::size_t>(3));
        after.pop_back(); // one of the two was unplugged: the other is better than none
        CHECK(find_again(after, second) == std::optional<std::size_t>(2));
        after.pop_back();
        CHECK(find_again(after, second) == std::nullopt);
    }

    TEST_CASE(
        "a named device is taken again, never another; the default may be another each time") {
        DeviceChoice choice;
        choice.name = "microphone";
        DevicePicker named(choice);
        CHECK(named.name() == "microphone");
        CHECK(*named.pick(some_devices()) == 5);
        CHECK(named.name() == "Built-in microphone");
        CHECK(named.pick({device(0, "ALSA", "Other microphone", 1)}).error().message ==
              "'Built-in microphone' is not there now; it is taken again as soon as it is back.");

        DevicePicker usual{DeviceChoice{}};
        CHECK(usual.name() == "default input");
        CHECK(*usual.pick(some_devices()) == 3);
        CHECK(*usual.pick({device(0, "ALSA", "Headset", 1)}) == 0);
        CHECK(usual.pick({}).error().message ==
              "No sound input was found; one that is plugged in is taken by itself.");
    }

    TEST_CASE("channels count from 1, and 0 mixes all") {
        const Device two = device(0, "ALSA", "Two", 2);
        CHECK(check_channel(two, 0).has_value());
        CHECK(check_channel(two, 2).has_value());
        CHECK(check_channel(two, 3).error().message ==
              "'Two' has 2 channels: there is no channel 3 (0 mixes all).");
        CHECK_FALSE(check_channel(two, -1).has_value());
    }

    TEST_CASE("real interfaces are opened whole, software devices as far as needed") {
        CHECK(channels_to_open(device(0, "ALSA", "Eight", 8), 1) == 8);
        CHECK(channels_to_open(device(0, "ALSA", "default", 32), 1) == 2);
        CHECK(channels_to_open(device(0, "ALSA", "default", 32), 0) == 2);
        CHECK(channels_to_open(device(0, "ALSA", "default", 32), 7) == 7);
    }
}
