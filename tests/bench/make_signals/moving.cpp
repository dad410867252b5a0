#include "bench/make_signals/catalogue.h"
#include "support/signals_disturb.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::test {

/// From one held note to another: at once, slurred over some 25 ms, or tongued again after a gap.
void note_changes(Catalogue& all) {
    struct Change {
        const char* kind;
        double semitones;
        double over_s; ///< time of the slur; negative: silence between
    };
    constexpr std::array<Change, 6> kChanges{{{"step1", 1.0, 0.0},
                                              {"step2", 2.0, 0.0},
                                              {"step12", 12.0, 0.008},
                                              {"step7", 7.0, 0.008},
                                              {"slur", 2.0, 0.025},
                                              {"reattack", 2.0, -0.04}}};
    const auto pitches = ladder(58.0, 1150.0, 10, all.seeded("change pitches"));
    constexpr double kAtS = 0.7;
    for (const Timbre timbre : {Timbre::open, Timbre::stopped, Timbre::brassy}) {
        for (const Change& change : kChanges) {
            for (std::size_t i = 0; i < pitches.size(); ++i) {
                Entry e;
                e.name = numbered(std::string(change.kind) + "_" + timbre_name(timbre), i);
                if (!all.wants(e.name)) {
                    continue;
                }
                Random random(all.seeded(e.name));
                const bool up = change.semitones > 6.0 ? pitches[i] < 500.0 : i % 2 == 0;
                e.kind = change.kind;
                e.profile = timbre_name(timbre);
                e.snr_db = i % 3 == 0 ? 20.0 : 35.0;
                e.f0_hz = pitches[i];
                e.f1_hz = pitches[i] * std::exp2((up ? 1.0 : -1.0) * change.semitones / 12.0);
                e.on_s = 0.15;
                e.off_s = 1.3;
                e.change_from_s = kAtS;
                e.change_to_s = kAtS + std::abs(change.over_s);
                const double from_hz = e.f0_hz;
                const double to_hz = e.f1_hz;
                const double over_s = std::max(change.over_s, 0.0);
                const auto share = [over_s](double t) {
                    if (over_s <= 0.0) {
                        return t < kAtS ? 0.0 : 1.0;
                    }
                    const double u = std::clamp((t - kAtS) / over_s, 0.0, 1.0);
                    return 0.5 - 0.5 * std::cos(std::numbers::pi * u);
                };
                ToneShape shape = held(from_hz,
                                       spectrum(timbre, from_hz, highest_hz(kRateHz), random),
                                       e.on_s,
                                       e.off_s);
                shape.f0_hz = [=](double t) {
                    return from_hz * std::pow(to_hz / from_hz, share(t));
                };
                if (change.semitones >
                    2.0) { // partials apart: another spectrum; a semitone or tone keeps its own
                    shape.second = spectrum(timbre, to_hz, highest_hz(kRateHz), random);
                    shape.share_of_second = share;
                }
                if (change.over_s < 0.0) {
                    const double gap_s = -change.over_s;
                    shape.f0_hz = [=](double t) { return t < kAtS ? from_hz : to_hz; };
                    shape.gain = [=](double t) {
                        const double before = std::clamp((kAtS - t) / 0.02, 0.0, 1.0);
                        const double after = std::clamp((t - kAtS - gap_s) / 0.015, 0.0, 1.0);
                        return std::max(before, after);
                    };
                    e.change_from_s = kAtS + gap_s;
                }
                KnownTone tone = make_tone(shape, 1.4, kRateHz, random);
                add_white(tone.samples, e.snr_db, random);
                all.put(e, tone.samples, tone.f0_hz);
            }
        }
    }
}

void moving_pitch(Catalogue& all) {
    struct Glide {
        double cents, over_s;
    };
    constexpr std::array<Glide, 3> kGlides{{{100.0, 0.3}, {-70.0, 0.2}, {200.0, 0.8}}};
    struct Vibrato {
        double rate_hz, cents;
    };
    constexpr std::array<Vibrato, 3> kVibratos{{{5.5, 30.0}, {4.3, 18.0}, {6.6, 25.0}}};
    const auto pitches = ladder(60.0, 1200.0, 9, all.seeded("moving pitches"));
    for (std::size_t i = 0; i < pitches.size(); ++i) {
        for (const Timbre timbre : {Timbre::open, Timbre::stopped, Timbre::brassy}) {
            const std::size_t pick = (i + static_cast<std::size_t>(timbre)) % 3;
            const double f0_hz = pitches[i];
            for (const bool vibrato : {false, true}) {
                Entry e;
                e.name =
                    numbered(std::string(vibrato ? "vibrato_" : "glide_") + timbre_name(timbre), i);
                if (!all.wants(e.name)) {
                    continue;
                }
                Random random(all.seeded(e.name));
                e.kind = vibrato ? "vibrato" : "glide";
                e.profile = timbre_name(timbre);
                e.snr_db = 35.0;
                e.f0_hz = e.f1_hz = f0_hz;
                e.on_s = 0.15;
                e.off_s = 1.6;
                ToneShape shape = held(
                    f0_hz, spectrum(timbre, f0_hz, highest_hz(kRateHz), random), e.on_s, e.off_s);
                if (vibrato) {
                    const Vibrato v = kVibratos[pick];
                    shape.f0_hz = [=](double t) {
                        return f0_hz * std::exp2(v.cents / 1200.0 *
                                                 std::sin(2.0 * std::numbers::pi * v.rate_hz * t));
                    };
                } else {
                    const Glide g = kGlides[pick];
                    e.change_from_s = 0.6;
                    e.change_to_s = 0.6 + g.over_s;
                    e.f1_hz = f0_hz * std::exp2(g.cents / 1200.0);
                    shape.f0_hz = [=](double t) {
                        return f0_hz * std::exp2(g.cents / 1200.0 *
                                                 std::clamp((t - 0.6) / g.over_s, 0.0, 1.0));
                    };
                }
                KnownTone tone = make_tone(shape, 1.7, kRateHz, random);
                add_white(tone.samples, e.snr_db, random);
                all.put(e, tone.samples, tone.f0_hz);
            }
        }
    }
}

} // namespace bellhand::test
