#include "support/signals_room.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>

#include <kiss_fftr.h>

namespace bellhand::test {

namespace {

constexpr double kSoundSpeedMps = 343.0; // dry air, 20 degrees Celsius
constexpr int kSincReach = 12;           // samples on either side
constexpr double kMovedM = 0.05;         // standard deviation of an image's displacement

/// Adds one image: by windowed sinc in the early part, to the nearest sample later, where nobody can tell.
void add_image(Samples& response, double place, double gain, bool early) {
    const auto size = static_cast<long>(response.size());
    const long nearest = std::lround(place);
    if (!early) {
        if (nearest >= 0 && nearest < size) {
            response[static_cast<std::size_t>(nearest)] += gain;
        }
        return;
    }
    for (long n = std::max(0L, nearest - kSincReach); n <= std::min(size - 1, nearest + kSincReach);
         ++n) {
        const double x = static_cast<double>(n) - place;
        const double sinc =
            std::abs(x) < 1e-9 ? 1.0 : std::sin(std::numbers::pi * x) / (std::numbers::pi * x);
        const double window = 0.5 + 0.5 * std::cos(std::numbers::pi * x / (kSincReach + 1));
        response[static_cast<std::size_t>(n)] += gain * sinc * window;
    }
}

using Plan = std::unique_ptr<kiss_fftr_state, void (*)(kiss_fftr_state*)>;

Plan make_plan(int size, bool inverse) {
    return {kiss_fftr_alloc(size, inverse ? 1 : 0, nullptr, nullptr),
            [](kiss_fftr_state* plan) { kiss_fftr_free(plan); }};
}

std::vector<kiss_fft_cpx>
transform(kiss_fftr_state* plan, std::span<const double> samples, std::size_t size) {
    std::vector<float> padded(size, 0.0F);
    std::transform(samples.begin(), samples.end(), padded.begin(), [](double x) {
        return static_cast<float>(x);
    });
    std::vector<kiss_fft_cpx> bins(size / 2 + 1);
    kiss_fftr(plan, padded.data(), bins.data());
    return bins;
}

} // namespace

Samples impulse_response(const Room& room, double rate_hz, Random& random) {
    const auto& [lx, ly, lz] = room.size_m;
    const double volume_m3 = lx * ly * lz;
    const double surface_m2 = 2.0 * (lx * ly + ly * lz + lx * lz);
    const double absorbed = 1.0 - std::exp(-0.161 * volume_m3 / (surface_m2 * room.rt60_s));
    const double reflected = std::sqrt(1.0 - absorbed); // pressure

    double direct_m = 0.0;
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const double d = room.player_m[axis] - room.microphone_m[axis];
        direct_m += d * d;
    }
    direct_m = std::sqrt(direct_m);

    const double length_s = 0.85 * room.rt60_s; // to about -50 dB
    const double reach_m = direct_m + kSoundSpeedMps * length_s;
    Samples response(static_cast<std::size_t>(length_s * rate_hz), 0.0);
    std::array<int, 3> most{};
    for (std::size_t axis = 0; axis < 3; ++axis) {
        most[axis] = static_cast<int>(reach_m / (2.0 * room.size_m[axis])) + 1;
    }
    // Image (n, p) on an axis: at (1 - 2p) * player + 2 n * size, after |n - p| + |n| reflections.
    const auto offset = [&](std::size_t axis, int n, int p) {
        return (1 - 2 * p) * room.player_m[axis] + 2.0 * n * room.size_m[axis] -
               room.microphone_m[axis];
    };
    for (int nx = -most[0]; nx <= most[0]; ++nx) {
        for (int px = 0; px <= 1; ++px) {
            const double dx = offset(0, nx, px);
            for (int ny = -most[1]; ny <= most[1]; ++ny) {
                for (int py = 0; py <= 1; ++py) {
                    const double dy = offset(1, ny, py);
                    const double across = dx * dx + dy * dy;
                    if (across > reach_m * reach_m) {
                        continue;
                    }
                    for (int nz = -most[2]; nz <= most[2]; ++nz) {
                        for (int pz = 0; pz <= 1; ++pz) {
                            const double dz = offset(2, nz, pz);
                            const double squared = across + dz * dz;
                            if (squared > reach_m * reach_m) {
                                continue;
                            }
                            const int bounces = std::abs(nx - px) + std::abs(nx) +
                                                std::abs(ny - py) + std::abs(ny) +
                                                std::abs(nz - pz) + std::abs(nz);
                            double distance_m = std::sqrt(squared);
                            if (bounces > 0) {
                                distance_m =
                                    std::max(direct_m, distance_m + kMovedM * random.gauss());
                            }
                            const double gain =
                                std::pow(reflected, bounces) * direct_m / distance_m;
                            const double late_s = (distance_m - direct_m) / kSoundSpeedMps;
                            add_image(response, late_s * rate_hz, gain, late_s < 0.08);
                        }
                    }
                }
            }
        }
    }
    // All reflections are positive, which piles up far below any note: remove it with a 20 Hz high pass, but leave
    // the direct sound alone.
    const double direct = response.empty() ? 0.0 : response[0];
    const double pole = std::exp(-2.0 * std::numbers::pi * 20.0 / rate_hz);
    double low = 0.0;
    for (double& x : response) {
        low = pole * low + (1.0 - pole) * x;
        x -= low;
    }
    if (!response.empty() && response[0] != 0.0) {
        const double scale = direct / response[0];
        for (double& x : response) {
            x *= scale / direct;
        }
    }
    return response;
}

double measured_rt60_s(std::span<const double> response, double rate_hz) {
    std::vector<double> remaining(response.size() + 1, 0.0);
    for (std::size_t i = response.size(); i-- > 0;) {
        remaining[i] = remaining[i + 1] + response[i] * response[i];
    }
    // After the direct sound: this is about the room.
    const auto begin = static_cast<std::size_t>(0.003 * rate_hz);
    const auto time_at = [&](double db) {
        for (std::size_t i = begin; i < response.size(); ++i) {
            if (10.0 * std::log10(remaining[i] / remaining[begin]) <= db) {
                return static_cast<double>(i) / rate_hz;
            }
        }
        return static_cast<double>(response.size()) / rate_hz;
    };
    return 3.0 * (time_at(-25.0) - time_at(-5.0));
}

Samples convolved(std::span<const double> samples, std::span<const double> response) {
    std::size_t size = 2;
    while (size < samples.size() + response.size()) {
        size *= 2;
    }
    const Plan forward = make_plan(static_cast<int>(size), false);
    const Plan backward = make_plan(static_cast<int>(size), true);
    auto product = transform(forward.get(), samples, size);
    const auto other = transform(forward.get(), response, size);
    for (std::size_t i = 0; i < product.size(); ++i) {
        const kiss_fft_cpx a = product[i];
        const kiss_fft_cpx b = other[i];
        product[i] = {a.r * b.r - a.i * b.i, a.r * b.i + a.i * b.r};
    }
    std::vector<float> out(size);
    kiss_fftri(backward.get(), product.data(), out.data());
    Samples result(samples.size());
    for (std::size_t i = 0; i < result.size(); ++i) {
        result[i] = static_cast<double>(out[i]) / static_cast<double>(size);
    }
    return result;
}

} // namespace bellhand::test
