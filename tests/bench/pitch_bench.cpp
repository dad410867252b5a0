// Speed of the ear: our estimator and, in the same run, aubio's detectors through its C interface on the same sound.
//   pitch_bench                                   all; counters: ms of processor time per second of sound, microseconds
//                                                 per hop (mean, and the worst of all hops), share of a hop's time
//   pitch_bench --benchmark_filter=one_hour       an hour of playing: whole time, memory before and after
// One core: pin with `taskset -c 0` for quiet figures.
#include "horn/tuning.h"
#include "pitch/estimator.h"
#include "support/signals.h"
#include "support/signals_disturb.h"
#include "trainer/note_tracker.h"
#include "trainer/reading.h"

#include <chrono>
#include <cmath>
#include <ctime>
#include <fstream>
#include <span>
#include <string>

#include <benchmark/benchmark.h>
#ifdef BELLHAND_HAVE_AUBIO
#    include <aubio/aubio.h>
#endif

namespace {

using namespace bellhand;

/// A minute of playing: held notes over the whole range, four timbres, some breath, some rests.
const std::vector<float>& a_minute(double rate_hz) {
    static std::vector<std::pair<double, std::vector<float>>> made;
    for (const auto& [rate, samples] : made) {
        if (rate == rate_hz) {
            return samples;
        }
    }
    test::Random random("a minute of playing");
    test::Samples whole;
    for (int i = 0; i < 40; ++i) {
        const double f0_hz = 44.0 * std::exp2(5.0 * random.uniform());
        const auto timbre = static_cast<test::Timbre>(random.below(4));
        test::ToneShape shape;
        shape.on_s = 0.1;
        shape.off_s = random.between(0.9, 1.4);
        shape.f0_hz = [f0_hz](double) { return f0_hz; };
        shape.first = test::spectrum(timbre, f0_hz, 19000.0, random);
        shape.lips = {3.0, 1.0, 1.0};
        const auto tone = test::make_tone(shape, 1.5, rate_hz, random);
        whole.insert(whole.end(), tone.samples.begin(), tone.samples.end());
    }
    test::add_white(whole, 35.0, random);
    made.emplace_back(rate_hz, test::normalised(whole));
    return made.back().second;
}

/// Processor time of this thread: on a shared machine a wall clock would count the others' work.
double thread_us() {
    timespec now{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) * 1e6 + static_cast<double>(now.tv_nsec) * 1e-3;
}

/// Counters that every reader reports in the same way.
void report(benchmark::State& state,
            double sound_s,
            double hops,
            double hop_s,
            double spent_us,
            double worst_us) {
    state.counters["ms_per_s"] = spent_us * 1e-3 / sound_s;
    state.counters["us_per_hop"] = spent_us / hops;
    state.counters["worst_us"] = worst_us;
    state.counters["worst_of_hop_%"] = 100.0 * worst_us / (hop_s * 1e6);
}

pitch::PitchPrior prior_of_f() {
    return trainer::prior_for(horn::Tuning{});
}

void bellhand_estimator(benchmark::State& state) {
    const auto rate_hz = static_cast<double>(state.range(0));
    const auto& sound = a_minute(rate_hz);
    double spent_us = 0.0;
    double worst_us = 0.0;
    double hops = 0.0;
    double hop_s = 0.0;
    for (auto _ : state) {
        auto made = pitch::make_estimator({rate_hz, 0.0});
        auto& estimator = **made;
        estimator.set_prior(prior_of_f());
        hop_s = estimator.hop_s();
        std::span<const float> rest(sound);
        pitch::PitchFrame frame;
        while (!rest.empty()) {
            const double begin_us = thread_us();
            rest = rest.subspan(estimator.push(rest));
            const bool ready = estimator.frame(frame);
            const double us = thread_us() - begin_us;
            spent_us += us;
            if (ready) {
                ++hops;
                worst_us = std::max(worst_us, us);
            }
            benchmark::DoNotOptimize(frame);
        }
    }
    const double sound_s =
        static_cast<double>(state.iterations()) * static_cast<double>(sound.size()) / rate_hz;
    report(state, sound_s, hops, hop_s, spent_us, worst_us);
}
BENCHMARK(bellhand_estimator)
    ->Arg(48000)
    ->Arg(16000)
    ->Arg(44100)
    ->Arg(96000)
    ->Arg(192000)
    ->Unit(benchmark::kMillisecond);

/// Everything on the analysis thread: estimator, reader, notes.
void bellhand_analysis_path(benchmark::State& state) {
    constexpr double kRateHz = 48000.0;
    const auto& sound = a_minute(kRateHz);
    double spent_us = 0.0;
    double worst_us = 0.0;
    double hops = 0.0;
    double hop_s = 0.0;
    for (auto _ : state) {
        auto made = pitch::make_estimator({kRateHz, 0.0});
        auto& estimator = **made;
        estimator.set_prior(prior_of_f());
        trainer::Reader reader{horn::Tuning{}};
        trainer::NoteTracker notes;
        hop_s = estimator.hop_s();
        std::span<const float> rest(sound);
        pitch::PitchFrame frame;
        while (!rest.empty()) {
            const double begin_us = thread_us();
            rest = rest.subspan(estimator.push(rest));
            const bool ready = estimator.frame(frame);
            if (ready) {
                bool ended = notes.add(reader.read(frame));
                benchmark::DoNotOptimize(ended);
            }
            const double us = thread_us() - begin_us;
            spent_us += us;
            if (ready) {
                ++hops;
                worst_us = std::max(worst_us, us);
            }
        }
    }
    const double sound_s =
        static_cast<double>(state.iterations()) * static_cast<double>(sound.size()) / kRateHz;
    report(state, sound_s, hops, hop_s, spent_us, worst_us);
}
BENCHMARK(bellhand_analysis_path)->Unit(benchmark::kMillisecond);

#ifdef BELLHAND_HAVE_AUBIO
void aubio_detector(benchmark::State& state, const char* method) {
    constexpr unsigned kRateHz = 48000;
    constexpr unsigned kBuffer = 2048;
    constexpr unsigned kHop = 256;
    const auto& sound = a_minute(kRateHz);
    double spent_us = 0.0;
    double worst_us = 0.0;
    double hops = 0.0;
    for (auto _ : state) {
        aubio_pitch_t* pitch = new_aubio_pitch(method, kBuffer, kHop, kRateHz);
        fvec_t* in = new_fvec(kHop);
        fvec_t* out = new_fvec(1);
        for (std::size_t i = 0; i + kHop <= sound.size(); i += kHop) {
            std::copy_n(sound.begin() + static_cast<std::ptrdiff_t>(i), kHop, in->data);
            const double begin_us = thread_us();
            aubio_pitch_do(pitch, in, out);
            const double us = thread_us() - begin_us;
            spent_us += us;
            worst_us = std::max(worst_us, us);
            ++hops;
            benchmark::DoNotOptimize(out->data[0]);
        }
        del_fvec(in);
        del_fvec(out);
        del_aubio_pitch(pitch);
    }
    const double sound_s =
        static_cast<double>(state.iterations()) * static_cast<double>(sound.size()) / kRateHz;
    report(state, sound_s, hops, static_cast<double>(kHop) / kRateHz, spent_us, worst_us);
}
BENCHMARK_CAPTURE(aubio_detector, yinfast_2048_256, "yinfast")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(aubio_detector, yinfft_2048_256, "yinfft")->Unit(benchmark::kMillisecond);
#endif

/// Resident memory of this process in kilobytes, from the kernel.
double resident_kb() {
    std::ifstream status("/proc/self/status");
    std::string word;
    while (status >> word) {
        if (word == "VmRSS:") {
            double kb = 0.0;
            status >> kb;
            return kb;
        }
    }
    return 0.0;
}

void one_hour(benchmark::State& state) {
    constexpr double kRateHz = 48000.0;
    const auto& sound = a_minute(kRateHz);
    double before_kb = 0.0;
    double after_kb = 0.0;
    double seconds = 0.0;
    double notes_ended = 0.0;
    for (auto _ : state) {
        auto made = pitch::make_estimator({kRateHz, 0.0});
        auto& estimator = **made;
        estimator.set_prior(prior_of_f());
        trainer::Reader reader{horn::Tuning{}};
        trainer::NoteTracker notes;
        pitch::PitchFrame frame;
        const auto begin = std::chrono::steady_clock::now();
        for (int minute = 0; minute < 60; ++minute) {
            std::span<const float> rest(sound);
            while (!rest.empty()) {
                rest = rest.subspan(estimator.push(rest));
                if (estimator.frame(frame) && notes.add(reader.read(frame))) {
                    ++notes_ended;
                }
            }
            if (minute == 0) {
                before_kb = resident_kb();
            }
        }
        seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
        after_kb = resident_kb();
    }
    state.counters["seconds"] = seconds;
    state.counters["kb_after_1_min"] = before_kb;
    state.counters["kb_after_60_min"] = after_kb;
    state.counters["grown_kb"] = after_kb - before_kb;
    state.counters["notes"] = notes_ended;
}
BENCHMARK(one_hour)->Iterations(1)->Unit(benchmark::kSecond);

} // namespace

BENCHMARK_MAIN();
