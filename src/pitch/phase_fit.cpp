#include "pitch/phase_fit.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::pitch {

namespace {

constexpr int kLanes = 8;

constexpr double kHiss = 3.0;
constexpr int kReach = 3; // neighbours on each side whose leakage is taken out

// Sums over the window for every harmonic, with room for the neighbours of the first and last.
struct Sums {
    alignas(32) std::array<float, kBankHarmonics + 2 * kLanes> re{}, im{};
    float* r() noexcept { return re.data() + kLanes; }
    float* i() noexcept { return im.data() + kLanes; }
    [[nodiscard]] const float* r() const noexcept { return re.data() + kLanes; }
    [[nodiscard]] const float* i() const noexcept { return im.data() + kLanes; }
};

// w z, w t z and w (t^2 - m2) z.
struct Moments {
    std::array<Sums, 3> sum{};
};

struct WindowSums {
    double s0 = 0.0, s2 = 0.0, s4 = 0.0, w2 = 0.0, w2t2 = 0.0, w2q2 = 0.0;
};

// Sums of w z, w t z and w (t^2 - m2) z over the window for every harmonic, each turned back along the expected pitch.
void gather(const PhasorBank& bank,
            const PhaseFitRequest& request,
            const float* weight,
            double centre,
            double m2,
            double offset,
            double chirp,
            Moments& out) noexcept {
    const int chunks = (bank.harmonics() + kLanes - 1) / kLanes;
    const int count = request.oldest - request.newest + 1;
    for (int i = 0; i < count; ++i) {
        const int age = request.oldest - i;
        const double t = (i - centre) * bank.step();
        const double angle = -(offset * t + 0.5 * chirp * t * t);
        const auto c1 = static_cast<float>(std::cos(angle));
        const auto s1 = static_cast<float>(std::sin(angle));
        float turn_re[kLanes], turn_im[kLanes];
        turn_re[0] = c1;
        turn_im[0] = s1;
        for (int k = 1; k < kLanes; ++k) {
            turn_re[k] = turn_re[k - 1] * c1 - turn_im[k - 1] * s1;
            turn_im[k] = turn_re[k - 1] * s1 + turn_im[k - 1] * c1;
        }
        const float step_re = turn_re[kLanes - 1];
        const float step_im = turn_im[kLanes - 1];
        const float* re = bank.real(age);
        const float* im = bank.imag(age);
        const float w = weight[i];
        const auto tf = static_cast<float>(t);
        const auto qf = static_cast<float>(t * t - m2);
        for (int c = 0; c < chunks; ++c) {
            const int first = c * kLanes;
            float* sr = out.sum[0].r() + first;
            float* si = out.sum[0].i() + first;
            float* tr = out.sum[1].r() + first;
            float* ti = out.sum[1].i() + first;
            float* qr = out.sum[2].r() + first;
            float* qi = out.sum[2].i() + first;
            for (int k = 0; k < kLanes; ++k) {
                const float a = w * (re[first + k] * turn_re[k] - im[first + k] * turn_im[k]);
                const float b = w * (re[first + k] * turn_im[k] + im[first + k] * turn_re[k]);
                sr[k] += a;
                si[k] += b;
                tr[k] += tf * a;
                ti[k] += tf * b;
                qr[k] += qf * a;
                qi[k] += qf * b;
                const float next_re = turn_re[k] * step_re - turn_im[k] * step_im;
                turn_im[k] = turn_re[k] * step_im + turn_im[k] * step_re;
                turn_re[k] = next_re;
            }
        }
    }
}

// What a harmonic `k` places away leaks into the three sums of its neighbour, per unit of its own first sum.
struct Leak {
    std::array<float, 3> re{}, im{};
};

std::array<Leak, kReach> leakage(const PhasorBank& bank,
                                 const PhaseFitRequest& request,
                                 const float* weight,
                                 double centre,
                                 double m2,
                                 double s0,
                                 double omega,
                                 double chirp) noexcept {
    std::array<Leak, kReach> out{};
    const int step = bank.step();
    const int count = request.oldest - request.newest + 1;
    std::array<std::array<double, 6>, kReach> sum{};
    for (int i = 0; i < count; ++i) {
        const double t = (i - centre) * step;
        const double q = t * t - m2;
        const double angle = omega * t + 0.5 * chirp * t * t;
        const double c1 = std::cos(angle);
        const double s1 = std::sin(angle);
        double c = static_cast<double>(weight[i]);
        double s = 0.0;
        for (auto& k : sum) {
            const double next = c * c1 - s * s1;
            s = c * s1 + s * c1;
            c = next;
            k[0] += c;
            k[1] += s;
            k[2] += t * c;
            k[3] += t * s;
            k[4] += q * c;
            k[5] += q * s;
        }
    }
    // Phase of the fundamental in the middle of the window, and what the triangular blocks let through.
    const double phase = bank.newest_phase() - bank.omega() * (request.newest + centre) * step;
    for (int k = 1; k <= kReach; ++k) {
        const double half = 0.5 * k * omega;
        const double sinc = std::sin(half * step) / (step * std::sin(half));
        const double gain = sinc * sinc / s0;
        const double c = gain * std::cos(k * phase);
        const double s = gain * std::sin(k * phase);
        const auto at = static_cast<std::size_t>(k - 1);
        for (std::size_t j = 0; j < 3; ++j) {
            out[at].re[j] = static_cast<float>(sum[at][2 * j] * c - sum[at][2 * j + 1] * s);
            out[at].im[j] = static_cast<float>(sum[at][2 * j] * s + sum[at][2 * j + 1] * c);
        }
    }
    return out;
}

// Takes out of every harmonic's sums what its neighbours leak into them: two rounds of Jacobi's rule on the normal
// equations of the joint least squares.
void part_neighbours(Moments& m, const std::array<Leak, kReach>& leak, int harmonics) noexcept {
    const Moments raw = m;
    Sums now = raw.sum[0];
    const int lanes = (harmonics + kLanes - 1) / kLanes * kLanes;
    for (int l = harmonics; l < lanes; ++l)
        now.r()[l] = now.i()[l] = 0.0F;
    for (int round = 0; round < 2; ++round) {
        Moments next = raw;
        const std::size_t sums = round == 0 ? 1 : 3;
        for (int k = 1; k <= kReach; ++k) {
            const Leak& v = leak[static_cast<std::size_t>(k - 1)];
            for (std::size_t j = 0; j < sums; ++j) {
                const float re = v.re[j];
                const float im = v.im[j];
                float* to_re = next.sum[j].r();
                float* to_im = next.sum[j].i();
                const float* above_re = now.r() + k;
                const float* above_im = now.i() + k;
                const float* below_re = now.r() - k;
                const float* below_im = now.i() - k;
                for (int l = 0; l < lanes; ++l) {
                    to_re[l] -=
                        above_re[l] * re - above_im[l] * im + below_re[l] * re + below_im[l] * im;
                    to_im[l] -=
                        above_re[l] * im + above_im[l] * re + below_im[l] * re - below_re[l] * im;
                }
                // The mirror images of the lowest harmonics, at minus their frequency.
                for (int l = 1; l < k; ++l) {
                    const int other = k - l;
                    if (l > harmonics || other > harmonics)
                        continue;
                    const float mirror_re = now.r()[other - 1];
                    const float mirror_im = -now.i()[other - 1];
                    to_re[l - 1] -= mirror_re * re + mirror_im * im;
                    to_im[l - 1] -= mirror_im * re - mirror_re * im;
                }
            }
        }
        now = next.sum[0];
        for (int l = harmonics; l < lanes; ++l)
            now.r()[l] = now.i()[l] = 0.0F;
        if (round == 1)
            m = next;
    }
}

struct Joined {
    double value = 0.0;
    double information = 0.0;
    double misfit = 1.0;
    double spread = 1.0;
};

// Inverse-variance mean of value[l] / l with Huber weights; `v` the variances of value[l].
Joined join(const std::array<double, kBankHarmonics>& value,
            const std::array<double, kBankHarmonics>& v,
            int count,
            bool robust) noexcept {
    Joined out;
    const int rounds = robust ? 3 : 1;
    for (int round = 0; round < rounds; ++round) {
        double numerator = 0.0, denominator = 0.0, squares = 0.0, chi = 0.0, weights = 0.0;
        for (int i = 0; i < count; ++i) {
            const auto at = static_cast<std::size_t>(i);
            const double l = i + 1.0;
            double weight = 1.0 / v[at];
            const double away = std::abs(value[at] - l * out.value) / std::sqrt(v[at]);
            if (round > 0 && away > 2.0)
                weight *= 2.0 / away;
            const double information = weight * l * l;
            numerator += weight * l * value[at];
            denominator += information;
            squares += information * information;
            if (round > 0) {
                const double share = l * l / v[at] / out.information;
                const double use = std::min(1.0, 1.0 - share);
                if (use > 0.05) {
                    chi += std::min(away * away, 16.0) * information;
                    weights += use * information;
                }
            }
        }
        if (!(denominator > 0.0))
            return out;
        out.value = numerator / denominator;
        out.information = denominator;
        out.spread = denominator * denominator / squares;
        if (weights > 0.0)
            out.misfit = chi / weights;
    }
    return out;
}

} // namespace

PhaseFit fit_phase(const PhasorBank& bank,
                   const PhaseFitRequest& request,
                   const std::array<float, kBankHarmonics>& noise) noexcept {
    PhaseFit out;
    const int count = request.oldest - request.newest + 1;
    if (count < 4 || request.oldest >= bank.filled())
        return out;
    const int step = bank.step();
    const double centre = (count - 1) / 2.0;
    std::array<float, PhasorBank::kBlocks> weight{};
    WindowSums sums;
    for (int i = 0; i < count; ++i) {
        const double t = (i - centre) * step;
        const double w = std::cos(std::numbers::pi * (i - centre) / count);
        weight[static_cast<std::size_t>(i)] = static_cast<float>(w);
        const double t2 = t * t;
        sums.s0 += w;
        sums.s2 += w * t2;
        sums.s4 += w * t2 * t2;
        sums.w2 += w * w;
        sums.w2t2 += w * w * t2;
    }
    const double m2 = sums.s2 / sums.s0;
    const double g = sums.s4 / sums.s0 - m2 * m2;
    for (int i = 0; i < count; ++i) {
        const double t = (i - centre) * step;
        const double q = t * t - m2;
        const auto w = static_cast<double>(weight[static_cast<std::size_t>(i)]);
        sums.w2q2 += w * w * q * q;
    }
    out.omega = request.omega;
    out.chirp = request.chirp;
    out.middle = (request.newest + centre + 1.0) * step - 0.5;
    const double slope_gain = sums.s0 * sums.s0 * sums.w2t2 / (sums.s2 * sums.s2);
    const double bend_gain = 4.0 * sums.w2q2 / (g * g);
    for (int pass = 0; pass < request.passes; ++pass) {
        Moments moments;
        gather(
            bank, request, weight.data(), centre, m2, out.omega - bank.omega(), out.chirp, moments);
        part_neighbours(
            moments,
            leakage(bank, request, weight.data(), centre, m2, sums.s0, out.omega, out.chirp),
            bank.harmonics());
        std::array<double, kBankHarmonics> slope{}, bend{}, v{}, bend_v{};
        for (int i = 0; i < bank.harmonics(); ++i) {
            const auto at = static_cast<std::size_t>(i);
            const double re = static_cast<double>(moments.sum[0].r()[i]);
            const double im = static_cast<double>(moments.sum[0].i()[i]);
            const double norm = re * re + im * im + 1e-20;
            out.amplitude[at] = static_cast<float>(2.0 * std::sqrt(norm) / (sums.s0 * step));
            slope[at] = (static_cast<double>(moments.sum[1].i()[i]) * re -
                         static_cast<double>(moments.sum[1].r()[i]) * im) /
                        norm * sums.s0 / sums.s2;
            bend[at] = 2.0 *
                       (static_cast<double>(moments.sum[2].i()[i]) * re -
                        static_cast<double>(moments.sum[2].r()[i]) * im) /
                       (norm * g);
            const double noise_power = static_cast<double>(noise[at]) * step / 2.0;
            // A harmonic that hardly rises above the noise looks surer than it is.
            const double hiss = 2.0 * noise_power * sums.w2;
            const double sure = std::max(norm - kHiss * hiss, 1e-6 * norm);
            v[at] = noise_power * slope_gain / sure;
            bend_v[at] = noise_power * bend_gain / sure;
        }
        const Joined slopes = join(slope, v, bank.harmonics(), request.robust);
        if (!(slopes.information > 0.0))
            return out;
        const double limit = out.omega * 0.03;
        out.correction = std::clamp(slopes.value, -limit, limit);
        out.omega += out.correction;
        out.variance = 1.0 / slopes.information;
        out.misfit = slopes.misfit;
        out.spread = slopes.spread;
        if (request.chirp_prior_sd > 0.0) {
            const Joined bends = join(bend, bend_v, bank.harmonics(), request.robust);
            const double prior = request.chirp_prior_sd * request.chirp_prior_sd;
            const double measured = out.chirp + bends.value;
            const double measured_variance = 1.0 / bends.information;
            out.chirp = measured * prior / (prior + measured_variance);
            out.chirp_variance = prior * measured_variance / (prior + measured_variance);
        }
    }
    out.ok = std::isfinite(out.omega) && out.omega > 0.0;
    return out;
}

} // namespace bellhand::pitch
