#include "audio/portaudio_driver.h"

#include "audio/device_choice.h"
#include "audio/portaudio_callback.h"
#include "audio/portaudio_library.h"
#include "audio/sound_system.h"
#include "core/platform.h"

#include <algorithm>
#include <memory>

#include <portaudio.h>

namespace bellhand::audio {

namespace {

constexpr double kLowestRateHz = 8000.0;
constexpr double kHighestRateHz = 192000.0;
// About two hops of the pitch analysis; a sound server adds its own on top.
constexpr double kWantedLatencyS = 0.0107;
// Nothing played has to follow the player's sound at once, so an output may be calmer.
constexpr double kWantedOutputLatencyS = 0.03;

PaStreamParameters parameters_of(const Device& device, int channels, Direction direction) {
    PaStreamParameters parameters{};
    parameters.channelCount = channels;
    parameters.sampleFormat = paFloat32;
    parameters.suggestedLatency = direction == Direction::input
                                      ? std::max(device.low_latency_s, kWantedLatencyS)
                                      : kWantedOutputLatencyS;
    parameters.device = device.index;
    return parameters;
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

    const Direction direction_;
    bool initialised_ = false;
    PaStream* stream_ = nullptr;
    double rate_hz_ = 0.0;

    std::unique_ptr<DeviceDriver> past_; // instead of a stream of PortAudio's
    std::unique_ptr<InputWatch> watch_;
};

bool PortAudioDriver::alive() {
    if (past_) {
        return past_->alive();
    }
    return Pa_IsStreamActive(stream_) == 1 && (!watch_ || watch_->there());
}

PaError PortAudioDriver::open_stream(const Device& device, int channels, StreamEnd& end) {
    PaStreamParameters parameters = parameters_of(device, channels, direction_);
    const std::shared_ptr<void> more = complete(parameters, device);
    PaError error = paInvalidSampleRate;
    // The device's own rate first; the others are for devices whose own rate is out of range or a lie.
    for (const double rate_hz :
         {device.default_rate_hz, 48000.0, 44100.0, 96000.0, 32000.0, 16000.0, 8000.0}) {
        if (rate_hz < kLowestRateHz || rate_hz > kHighestRateHz) {
            continue;
        }
        error = Pa_OpenStream(&stream_,
                              direction_ == Direction::input ? &parameters : nullptr,
                              direction_ == Direction::output ? &parameters : nullptr,
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
    past_ = driver_past_portaudio(device);
    if (past_) {
        return past_->open(pick, channel, end);
    }
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
    watch_ = watch(device);
    if (watch_ && !watch_->there()) {
        return failure("'" + device.name + "' went away while it was being opened.");
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
    past_.reset();
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
