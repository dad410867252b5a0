#include "audio/portaudio_driver.h"

#include "audio/device_choice.h"
#include "audio/portaudio_callback.h"
#include "audio/portaudio_library.h"
#include "audio/sound_server.h"
#include "core/platform.h"

#include <algorithm>
#include <chrono>
#include <optional>
#include <string>

#include <pa_linux_alsa.h>
#include <portaudio.h>

namespace bellhand::audio {

namespace {

constexpr double kLowestRateHz = 8000.0;
constexpr double kHighestRateHz = 192000.0;
// About two hops of the pitch analysis; a sound server adds its own on top.
constexpr double kWantedLatencyS = 0.0107;
// Nothing played has to follow the player's sound at once, so an output may be calmer.
constexpr double kWantedOutputLatencyS = 0.03;

constexpr auto kServerLookPeriod = std::chrono::milliseconds(1000);
constexpr auto kServerLimit = std::chrono::milliseconds(500);

using Clock = std::chrono::steady_clock;

/// The parameters of a stream, with what they point to.
struct Wanted {
    PaStreamParameters parameters{};
    PaAlsaStreamInfo alsa{};
    std::string alsa_name;
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

void fill(Wanted& wanted, const Device& device, int channels, Direction direction) {
    wanted.parameters.channelCount = channels;
    wanted.parameters.sampleFormat = paFloat32;
    wanted.parameters.suggestedLatency = direction == Direction::input
                                             ? std::max(device.low_latency_s, kWantedLatencyS)
                                             : kWantedOutputLatencyS;
    wanted.parameters.device = device.index;
    if (device.host_api == kServerHostApi) {
        wanted.alsa_name = server_alsa_name(device.id);
        PaAlsa_InitializeStreamInfo(&wanted.alsa);
        wanted.alsa.deviceString = wanted.alsa_name.c_str();
        wanted.parameters.device = paUseHostApiSpecificDeviceSpecification;
        wanted.parameters.hostApiSpecificStreamInfo = &wanted.alsa;
    }
}

class PortAudioDriver final : public DeviceDriver {
public:
    explicit PortAudioDriver(Direction direction) : direction_(direction) {}
    ~PortAudioDriver() override { close(); }
    PortAudioDriver(const PortAudioDriver&) = delete;
    PortAudioDriver& operator=(const PortAudioDriver&) = delete;

    Result<OpenedDevice> open(const PickDevice& pick, int channel, StreamEnd& end) override;
    bool alive() override;
    void close() noexcept override;

private:
    [[nodiscard]] PaError open_stream(const Device& device, int channels, StreamEnd& end);
    [[nodiscard]] bool server_has_it();

    const Direction direction_;
    bool initialised_ = false;
    PaStream* stream_ = nullptr;
    double rate_hz_ = 0.0;

    SoundServer server_;
    std::string server_id_; // of the open input; empty = it is none of the server's
    std::optional<std::uint32_t> server_number_; // as it was when opened
    Clock::time_point next_look_{};
};

bool PortAudioDriver::alive() {
    if (Pa_IsStreamActive(stream_) != 1) {
        return false;
    }
    if (server_id_.empty() || Clock::now() < next_look_) {
        return true;
    }
    next_look_ = Clock::now() + kServerLookPeriod;
    return server_has_it();
}

/// When an input goes away the server silently moves its listeners to another one: then it is not the chosen device
/// that is heard.
bool PortAudioDriver::server_has_it() {
    const auto inputs = server_.inputs(kServerLimit);
    if (!inputs) {
        return true; // a server that is gone or hangs shows itself by silence
    }
    const auto found =
        std::find_if(inputs->begin(), inputs->end(), [this](const ServerInput& input) {
            return input.id == server_id_;
        });
    if (found == inputs->end()) {
        return false;
    }
    if (!server_number_) {
        server_number_ = found->number;
    }
    return *server_number_ == found->number;
}

PaError PortAudioDriver::open_stream(const Device& device, int channels, StreamEnd& end) {
    Wanted wanted;
    fill(wanted, device, channels, direction_);
    PaError error = paInvalidSampleRate;
    // The device's own rate first; the others are for devices whose own rate is out of range or a lie.
    for (const double rate_hz :
         {device.default_rate_hz, 48000.0, 44100.0, 96000.0, 32000.0, 16000.0, 8000.0}) {
        if (rate_hz < kLowestRateHz || rate_hz > kHighestRateHz) {
            continue;
        }
        error = Pa_OpenStream(&stream_,
                              direction_ == Direction::input ? &wanted.parameters : nullptr,
                              direction_ == Direction::output ? &wanted.parameters : nullptr,
                              rate_hz,
                              kBlockSamples,
                              paClipOff | paDitherOff,
                              &portaudio_callback,
                              &end);
        if (error == paNoError) {
            rate_hz_ = rate_hz;
            return error;
        }
        stream_ = nullptr;
        if (error != paInvalidSampleRate) {
            return error;
        }
    }
    return error;
}

Result<OpenedDevice> PortAudioDriver::open(const PickDevice& pick, int channel, StreamEnd& end) {
    const PortAudioTurn turn;
    const platform::QuietErrors quiet;
    quiet_sound_libraries();
    if (const PaError error = Pa_Initialize(); error != paNoError) {
        return failure("The computer's sound system cannot be used: " + portaudio_error(error));
    }
    initialised_ = true;
    const std::vector<Device> devices = devices_now();
    const Result<std::size_t> picked = pick(devices);
    if (!picked) {
        return tl::unexpected<Error>(picked.error());
    }
    const Device& device = devices[*picked];
    OpenedDevice opened;
    opened.device = device;
    if (direction_ == Direction::input) {
        if (const Result<void> there = check_channel(device, channel); !there) {
            return tl::unexpected<Error>(there.error());
        }
        opened.format.channels = channels_to_open(device, channel);
    } else {
        opened.format.channels = std::min(device.outputs, 2);
    }
    const int all_channels = direction_ == Direction::input ? device.inputs : device.outputs;
    PaError error = open_stream(device, opened.format.channels, end);
    if (error == paInvalidChannelCount && opened.format.channels != all_channels) {
        opened.format.channels = all_channels;
        error = open_stream(device, opened.format.channels, end);
    }
    if (error != paNoError) {
        return failure("'" + device.name + "' cannot be opened: " + portaudio_error(error));
    }
    const PaStreamInfo* info = Pa_GetStreamInfo(stream_);
    // The rate as the hardware gives it, which can differ a little from the one asked for.
    opened.format.sample_rate_hz =
        info != nullptr && info->sampleRate > 0.0 ? info->sampleRate : rate_hz_;
    if (info != nullptr) {
        opened.reported_latency_s =
            direction_ == Direction::input ? info->inputLatency : info->outputLatency;
    }
    if (device.host_api == kServerHostApi) {
        server_id_ = device.id;
        next_look_ = Clock::now() + kServerLookPeriod;
        if (!server_has_it()) { // and note its number
            return failure("'" + device.name + "' went away while it was being opened.");
        }
    }
    end.prepare(opened.format);
    error = Pa_StartStream(stream_);
    if (error != paNoError) {
        return failure("'" + device.name + "' cannot be started: " + portaudio_error(error));
    }
    return opened;
}

void PortAudioDriver::close() noexcept {
    if (!initialised_) {
        return;
    }
    const PortAudioTurn turn;
    const platform::QuietErrors quiet;
    if (stream_ != nullptr) {
        Pa_AbortStream(stream_);
        Pa_CloseStream(stream_);
        stream_ = nullptr;
    }
    Pa_Terminate();
    initialised_ = false;
}

} // namespace

std::unique_ptr<DeviceDriver> make_portaudio_input() {
    return std::make_unique<PortAudioDriver>(Direction::input);
}

std::unique_ptr<DeviceDriver> make_portaudio_output() {
    return std::make_unique<PortAudioDriver>(Direction::output);
}

} // namespace bellhand::audio
