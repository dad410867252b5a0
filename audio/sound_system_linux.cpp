// ALSA, JACK and the user's sound server (PulseAudio, or PipeWire in that role).
#include "audio/sound_server.h"
#include "audio/sound_system.h"

#include <chrono>
#include <optional>
#include <string>

#include <pa_linux_alsa.h>

#include <dlfcn.h>

namespace bellhand::audio {

namespace {

constexpr const char* kServerHostApi = "PulseAudio";
constexpr auto kListLimit = std::chrono::milliseconds(2000);
constexpr auto kLookPeriod = std::chrono::milliseconds(1000);
constexpr auto kLookLimit = std::chrono::milliseconds(500);

using Clock = std::chrono::steady_clock;

void ignore_alsa(const char* /*file*/,
                 int /*line*/,
                 const char* /*function*/,
                 int /*error*/,
                 const char* /*format*/,
                 ...) {}
void ignore_jack(const char* /*text*/) {}

template <typename Setter, typename Handler>
void set_handler(const char* setter_name, Handler handler) noexcept {
    if (void* found = ::dlsym(RTLD_DEFAULT, setter_name)) {
        reinterpret_cast<Setter>(found)(handler);
    }
}

struct AlsaInput {
    PaAlsaStreamInfo info{};
    std::string name;
};

/// ALSA's name for an input of the sound server. Quoted as ALSA's parser wants it.
std::string server_alsa_name(const std::string& id) {
    std::string quoted;
    for (const char c : id) {
        if (c == '\'' || c == '\\') {
            quoted += '\\';
        }
        quoted += c;
    }
    return "pulse:DEVICE='" + quoted + "'";
}

/// When an input goes away the server silently moves its listeners to another one: then it is not the chosen device
/// that is heard.
class ServerWatch final : public InputWatch {
public:
    explicit ServerWatch(std::string id) : id_(std::move(id)) {}

    bool there() override {
        if (Clock::now() < next_look_) {
            return true;
        }
        next_look_ = Clock::now() + kLookPeriod;
        const auto inputs = server_.inputs(kLookLimit);
        if (!inputs) {
            return true; // a server that is gone or hangs shows itself by silence
        }
        for (const ServerInput& input : *inputs) {
            if (input.id == id_) {
                number_ = number_.value_or(input.number);
                return *number_ == input.number;
            }
        }
        return false;
    }

private:
    const std::string id_;
    SoundServer server_;
    std::optional<std::uint32_t> number_; // as it was when opened
    Clock::time_point next_look_{};
};

} // namespace

std::vector<Device> further_inputs() {
    std::vector<Device> devices;
    if (Pa_HostApiTypeIdToHostApiIndex(paALSA) < 0) {
        return devices; // the server's inputs are reached through ALSA
    }
    for (const ServerInput& input :
         SoundServer().inputs(kListLimit).value_or(std::vector<ServerInput>{})) {
        Device device;
        device.host_api = kServerHostApi;
        device.name = input.name;
        device.id = input.id;
        device.inputs = input.channels;
        device.default_rate_hz = input.rate_hz;
        device.monitor = input.monitor;
        devices.push_back(device);
    }
    return devices;
}

std::shared_ptr<void> complete(PaStreamParameters& parameters, const Device& device) {
    if (device.host_api != kServerHostApi) {
        return nullptr;
    }
    auto alsa = std::make_shared<AlsaInput>();
    alsa->name = server_alsa_name(device.id);
    PaAlsa_InitializeStreamInfo(&alsa->info);
    alsa->info.deviceString = alsa->name.c_str();
    parameters.device = paUseHostApiSpecificDeviceSpecification;
    parameters.hostApiSpecificStreamInfo = &alsa->info;
    return alsa;
}

std::unique_ptr<InputWatch> watch(const Device& device) {
    return device.host_api == kServerHostApi ? std::make_unique<ServerWatch>(device.id) : nullptr;
}

std::unique_ptr<DeviceDriver> driver_past_portaudio(const Device& /*device*/) {
    return nullptr;
}

void quiet_sound_libraries() noexcept {
    // Looked up by name, because the program itself uses neither library and JACK need not be there.
    using AlsaHandler = void (*)(const char*, int, const char*, int, const char*, ...);
    using JackHandler = void (*)(const char*);
    set_handler<int (*)(AlsaHandler)>("snd_lib_error_set_handler", &ignore_alsa);
    set_handler<void (*)(JackHandler)>("jack_set_error_function", &ignore_jack);
    set_handler<void (*)(JackHandler)>("jack_set_info_function", &ignore_jack);
}

} // namespace bellhand::audio
