#include "horn/tuning.h"
#include "pitch/estimator.h"
#include "support/alloc_guard.h"
#include "support/signals.h"
#include "support/signals_disturb.h"
#include "trainer/note_tracker.h"
#include "trainer/reading.h"

#include <cmath>
#include <span>

#include <doctest/doctest.h>

using namespace bellhand;
using test::RealTimeScope;

namespace {

/// Playing with everything that could lead the analysis astray: notes, rests, slurs, noise, clipping, silence, numbers
/// that are none.
std::vector<float> eventful_sound(double rate_hz) {
    test::Random random("eventful sound");
    test::Samples whole;
    for (int i = 0; i < 10; ++i) {
        const double from_hz = 50.0 * std::exp2(4.0 * random.uniform());
        const double to_hz = i % 3 == 0 ? 1.122 * from_hz : from_hz;
        test::ToneShape shape;
        shape.on_s = 0.1;
        shape.off_s = 0.7;
        shape.f0_hz = [=](double t) { return t < 0.4 ? from_hz : to_hz; };
        shape.first =
            test::spectrum(test::Timbre(random.below(4)), from_hz, 0.44 * rate_hz, random);
        shape.lips = {3.0, 1.0, 1.0};
        shape.chiff = 0.3;
        auto tone = test::make_tone(shape, 0.85, rate_hz, random);
        if (i == 4) {
            tone.samples = test::clipped(tone.samples, 0.5);
        }
        if (i == 6) {
            test::add_hum(tone.samples, 10.0, 50.0, rate_hz, random);
        }
        test::add_white(tone.samples, i == 5 ? 0.0 : 40.0, random);
        whole.insert(whole.end(), tone.samples.begin(), tone.samples.end());
    }
    whole.resize(whole.size() + static_cast<std::size_t>(0.5 * rate_hz), 0.0);
    auto sound = test::normalised(whole);
    for (std::size_t n = sound.size() / 2; n < sound.size() / 2 + 50; ++n) {
        sound[n] = std::nanf("");
    }
    return sound;
}

} // namespace

TEST_SUITE("rt/analysis_path") {
    TEST_CASE(
        "estimator, reader and note tracker neither allocate, lock nor touch files once they run") {
        if (!RealTimeScope::available()) {
            MESSAGE("skipped: a sanitizer owns the allocator");
            return;
        }
        for (const double rate_hz : {16000.0, 44100.0, 48000.0, 192000.0}) {
            CAPTURE(rate_hz);
            const auto sound = eventful_sound(rate_hz);
            auto made = pitch::make_estimator({rate_hz, 0.0});
            REQUIRE(made.has_value());
            auto& estimator = **made;
            const horn::Tuning tuning;
            const pitch::PitchPrior prior = trainer::prior_for(tuning);
            trainer::Reader reader(tuning);
            trainer::NoteTracker notes;
            pitch::PitchFrame frame;
            static_cast<void>(reader.read(frame)); // the first call may build tables

            std::uint64_t frames = 0;
            std::uint64_t voiced = 0;
            std::uint64_t ended = 0;
            test::ForbiddenCalls calls;
            {
                const RealTimeScope scope;
                estimator.set_prior(prior);
                std::span<const float> rest(sound);
                while (!rest.empty()) {
                    const std::size_t chunk = std::min<std::size_t>(rest.size(), 700);
                    const std::size_t used = estimator.push(rest.first(chunk));
                    rest = rest.subspan(used);
                    while (estimator.frame(frame)) {
                        ++frames;
                        voiced += frame.voiced ? 1U : 0U;
                        ended += notes.add(reader.read(frame)) ? 1U : 0U;
                    }
                    if (frames == 300) {
                        estimator.gap(4800);
                        ++frames;
                    }
                }
                ended += notes.finish() ? 1U : 0U;
                trainer::PlayedNote note;
                static_cast<void>(notes.sounding(note));
                calls = scope.calls();
            }
            CHECK(calls.allocations == 0);
            CHECK(calls.frees == 0);
            CHECK(calls.locks == 0);
            CHECK(calls.file_calls == 0);
            // The path was really walked.
            CHECK(frames > 1000);
            CHECK(voiced > frames / 4);
            CHECK(ended >= 5);
        }
    }
}
