#include "bench/make_signals/catalogue.h"
#include "support/signals_disturb.h"
#include "support/signals_room.h"

#include <algorithm>
#include <cmath>

namespace bellhand::test {

void rooms(Catalogue& all) {
    const std::array<Room, 5> kRooms{{
        {{3.6, 2.9, 2.5}, {1.1, 1.0, 1.2}, {2.0, 1.7, 1.3}, 0.3}, // small practice room
        {{5.2, 4.1, 2.7}, {1.5, 1.3, 1.2}, {2.9, 2.4, 1.2}, 0.6}, // living room
        {{8.5, 6.8, 3.2}, {2.5, 2.1, 1.2}, {4.6, 3.0, 1.5}, 0.9}, // rehearsal room
        {{6.4, 3.2, 3.0},
         {1.2, 1.1, 1.2},
         {4.9, 2.0, 1.4},
         1.2}, // bare stairway, microphone far away
        {{14.0, 9.0, 6.0}, {4.0, 3.5, 1.3}, {6.2, 4.4, 1.6}, 1.5}, // church
    }};
    const auto pitches = ladder(75.0, 900.0, 6, all.seeded("room pitches"));
    for (std::size_t r = 0; r < kRooms.size(); ++r) {
        Random room_random(all.seeded("room " + std::to_string(r)));
        const Samples response = impulse_response(kRooms[r], kRateHz, room_random);
        for (const Timbre timbre : {Timbre::open, Timbre::stopped}) {
            for (std::size_t i = 0; i < pitches.size(); ++i) {
                Entry e;
                e.name = numbered("room" + std::to_string(r) + "_" + timbre_name(timbre), i);
                if (!all.wants(e.name)) {
                    continue;
                }
                Random random(all.seeded(e.name));
                e.kind = "reverb";
                e.profile = timbre_name(timbre);
                e.snr_db = 40.0;
                e.f0_hz = pitches[i];
                e.f1_hz = pitches[i] * std::exp2((i % 2 == 0 ? 2.0 : -2.0) / 12.0);
                e.on_s = 0.1;
                e.off_s = 1.9;
                e.change_from_s = e.change_to_s = 0.9;
                const double a = e.f0_hz;
                const double b = e.f1_hz;
                ToneShape shape =
                    held(a, spectrum(timbre, a, highest_hz(kRateHz), random), e.on_s, e.off_s);
                shape.f0_hz = [=](double t) { return t < 0.9 ? a : b; };
                shape.gain = [](double t) {
                    return t < 0.9 ? std::clamp((0.9 - t) / 0.03, 0.0, 1.0)
                                   : std::clamp((t - 0.9) / 0.015, 0.0, 1.0);
                };
                KnownTone tone = make_tone(shape, 2.1, kRateHz, random);
                Samples heard = convolved(tone.samples, response);
                add_white(heard, 40.0, random);
                all.put(e, heard, tone.f0_hz);
            }
        }
    }
}

/// Disturbances of a held tone.
void disturbed_tones(Catalogue& all) {
    const auto pitches = ladder(62.0, 1150.0, 10, all.seeded("trouble pitches"));
    const auto low = ladder(44.0, 260.0, 10, all.seeded("low pitches"));
    for (const Timbre timbre : {Timbre::open, Timbre::stopped}) {
        for (std::size_t i = 0; i < pitches.size(); ++i) {
            const double f = pitches[i];
            const auto one = [&](const char* kind, double f0_hz, double snr_db, auto disturb) {
                Entry e;
                e.name = numbered(std::string(kind) + "_" + timbre_name(timbre), i);
                e.kind = kind;
                e.snr_db = snr_db;
                e.f0_hz = f0_hz;
                disturbed(all, e, timbre, disturb);
            };
            one("white0", f, 0.0, [](Samples& x, Random& r) { add_white(x, 0.0, r); });
            one("pink5", f, 5.0, [](Samples& x, Random& r) { add_pink(x, 5.0, kRateHz, r); });
            one("piano20", f, 45.0, [&](Samples& x, Random& r) {
                add_chords(x, f, 20.0, 0.2, 1.2, kRateHz, r);
                add_white(x, 45.0, r);
            });
            one("piano10", f, 45.0, [&](Samples& x, Random& r) {
                add_chords(x, f, 10.0, 0.2, 1.2, kRateHz, r);
                add_white(x, 45.0, r);
            });
            one("clicks", f, 35.0, [](Samples& x, Random& r) {
                add_clicks(x, 208.0, 12.0, kRateHz, r);
                add_white(x, 35.0, r);
            });
            one("hum50", low[i], 35.0, [&](Samples& x, Random& r) {
                add_hum(x, 12.0, i % 2 == 0 ? 50.0 : 60.0, kRateHz, r);
                add_white(x, 35.0, r);
            });
            one("clipped", f, 40.0, [](Samples& x, Random& r) {
                add_white(x, 40.0, r);
                x = clipped(x, 0.8);
            });
            one("laptop", low[i], 30.0, [](Samples& x, Random& r) {
                x = high_passed(x, 150.0, kRateHz, true);
                add_white(x, 30.0, r);
            });
            one("autogain", f, 30.0, [](Samples& x, Random& r) {
                add_white(x, 30.0, r);
                x = gain_ridden(x, kRateHz);
            });
            one("gate", f, 35.0, [](Samples& x, Random& r) {
                x = gated(x, kRateHz, r);
                add_white(x, 35.0, r);
            });
            one("loss", f, 40.0, [](Samples& x, Random& r) {
                add_white(x, 40.0, r);
                x = packets_lost(x, 0.05, kRateHz, r);
            });
            one("codec", f, 40.0, [](Samples& x, Random& r) {
                add_white(x, 40.0, r);
                x = call_band(x, kRateHz);
            });
        }
    }
}

void speech_around(Catalogue& all) {
    const auto pitches = ladder(70.0, 900.0, 6, all.seeded("speech pitches"));
    for (std::size_t i = 0; i < pitches.size(); ++i) {
        Entry e;
        e.name = numbered("speech_open", i);
        if (!all.wants(e.name)) {
            continue;
        }
        Random random(all.seeded(e.name));
        e.kind = "speech";
        e.profile = "open";
        e.snr_db = 40.0;
        e.f0_hz = e.f1_hz = pitches[i];
        e.on_s = 1.3;
        e.off_s = 2.3;
        KnownTone tone =
            make_tone(held(e.f0_hz,
                           spectrum(Timbre::open, e.f0_hz, highest_hz(kRateHz), random),
                           e.on_s,
                           e.off_s),
                      3.6,
                      kRateHz,
                      random);
        add_speech(tone.samples, 0.1, 1.1, -6.0, kRateHz, random);
        add_speech(tone.samples, 2.5, 3.5, -6.0, kRateHz, random);
        add_white(tone.samples, 40.0, random);
        all.put(e, tone.samples, tone.f0_hz);
    }
}

/// No horn at all: whatever pitch is read here is wrong.
void no_horn(Catalogue& all) {
    const auto one = [&](const std::string& what, auto fill) {
        for (std::size_t i = 0; i < 2; ++i) {
            Entry e;
            e.name = numbered("noise_" + what, i);
            if (!all.wants(e.name)) {
                continue;
            }
            Random random(all.seeded(e.name));
            e.kind = "noise";
            e.profile = what;
            e.snr_db = 0.0;
            e.on_s = e.off_s = 9.0;
            Samples samples(static_cast<std::size_t>(3.0 * kRateHz), 0.0);
            fill(samples, random);
            all.put(e, samples, std::vector<double>(3000, 0.0));
        }
    };
    one("white", [](Samples& x, Random& r) { add_white(x, 10.0, r); });
    one("pink", [](Samples& x, Random& r) { add_pink(x, 8.0, kRateHz, r); });
    one("breath", [](Samples& x, Random& r) {
        add_breath(x, 10.0, r.between(400.0, 1600.0), r.between(5.0, 14.0), kRateHz, r);
    });
    one("hum", [](Samples& x, Random& r) {
        add_hum(x, 15.0, r.uniform() < 0.5 ? 50.0 : 60.0, kRateHz, r);
        add_pink(x, 30.0, kRateHz, r);
    });
    one("clicks", [](Samples& x, Random& r) {
        add_clicks(x, r.between(60.0, 200.0), 6.0, kRateHz, r);
        add_white(x, 45.0, r);
    });
    one("speech", [](Samples& x, Random& r) {
        add_speech(x, 0.1, 2.9, -3.0, kRateHz, r);
        add_white(x, 45.0, r);
    });
    one("chords", [](Samples& x, Random& r) {
        add_chords(x, r.between(120.0, 400.0), 12.0, 0.0, 3.0, kRateHz, r);
        add_white(x, 45.0, r);
    });
    one("silence", [](Samples& x, Random& r) { add_white(x, 62.0, r); });
}

} // namespace bellhand::test
