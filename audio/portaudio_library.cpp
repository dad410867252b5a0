#include "audio/portaudio_library.h"

#include "audio/sound_system.h"

#include <condition_variable>
#include <mutex>
#include <string>
#include <utility>

#include <portaudio.h>

namespace bellhand::audio {

namespace {

struct Turnstile {
    std::mutex mutex;
    std::condition_variable freed;
    bool taken = false;
};

/// Never destroyed: a thread that was left behind may still hold it when the program ends.
Turnstile& turnstile() {
    static auto* const only = new Turnstile;
    return *only;
}

bool says_monitor(const std::string& name) {
    return name.find("onitor") != std::string::npos;
}

} // namespace

PortAudioTurn::PortAudioTurn() {
    std::unique_lock<std::mutex> lock(turnstile().mutex);
    turnstile().freed.wait(lock, [] { return !turnstile().taken; });
    turnstile().taken = true;
    held_ = true;
}

PortAudioTurn::PortAudioTurn(std::chrono::milliseconds limit) {
    std::unique_lock<std::mutex> lock(turnstile().mutex);
    held_ = turnstile().freed.wait_for(lock, limit, [] { return !turnstile().taken; });
    turnstile().taken = turnstile().taken || held_;
}

PortAudioTurn::~PortAudioTurn() {
    if (!held_) {
        return;
    }
    {
        const std::lock_guard<std::mutex> lock(turnstile().mutex);
        turnstile().taken = false;
    }
    turnstile().freed.notify_all();
}

std::vector<Device> devices_now() {
    std::vector<Device> devices;
    const int count = Pa_GetDeviceCount(); // negative = an error: no devices
    for (int i = 0; i < count; ++i) {
        const PaDeviceInfo* info = Pa_GetDeviceInfo(i);
        const PaHostApiInfo* host = info != nullptr ? Pa_GetHostApiInfo(info->hostApi) : nullptr;
        if (host == nullptr) {
            continue;
        }
        Device device;
        device.index = i;
        device.host_api = host->name;
        device.name = info->name;
        device.id = info->name;
        device.inputs = info->maxInputChannels;
        device.outputs = info->maxOutputChannels;
        device.default_rate_hz = info->defaultSampleRate;
        device.low_latency_s = info->defaultLowInputLatency;
        device.default_input = i == Pa_GetDefaultInputDevice();
        device.default_output = i == Pa_GetDefaultOutputDevice();
        device.monitor = device.inputs > 0 && says_monitor(device.name);
        devices.push_back(device);
    }
    for (Device& device : further_inputs()) {
        device.index = devices.empty() ? 0 : devices.back().index + 1;
        devices.push_back(std::move(device));
    }
    return devices;
}

std::string portaudio_error(int error) {
    std::string text = Pa_GetErrorText(error);
    if (error == paUnanticipatedHostError) {
        if (const PaHostErrorInfo* host = Pa_GetLastHostErrorInfo();
            host != nullptr && host->errorText != nullptr) {
            text = host->errorText;
        }
    }
    return text + ".";
}

} // namespace bellhand::audio
