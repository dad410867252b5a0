#include "bench/make_signals/catalogue.h"
#include "support/signals_disturb.h"

#include <algorithm>
#include <cmath>

namespace bellhand::test {

namespace {

void horn_timbres(Catalogue& all) {
    const auto pitches = ladder(29.0, 1400.0, 26, all.seeded("steady pitches"));
    for (const Timbre timbre : kTimbres) {
        for (std::size_t i = 0; i < pitches.size(); ++i) {
            for (const double snr_db : {40.0, 20.0, 10.0}) {
                if (snr_db != 20.0 && (i % 2 == 0) != (snr_db == 40.0)) {
                    continue;
                }
                Entry e;
                e.name = numbered(std::string("steady_") + timbre_name(timbre), i) + "_snr" +
                         std::to_string(std::lround(snr_db));
                e.kind = "steady";
                e.snr_db = snr_db;
                e.f0_hz = pitches[i];
                disturbed(all, e, timbre, [&](Samples& x, Random& random) {
                    add_white(x, snr_db, random);
                });
            }
        }
    }
}

void real_spectra(Catalogue& all, const std::vector<MeasuredTone>& measured) {
    for (std::size_t i = 0; i < measured.size(); i += measured[i].technique == "muted" ? 1U : 6U) {
        const MeasuredTone& model = measured[i];
        Entry e;
        e.name = "steady_real_" + model.name;
        if (!all.wants(e.name)) {
            continue;
        }
        Random random(all.seeded(e.name));
        e.kind = "steady";
        e.profile = model.technique == "muted" ? "realmuted" : "realopen";
        e.snr_db = 20.0;
        e.f0_hz = e.f1_hz = model.f0_hz * std::exp2(random.between(-40.0, 40.0) / 1200.0);
        e.on_s = 0.2;
        e.off_s = 1.2;
        KnownTone tone =
            make_tone(held(e.f0_hz, model.amplitudes, e.on_s, e.off_s), 1.4, kRateHz, random);
        add_white(tone.samples, e.snr_db, random);
        all.put(e, tone.samples, tone.f0_hz);
    }
}

} // namespace

void steady_tones(Catalogue& all, const std::vector<MeasuredTone>& measured) {
    horn_timbres(all);
    real_spectra(all, measured);
}

/// Lips as they are: wander, tremor, uneven level, scoop and air at the start, breath throughout.
void living_tones(Catalogue& all, const std::vector<MeasuredTone>& measured) {
    const auto pitches = ladder(43.0, 1100.0, 12, all.seeded("living pitches"));
    for (const Timbre timbre : kTimbres) {
        for (std::size_t i = 0; i < pitches.size(); ++i) {
            Entry e;
            e.name = numbered(std::string("lips_") + timbre_name(timbre), i);
            if (!all.wants(e.name)) {
                continue;
            }
            Random random(all.seeded(e.name));
            e.kind = "lips";
            e.profile = timbre_name(timbre);
            e.f0_hz = e.f1_hz = pitches[i];
            e.on_s = 0.3;
            e.off_s = 1.8;
            Spectrum levels = spectrum(timbre, e.f0_hz, highest_hz(kRateHz), random);
            if (!measured.empty() && timbre != Timbre::soft && timbre != Timbre::brassy) {
                const std::string technique = timbre == Timbre::stopped ? "muted" : "open";
                const auto nearest = std::min_element(
                    measured.begin(), measured.end(), [&](const auto& a, const auto& b) {
                        const auto far = [&](const MeasuredTone& m) {
                            return std::abs(std::log2(m.f0_hz / e.f0_hz)) +
                                   (m.technique == technique ? 0.0 : 9.0);
                        };
                        return far(a) < far(b);
                    });
                levels = nearest->amplitudes;
            }
            ToneShape shape = held(e.f0_hz, levels, e.on_s, e.off_s);
            shape.attack_s = random.between(0.015, 0.05);
            shape.release_s = random.between(0.04, 0.12);
            shape.scoop_cents = random.between(-45.0, 20.0);
            shape.chiff = random.between(0.1, 0.35);
            shape.bright_last = true;
            shape.lips = {
                random.between(1.5, 4.0), random.between(0.5, 1.5), random.between(0.5, 1.5)};
            KnownTone tone = make_tone(shape, 2.1, kRateHz, random);
            add_breath(tone.samples, 32.0, random.between(500.0, 1800.0), 1.5, kRateHz, random);
            add_white(tone.samples, 45.0, random);
            all.put(e, tone.samples, tone.f0_hz);
        }
    }
}

void sample_rates(Catalogue& all) {
    const auto pitches = ladder(45.0, 1350.0, 6, all.seeded("rate pitches"));
    for (const double rate_hz :
         {16000.0, 22050.0, 32000.0, 44100.0, 48000.0, 88200.0, 96000.0, 192000.0}) {
        for (std::size_t i = 0; i < pitches.size(); ++i) {
            const Timbre timbre = kTimbres[i % 3];
            Entry e;
            e.name = numbered(
                "rate" + std::to_string(std::lround(rate_hz)) + "_" + timbre_name(timbre), i);
            e.kind = "rate" + std::to_string(std::lround(rate_hz));
            // The same noise density at every rate: 30 dB at 48 kHz.
            e.snr_db = 30.0 + 10.0 * std::log10(48000.0 / rate_hz);
            e.f0_hz = pitches[i];
            e.rate_hz = rate_hz;
            disturbed(all, e, timbre, [&](Samples& x, Random& random) {
                add_white(x, e.snr_db, random);
            });
        }
    }
}

} // namespace bellhand::test
