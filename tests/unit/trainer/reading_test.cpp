#include "trainer/reading.h"

#include "core/cents.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

pitch::PitchFrame tone(double f0_hz) {
    pitch::PitchFrame frame;
    frame.voiced = true;
    frame.f0_hz = f0_hz;
    frame.judged_hz = f0_hz * std::exp2(-2.0 / 1200.0);
    return frame;
}

} // namespace

TEST_SUITE("trainer/reading of a horn that is off") {
    TEST_CASE("a note of a flat horn keeps its name, and its distance from where it should be") {
        trainer::Reader reader({});
        pitch::PitchFrame frame;
        frame.voiced = true;
        frame.f0_hz = 5.0 * horn::fundamental_hz({}) *
                      std::exp2(-42.0 / 1200.0); // open E4, 56 cents under the scale
        CHECK(horn::ascii_name(reader.read(frame).note.written) == "Eb4");
        reader.set_whole_horn_off(-42.0);
        const trainer::Reading reading = reader.read(frame);
        CHECK(horn::ascii_name(reading.note.written) == "E4");
        CHECK(reading.note.deviation_cents == doctest::Approx(-55.7).epsilon(0.01));
    }
}

TEST_SUITE("trainer/reading") {
    TEST_CASE("a tone becomes a written note with both deviations from one target") {
        const horn::Tuning tuning;
        trainer::Reader reader(tuning);
        const double target_hz = horn::target_hz({67, 0}, tuning);
        const trainer::Reading reading = reader.read(tone(target_hz * std::exp2(10.0 / 1200.0)));
        REQUIRE(reading.has_note);
        CHECK(horn::ascii_name(reading.note.written) == "G4");
        CHECK(reading.note.partial == 6);
        CHECK(reading.note.deviation_cents == doctest::Approx(10.0));
        CHECK(reading.judged_cents == doctest::Approx(8.0));
    }

    TEST_CASE("silence and pitches no horn plays are no notes") {
        trainer::Reader reader{horn::Tuning{}};
        CHECK_FALSE(reader.read(pitch::PitchFrame{}).has_note);
        CHECK_FALSE(reader.read(tone(6000.0)).has_note);
    }

    TEST_CASE("what is judged is read without the hysteresis of what is shown") {
        const horn::Tuning tuning;
        trainer::Reader reader(tuning);
        const double c5_hz = horn::target_hz({72, 0}, tuning);
        static_cast<void>(reader.read(tone(c5_hz)));
        const trainer::Reading beyond = reader.read(tone(c5_hz * std::exp2(54.0 / 1200.0)));
        CHECK(horn::ascii_name(beyond.note.written) == "C5");
        CHECK(horn::ascii_name(beyond.judged_note.written) != "C5");
    }

    TEST_CASE("a sound near the middle of two notes does not flicker, and a silence forgets") {
        const horn::Tuning tuning;
        trainer::Reader reader(tuning);
        const double c5_hz = horn::target_hz({72, 0}, tuning);
        CHECK(horn::ascii_name(reader.read(tone(c5_hz)).note.written) == "C5");
        const double beyond_hz = c5_hz * std::exp2(-52.0 / 1200.0);
        CHECK(horn::ascii_name(reader.read(tone(beyond_hz)).note.written) == "C5");
        CHECK_FALSE(reader.read(pitch::PitchFrame{}).has_note);
        CHECK(horn::ascii_name(reader.read(tone(beyond_hz)).note.written) == "B4");
    }

    TEST_CASE("the prior knows every open partial and every stopped note, and fits its array") {
        for (const horn::Crook& crook : horn::all_crooks()) {
            horn::Tuning tuning;
            tuning.crook = crook;
            const pitch::PitchPrior prior = trainer::prior_for(tuning);
            CHECK(prior.count > 30);
            CHECK(prior.count < pitch::PitchPrior::kMaxPeaks);
            const auto has = [&prior](double hz) {
                for (int i = 0; i < prior.count; ++i) {
                    const double off =
                        cents_between(prior.peaks[static_cast<std::size_t>(i)].f0_hz, hz);
                    if (std::abs(off) < 0.01) {
                        return true;
                    }
                }
                return false;
            };
            for (int partial = 1; partial <= 24; ++partial) {
                CHECK(has(partial * horn::fundamental_hz(tuning)));
            }
            CHECK(has(horn::target_hz({71, 0}, tuning))); // B4, half stopped
            for (int i = 0; i < prior.count; ++i) {
                const pitch::PriorPeak& peak = prior.peaks[static_cast<std::size_t>(i)];
                CHECK(peak.weight > 0.0);
                CHECK(peak.sd_cents >= 20.0);
            }
        }
    }
}
