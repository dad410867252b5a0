// Cost of hearing the hand beside the estimator of pitch on the same sound in the same run:
//   hand_bench      counters: ms of processor time per second of sound, and the hand's share of the pitch's
#include "hand/hand_ear.h"
#include "horn/tuning.h"
#include "pitch/estimator.h"
#include "support/signals.h"
#include "support/signals_disturb.h"

#include <cmath>
#include <ctime>

#include <benchmark/benchmark.h>

namespace {

using namespace bellhand;

constexpr double kRate_hz = 48000.0;

std::vector<float> half_a_minute() {
    test::Random random("half a minute for the hand");
    test::Samples whole;
    for (int i = 0; i < 20; ++i) {
        const double f0_hz = 60.0 * std::exp2(3.5 * random.uniform());
        test::ToneShape shape;
        shape.on_s = 0.1;
        shape.off_s = 1.4;
        shape.f0_hz = [f0_hz](double) { return f0_hz; };
        shape.first =
            test::spectrum(static_cast<test::Timbre>(random.below(4)), f0_hz, 19000.0, random);
        shape.lips = {3.0, 1.0, 1.0};
        const auto tone = test::make_tone(shape, 1.5, kRate_hz, random);
        whole.insert(whole.end(), tone.samples.begin(), tone.samples.end());
    }
    test::add_white(whole, 35.0, random);
    return test::normalised(whole);
}

/// Processor time of this thread: on a shared machine a wall clock would count the others' work.
double thread_us() {
    timespec now{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) * 1e6 + static_cast<double>(now.tv_nsec) * 1e-3;
}

void hand_beside_pitch(benchmark::State& state) {
    const auto sound = half_a_minute();
    const horn::Tuning tuning;
    double pitch_us = 0.0;
    double hand_us = 0.0;
    double note_us = 0.0;
    double notes = 0.0;
    for (auto _ : state) {
        auto estimator = *pitch::make_estimator({kRate_hz, 0.0});
        hand::HandEar ear(kRate_hz);
        ear.set_horn(
            horn::hand_response(tuning), hand::modelled_trust(), horn::fundamental_hz(tuning));
        std::span<const float> rest(sound);
        pitch::PitchFrame frame;
        double note_at_s = 1.4;
        while (!rest.empty()) {
            const double begin_us = thread_us();
            const std::size_t used = estimator->push(rest);
            const bool ready = estimator->frame(frame);
            const double between_us = thread_us();
            ear.push(rest.first(used));
            if (ready) {
                benchmark::DoNotOptimize(ear.hear(frame));
            }
            const double after_us = thread_us();
            pitch_us += between_us - begin_us;
            hand_us += after_us - between_us;
            if (ready && frame.time_s >= note_at_s) {
                benchmark::DoNotOptimize(ear.note({note_at_s - 1.2,
                                                   1.1,
                                                   frame.f0_hz,
                                                   0.0,
                                                   200.0,
                                                   8.0,
                                                   horn::nearest_written(4)}));
                note_us += thread_us() - after_us;
                ++notes;
                note_at_s += 1.5;
            }
            rest = rest.subspan(used);
        }
    }
    const double sound_s =
        static_cast<double>(state.iterations()) * static_cast<double>(sound.size()) / kRate_hz;
    state.counters["pitch_ms_per_s"] = pitch_us * 1e-3 / sound_s;
    state.counters["hand_ms_per_s"] = (hand_us + note_us) * 1e-3 / sound_s;
    state.counters["us_per_note"] = note_us / notes;
    state.counters["hand_share_%"] = 100.0 * (hand_us + note_us) / pitch_us;
}
BENCHMARK(hand_beside_pitch)->Unit(benchmark::kMillisecond);

} // namespace

BENCHMARK_MAIN();
