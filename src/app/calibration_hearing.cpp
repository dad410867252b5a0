#include "app/calibration_hearing.h"

#include "practice/offline.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <string>

namespace bellhand::app {

namespace {

constexpr double kShortestNote_s = 0.6;
constexpr double kNotJudged_s = 0.13; ///< attack and release of a note
constexpr double kLargestSpread_cents = 25.0;
constexpr double kSilence_s = 0.4;
constexpr double kShortestBreath_s = 1.0;
constexpr std::chrono::seconds kPatience{10}; ///< a device may come late, but not for ever

class Collector final : public practice::AnalysisSink {
public:
    explicit Collector(Heard& heard) : heard_(heard) {}

    void reading(const trainer::Reading& reading) override {
        const pitch::PitchFrame& frame = reading.frame;
        if (frame.voiced && frame.judged_hz > 0.0) {
            heard_.readings.push_back({frame.judged_time_s, frame.judged_hz});
        }
    }

    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        if (note.duration_s >= kShortestNote_s && note.spread_cents <= kLargestSpread_cents) {
            heard_.notes.push_back({note.start_s + 0.5 * note.duration_s,
                                    note.f0_hz,
                                    instrument::held_note_sd_cents(
                                        note.spread_cents, note.duration_s - kNotJudged_s)});
            heard_.note_starts_s.push_back(note.start_s);
        }
    }

private:
    Heard& heard_;
};

tl::unexpected<Error> no_sound(const std::string& name) {
    return failure("No sound has come from the input " + (name.empty() ? "" : "'" + name + "' ") +
                   "for ten seconds: see whether it is there (bellhand devices).");
}

} // namespace

Result<Heard> hear(audio::Source& source,
                   const horn::Tuning& tuning,
                   std::optional<double> most_s,
                   const std::function<bool(const Heard&)>& enough) {
    Heard heard;
    Collector collector(heard);
    auto heard_at = std::chrono::steady_clock::now();
    bool silent = false;
    const auto go_on = [&](practice::Analysis& analysis) {
        const auto now = std::chrono::steady_clock::now();
        if (analysis.elapsed_s() > heard.ends_s) {
            heard.ends_s = analysis.elapsed_s();
            heard_at = now;
        }
        silent = now - heard_at > kPatience;
        return !silent && !(most_s && analysis.elapsed_s() >= *most_s) &&
               !(enough && enough(heard));
    };
    const auto status = practice::analyse(source, tuning, collector, std::nullopt, go_on);
    if (!status) {
        return tl::unexpected(status.error());
    }
    return silent ? Result<Heard>(no_sound(status->name)) : Result<Heard>(std::move(heard));
}

std::vector<std::vector<instrument::ClosingSample>>
breaths(const std::vector<instrument::ClosingSample>& readings) {
    std::vector<std::vector<instrument::ClosingSample>> out;
    std::vector<instrument::ClosingSample> breath;
    const auto close = [&] {
        if (!breath.empty() && breath.back().time_s - breath.front().time_s >= kShortestBreath_s) {
            out.push_back(breath);
        }
        breath.clear();
    };
    for (const auto& sample : readings) {
        if (!breath.empty() && sample.time_s - breath.back().time_s > kSilence_s) {
            close();
        }
        breath.push_back(sample);
    }
    close();
    return out;
}

int first_partial(const std::vector<instrument::ClosingSample>& breath, double f1_hz) {
    constexpr double kFirst_s = 0.33;
    std::vector<double> first;
    for (const auto& sample : breath) {
        if (sample.time_s > breath.front().time_s + kFirst_s) {
            break;
        }
        first.push_back(sample.f0_hz);
    }
    const auto middle = first.begin() + static_cast<std::ptrdiff_t>(first.size() / 2);
    std::nth_element(first.begin(), middle, first.end());
    return std::clamp(static_cast<int>(std::lround(*middle / f1_hz)), 1, 24);
}

} // namespace bellhand::app
