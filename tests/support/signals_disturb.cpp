#include "support/signals_disturb.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace bellhand::test {

namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kTwoPi = 2.0 * kPi;

void add_scaled(Samples& samples, const Samples& other, double wanted_rms, double present_rms) {
    if (present_rms <= 0.0) {
        return;
    }
    for (std::size_t n = 0; n < samples.size(); ++n) {
        samples[n] += other[n] * wanted_rms / present_rms;
    }
}

/// Second-order section, direct form 1, coefficients after Bristow-Johnson's formulas for the bilinear transform.
struct Section {
    double b0, b1, b2, a1, a2;
    double x1 = 0.0, x2 = 0.0, y1 = 0.0, y2 = 0.0;

    double step(double x) {
        const double y = b0 * x + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2;
        x2 = x1;
        x1 = x;
        y2 = y1;
        y1 = y;
        return y;
    }

    static Section high_pass(double cutoff_hz, double quality, double rate_hz) {
        const double w = kTwoPi * cutoff_hz / rate_hz;
        const double alpha = std::sin(w) / (2.0 * quality);
        const double c = std::cos(w);
        const double a0 = 1.0 + alpha;
        return {(1 + c) / 2 / a0, -(1 + c) / a0, (1 + c) / 2 / a0, -2 * c / a0, (1 - alpha) / a0};
    }
    static Section low_pass(double cutoff_hz, double quality, double rate_hz) {
        const double w = kTwoPi * cutoff_hz / rate_hz;
        const double alpha = std::sin(w) / (2.0 * quality);
        const double c = std::cos(w);
        const double a0 = 1.0 + alpha;
        return {(1 - c) / 2 / a0, (1 - c) / a0, (1 - c) / 2 / a0, -2 * c / a0, (1 - alpha) / a0};
    }
    static Section band_pass(double centre_hz, double quality, double rate_hz) {
        const double w = kTwoPi * centre_hz / rate_hz;
        const double alpha = std::sin(w) / (2.0 * quality);
        const double a0 = 1.0 + alpha;
        return {alpha / a0, 0.0, -alpha / a0, -2 * std::cos(w) / a0, (1 - alpha) / a0};
    }
};

} // namespace

void add_white(Samples& samples, double snr_db, Random& random) {
    const double level = from_db(-snr_db);
    for (double& x : samples) {
        x += level * random.gauss();
    }
}

void add_pink(Samples& samples, double snr_db, double rate_hz, Random& random) {
    Samples noise(samples.size(), 0.0);
    for (double corner_hz = 20.0; corner_hz < rate_hz / 2.0; corner_hz *= 2.0) {
        // Low-passed white noise of equal power from each corner sums to 3 dB an octave.
        const double pole = std::exp(-kTwoPi * corner_hz / rate_hz);
        double value = 0.0;
        for (double& x : noise) {
            value = pole * value + std::sqrt(1.0 - pole * pole) * random.gauss();
            x += value;
        }
    }
    add_scaled(samples, noise, from_db(-snr_db), rms(noise));
}

void add_breath(Samples& samples,
                double snr_db,
                double centre_hz,
                double quality,
                double rate_hz,
                Random& random) {
    Samples noise(samples.size());
    Section resonance = Section::band_pass(centre_hz, quality, rate_hz);
    for (double& x : noise) {
        const double white = random.gauss();
        x = resonance.step(white) + 0.05 * white;
    }
    add_scaled(samples, noise, from_db(-snr_db), rms(noise));
}

void add_hum(Samples& samples, double snr_db, double mains_hz, double rate_hz, Random& random) {
    Samples hum(samples.size(), 0.0);
    for (int h = 1; h <= 12; ++h) {
        const double level = std::pow(h, h % 2 == 1 ? -0.9 : -1.4) * random.between(0.6, 1.4);
        const double phase = kTwoPi * random.uniform();
        for (std::size_t n = 0; n < hum.size(); ++n) {
            hum[n] +=
                level * std::sin(kTwoPi * mains_hz * h * static_cast<double>(n) / rate_hz + phase);
        }
    }
    add_scaled(samples, hum, from_db(-snr_db), rms(hum));
}

void add_clicks(
    Samples& samples, double per_minute, double peak_db, double rate_hz, Random& random) {
    const double peak = from_db(peak_db);
    const double pitch_hz = random.between(1500.0, 3000.0);
    const double every_s = 60.0 / per_minute;
    for (double at_s = random.between(0.02, every_s);
         at_s * rate_hz < static_cast<double>(samples.size());
         at_s += every_s) {
        const auto begin = static_cast<std::size_t>(at_s * rate_hz);
        const auto length = static_cast<std::size_t>(0.04 * rate_hz);
        for (std::size_t k = 0; k < length && begin + k < samples.size(); ++k) {
            const double t = static_cast<double>(k) / rate_hz;
            const double wood =
                std::sin(kTwoPi * pitch_hz * t) + 0.6 * std::sin(kTwoPi * 2.71 * pitch_hz * t);
            samples[begin + k] +=
                peak * std::exp(-t / 0.006) * (wood + 0.5 * std::exp(-t / 0.001) * random.gauss());
        }
    }
}

void add_string(Samples& samples,
                double f0_hz,
                double start_s,
                double amplitude,
                double rate_hz,
                Random& random) {
    const double stiffness = random.between(2e-4, 5e-4);
    const auto begin = static_cast<std::size_t>(start_s * rate_hz);
    for (int l = 1; l <= 14; ++l) {
        const double f_hz = l * f0_hz * std::sqrt(1.0 + stiffness * l * l);
        if (f_hz > 0.42 * rate_hz) {
            break;
        }
        const double level = amplitude * std::pow(l, -1.1) * random.between(0.6, 1.3);
        const double decay_s = 1.8 / std::pow(l, 0.7);
        const double phase = kTwoPi * random.uniform();
        for (std::size_t n = begin; n < samples.size(); ++n) {
            const double t = static_cast<double>(n - begin) / rate_hz;
            samples[n] += level * std::min(1.0, t / 0.004) * std::exp(-t / decay_s) *
                          std::sin(kTwoPi * f_hz * t + phase);
        }
    }
}

void add_chords(Samples& samples,
                double near_hz,
                double below_db,
                double from_s,
                double to_s,
                double rate_hz,
                Random& random) {
    // Semitones from the tempered note nearest to the horn: triads in several places, some sharing the horn's pitch class.
    constexpr std::array<std::array<int, 4>, 6> kChords{{
        {-12, -8, -5, 0},
        {-17, -12, -8, -5},
        {-24, -12, -9, -5},
        {-19, -15, -12, -7},
        {-14, -10, -7, -2},
        {-16, -9, -4, 3},
    }};
    Samples chords(samples.size(), 0.0);
    const double tempered = 440.0 * std::exp2(std::round(12.0 * std::log2(near_hz / 440.0)) / 12.0);
    const double step_s = (to_s - from_s) / 2.4;
    for (double at_s = std::max(0.0, from_s - 0.1); at_s < to_s; at_s += step_s) {
        for (const int semitones : kChords[random.below(kChords.size())]) {
            double f_hz = tempered * std::exp2(semitones / 12.0);
            while (f_hz < 55.0) {
                f_hz *= 2.0;
            }
            while (f_hz > 900.0) {
                f_hz /= 2.0;
            }
            add_string(chords,
                       f_hz,
                       at_s + random.between(0.0, 0.02),
                       random.between(0.7, 1.0),
                       rate_hz,
                       random);
        }
    }
    const auto a = static_cast<std::size_t>(from_s * rate_hz);
    const auto b = std::min(chords.size(), static_cast<std::size_t>(to_s * rate_hz));
    add_scaled(samples, chords, from_db(-below_db), rms(std::span(chords).subspan(a, b - a)));
}

void add_speech(
    Samples& samples, double from_s, double to_s, double level_db, double rate_hz, Random& random) {
    // Vowels by their first three formants in hertz; round textbook figures, from memory.
    constexpr std::array<std::array<double, 3>, 6> kVowels{{
        {730, 1090, 2440},
        {270, 2290, 3010},
        {300, 870, 2240},
        {530, 1840, 2480},
        {570, 840, 2410},
        {490, 1350, 1690},
    }};
    const auto begin = static_cast<std::size_t>(from_s * rate_hz);
    const auto end = std::min(samples.size(), static_cast<std::size_t>(to_s * rate_hz));
    Samples speech(samples.size(), 0.0);
    const double voice_hz = random.between(95.0, 220.0);
    double phase = 0.0;
    std::size_t n = begin;
    while (n < end) {
        const bool hiss = random.uniform() < 0.25;
        const auto length =
            static_cast<std::size_t>(random.between(0.07, hiss ? 0.14 : 0.26) * rate_hz);
        const auto& vowel = kVowels[random.below(kVowels.size())];
        std::array<Section, 3> formants{Section::band_pass(vowel[0], 7.0, rate_hz),
                                        Section::band_pass(vowel[1], 12.0, rate_hz),
                                        Section::band_pass(vowel[2], 14.0, rate_hz)};
        const double rise = random.between(-0.25, 0.2);
        const double start_hz = voice_hz * random.between(0.85, 1.25);
        double before = 0.0;
        for (std::size_t k = 0; k < length && n < end; ++k, ++n) {
            const double part = static_cast<double>(k) / static_cast<double>(length);
            const double swell = std::sin(kPi * part);
            if (hiss) {
                const double white = random.gauss();
                speech[n] = 0.25 * swell * (white - before);
                before = white;
                continue;
            }
            phase += start_hz * (1.0 + rise * part) * (1.0 + 0.004 * random.gauss()) / rate_hz;
            phase -= std::floor(phase);
            // Opening two thirds of the period, sudden closure: the derivative excites the formants.
            const double flow = phase < 0.66 ? std::sin(kPi * phase / 0.66) * phase : 0.0;
            const double source = flow - before + 0.003 * random.gauss();
            before = flow;
            speech[n] = swell * (3.0 * formants[0].step(source) + 1.5 * formants[1].step(source) +
                                 0.8 * formants[2].step(source));
        }
        if (random.uniform() < 0.3) {
            n += static_cast<std::size_t>(random.between(0.03, 0.12) * rate_hz);
        }
    }
    add_scaled(
        samples, speech, from_db(level_db), rms(std::span(speech).subspan(begin, end - begin)));
}

Samples high_passed(const Samples& samples, double cutoff_hz, double rate_hz, bool steep) {
    Section first = Section::high_pass(cutoff_hz, steep ? 0.5412 : 0.7071, rate_hz);
    Section second = Section::high_pass(cutoff_hz, 1.3066, rate_hz);
    Samples out = samples;
    for (double& x : out) {
        x = first.step(x);
        x = steep ? second.step(x) : x;
    }
    return out;
}

Samples low_passed(const Samples& samples, double cutoff_hz, double rate_hz) {
    Samples out = samples;
    for (const double quality : {0.5098, 0.6013, 0.9000, 2.5629}) {
        Section section = Section::low_pass(cutoff_hz, quality, rate_hz);
        for (double& x : out) {
            x = section.step(x);
        }
    }
    return out;
}

Samples call_band(const Samples& samples, double rate_hz) {
    constexpr double kA = 87.6;
    constexpr double kFullScale = 6.0; // times the tone's rms
    const double knee = 1.0 / kA;
    const double whole = 1.0 + std::log(kA);
    Samples out = low_passed(high_passed(samples, 300.0, rate_hz, true), 3400.0, rate_hz);
    for (double& x : out) {
        const double size = std::min(1.0, std::abs(x) / kFullScale);
        const double pressed =
            size < knee ? kA * size / whole : (1.0 + std::log(kA * size)) / whole;
        const double stepped = (std::floor(pressed * 128.0) + 0.5) / 128.0;
        const double back =
            stepped * whole < 1.0 ? stepped * whole / kA : std::exp(stepped * whole - 1.0) / kA;
        x = std::copysign(back * kFullScale, x);
    }
    return low_passed(out, 3400.0, rate_hz);
}

Samples clipped(const Samples& samples, double limit) {
    Samples out = samples;
    for (double& x : out) {
        x = std::clamp(x, -limit, limit);
    }
    return out;
}

Samples gain_ridden(const Samples& samples, double rate_hz) {
    Samples out = samples;
    double power = 0.02;
    double gain = 4.0;
    const double up = 1.0 - std::exp(-1.0 / (0.1 * rate_hz));
    const double down = 1.0 - std::exp(-1.0 / (0.6 * rate_hz));
    const auto update = static_cast<std::size_t>(0.01 * rate_hz);
    for (std::size_t n = 0; n < out.size(); ++n) {
        const double now = samples[n] * samples[n];
        power += (now > power ? up : down) * (now - power);
        if (n % update == 0) {
            gain = std::clamp(1.0 / std::sqrt(power + 1e-6), 0.2, 8.0);
        }
        out[n] *= gain;
    }
    return out;
}

Samples gated(const Samples& samples, double rate_hz, Random& random) {
    Samples out = samples;
    double wanted = 1.0;
    double gain = 1.0;
    double left_s = random.between(0.2, 0.4);
    const double follow = 1.0 - std::exp(-1.0 / (0.012 * rate_hz));
    for (double& x : out) {
        left_s -= 1.0 / rate_hz;
        if (left_s <= 0.0) {
            const bool pull = wanted > 0.9;
            wanted = pull ? from_db(-random.between(8.0, 20.0)) : 1.0;
            left_s = random.between(0.08, 0.3);
        }
        gain += follow * (wanted - gain);
        x *= gain;
    }
    return out;
}

Samples packets_lost(const Samples& samples, double share, double rate_hz, Random& random) {
    Samples out = samples;
    const auto packet = static_cast<std::size_t>(std::lround(0.02 * rate_hz));
    double fade = 1.0;
    for (std::size_t begin = packet; begin + packet <= out.size(); begin += packet) {
        if (random.uniform() >= share) {
            fade = 1.0;
            continue;
        }
        for (std::size_t k = 0; k < packet; ++k) {
            out[begin + k] = out[begin + k - packet] * fade *
                             (1.0 - 0.3 * static_cast<double>(k) / static_cast<double>(packet));
        }
        fade *= 0.7;
    }
    return out;
}

} // namespace bellhand::test
