// Resonances of one configuration and of a whole chart, beside a plain peer in the same run: the same bore as thin
// cylinders multiplied with the standard library's complex functions on a fine grid of frequencies.
#include "horn/acoustics/natural_horn.h"

#include <cmath>
#include <numbers>

#include <benchmark/benchmark.h>

namespace {

using namespace bellhand::horn::acoustics;

constexpr double kF1_hz = 43.654; // crook of F at A4 = 440

Bore f_horn() {
    return with_hand(horn_bore({}, *crook_length_for_m({}, kF1_hz, keefe_air(25))), hand_at(0.5));
}

void one_configuration(benchmark::State& state, Losses losses) {
    const Bore bore = f_horn();
    for (auto _ : state) {
        const Line line(bore, keefe_air(25), losses);
        benchmark::DoNotOptimize(resonances(line, {17.0, 16.7 * kF1_hz, 16}));
    }
}
BENCHMARK_CAPTURE(one_configuration, series, Losses::series)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(one_configuration, exact, Losses::exact)->Unit(benchmark::kMillisecond);

/// The bore as cylinders of at most 2 mm wherever it tapers.
std::vector<Segment> as_cylinders(const Bore& bore) {
    std::vector<Segment> cylinders;
    for (const Segment& segment : bore.segments) {
        const bool straight = segment.radius_in_m == segment.radius_out_m;
        const int count = straight ? 1 : std::max(1, static_cast<int>(segment.length_m / 0.002));
        for (int i = 0; i < count; ++i) {
            const double part = (i + 0.5) / count;
            const double radius_m =
                segment.radius_in_m + (segment.radius_out_m - segment.radius_in_m) * part;
            cylinders.push_back({segment.length_m / count, radius_m, radius_m});
        }
    }
    return cylinders;
}

double plain_magnitude(const std::vector<Segment>& cylinders, double rim_m, double f_hz) {
    const Air air = keefe_air(25);
    const double ka = 2 * std::numbers::pi * f_hz / air.speed_m_s * rim_m;
    Complex z = air.density_kg_m3 * air.speed_m_s / (std::numbers::pi * rim_m * rim_m) *
                radiation_over_characteristic(ka, OpenEnd::unflanged);
    for (std::size_t i = cylinders.size(); i-- > 0;) {
        const double radius_m = cylinders[i].radius_in_m;
        const Propagation wave = propagation(radius_m, f_hz, air, Losses::series);
        const Complex zc = wave.specific_impedance / (std::numbers::pi * radius_m * radius_m);
        const Complex cosh = std::cosh(wave.gamma_per_m * cylinders[i].length_m);
        const Complex sinh = std::sinh(wave.gamma_per_m * cylinders[i].length_m);
        z = (z * cosh + zc * sinh) / (z / zc * sinh + cosh);
    }
    return std::abs(z);
}

/// Peer: |Z| every 0.25 Hz, highest points counted.
void plain_cylinders(benchmark::State& state) {
    const Bore bore = f_horn();
    const std::vector<Segment> cylinders = as_cylinders(bore);
    for (auto _ : state) {
        int peaks = 0;
        double before = 0.0;
        double here = 0.0;
        for (double f_hz = 17.0; f_hz < 16.7 * kF1_hz; f_hz += 0.25) {
            const double now = plain_magnitude(cylinders, bore.segments.back().radius_out_m, f_hz);
            peaks += here > before && here >= now ? 1 : 0;
            before = here;
            here = now;
        }
        benchmark::DoNotOptimize(peaks);
    }
}
BENCHMARK(plain_cylinders)->Unit(benchmark::kMillisecond);

/// Seventeen crooks, empty bell and five hand positions, crook lengths solved for as well.
void whole_chart(benchmark::State& state) {
    std::vector<double> f1;
    for (int s = 0; s >= -16; --s) {
        f1.push_back(440.0 * std::exp2((s - 33) / 12.0));
    }
    const double closures[] = {0.0, 0.25, 0.5, 0.75, 1.0};
    for (auto _ : state) {
        benchmark::DoNotOptimize(hand_tables({}, f1, closures, keefe_air(25)));
    }
}
BENCHMARK(whole_chart)->Unit(benchmark::kMillisecond);

} // namespace

BENCHMARK_MAIN();
