#include "bench/short_notes/listen.h"

#include <algorithm>
#include <cmath>

namespace bellhand::test {

namespace {

constexpr double kWrong_cents = 50.0;
constexpr double kOneStretch_s = 0.012; // a hole shorter than this does not end it

class Collector final : public practice::AnalysisSink {
public:
    Heard heard;
    void reading(const trainer::Reading& reading) override { heard.readings.push_back(reading); }
    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        heard.notes.push_back(note);
    }
};

bool shown(const trainer::Reading& reading, bool sure_only) {
    return reading.frame.voiced && (!sure_only || !reading.frame.doubtful);
}

double off_cents(const trainer::Reading& reading, double f0_hz) {
    return std::abs(1200.0 * std::log2(reading.frame.f0_hz / f0_hz));
}

} // namespace

Heard listen(std::span<const float> samples, double rate_hz, const horn::Tuning& tuning) {
    practice::Analysis analysis(tuning);
    Collector collector;
    std::uint64_t at = 0;
    while (at < samples.size()) {
        audio::Block block;
        block.first_sample = at;
        block.sample_rate_hz = rate_hz;
        block.stream = 1;
        block.count = static_cast<std::uint32_t>(
            std::min<std::size_t>(audio::kBlockSamples, samples.size() - at));
        std::copy_n(
            samples.begin() + static_cast<std::ptrdiff_t>(at), block.count, block.samples.begin());
        if (!analysis.feed(block, collector)) {
            break;
        }
        at += block.count;
    }
    analysis.finish(collector);
    return std::move(collector.heard);
}

double wrong_stretch_s(const Heard& heard, double f0_hz, double from_s, bool sure_only) {
    double longest = 0.0;
    double begun = -1.0;
    double last = -1.0;
    for (const trainer::Reading& reading : heard.readings) {
        const double now = reading.frame.time_s;
        if (now < from_s || !shown(reading, sure_only)) {
            continue;
        }
        if (off_cents(reading, f0_hz) <= kWrong_cents) {
            begun = -1.0;
            continue;
        }
        if (begun < 0.0 || now - last > kOneStretch_s) {
            begun = now - 256.0 / 48000.0;
        }
        last = now;
        longest = std::max(longest, now - begun);
    }
    return longest;
}

double right_share(const Heard& heard, double f0_hz, double from_s, double to_s, bool sure_only) {
    int all = 0;
    int right = 0;
    for (const trainer::Reading& reading : heard.readings) {
        if (reading.frame.time_s >= from_s && reading.frame.time_s <= to_s) {
            ++all;
            right += shown(reading, sure_only) && off_cents(reading, f0_hz) <= kWrong_cents;
        }
    }
    return all > 0 ? static_cast<double>(right) / all : 0.0;
}

} // namespace bellhand::test
