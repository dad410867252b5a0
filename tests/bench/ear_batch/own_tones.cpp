#include "bench/ear_batch/own_tones.h"

#include <algorithm>
#include <array>
#include <cstdio>

namespace bellhand::test {

namespace {

constexpr double kOutputRateHz = 48000.0;
constexpr double kBegin_s = 100.0;    // of the pretended steady clock
constexpr double kReported_s = 0.037; // what usual drivers say; the true way is another
constexpr double kAhead_s = 0.02;     // the output writes a buffer before it is due

} // namespace

std::unique_ptr<OwnTones> OwnTones::read(const std::string& played_csv) {
    std::FILE* file = std::fopen(played_csv.c_str(), "r");
    if (file == nullptr) {
        return nullptr;
    }
    auto out = std::make_unique<OwnTones>();
    double delay_s = 0.0; // not ours to know
    int horn = 0;
    const int fields = std::fscanf(file,
                                   "%*[^\n]\n%lf,%lf,%lf,%d,%lf,%lf",
                                   &out->start_s_,
                                   &out->drift_,
                                   &delay_s,
                                   &horn,
                                   &out->sound_.drone_hz[0],
                                   &out->sound_.drone_hz[1]);
    std::fclose(file);
    if (fields != 6) {
        std::fprintf(stderr, "%s: not understood\n", played_csv.c_str());
        return nullptr;
    }
    out->sound_.colour =
        horn != 0 ? audio::ReferenceColour::horn : audio::ReferenceColour::soft_sawtooth;
    out->player_.prepare(kOutputRateHz, 0);
    out->own_.set_reported_latency(kReported_s);
    return out;
}

void OwnTones::play_until(double clock_s) {
    std::array<float, audio::kBlockSamples> samples{};
    for (;;) {
        const double begins_s = static_cast<double>(written_) / kOutputRateHz * (1.0 + drift_);
        if (kBegin_s + begins_s > clock_s + kAhead_s) {
            return;
        }
        if (static_cast<double>(written_) >= start_s_ * kOutputRateHz) {
            player_.want(sound_);
        }
        audio::PlayedBlock block;
        player_.fill(samples, &block);
        block.first_sample = written_;
        block.count = audio::kBlockSamples;
        block.sample_rate_hz = kOutputRateHz;
        block.clock_s = std::min(clock_s, kBegin_s + begins_s);
        (void)own_.played().try_push(block);
        written_ += audio::kBlockSamples;
    }
}

void OwnTones::remove(std::span<float> samples, double sample_rate_hz, bool horn_sounds) {
    audio::Block block;
    block.first_sample = captured_;
    block.sample_rate_hz = sample_rate_hz;
    block.count = static_cast<std::uint32_t>(samples.size());
    std::copy(samples.begin(), samples.end(), block.samples.begin());
    const double start_s = static_cast<double>(captured_) / sample_rate_hz;
    captured_ += samples.size();
    block.clock_s = kBegin_s + static_cast<double>(captured_) / sample_rate_hz;
    play_until(block.clock_s);
    own_.follow();
    own_.hear(block, start_s, horn_sounds);
    std::copy_n(block.samples.begin(), samples.size(), samples.begin());
}

} // namespace bellhand::test
