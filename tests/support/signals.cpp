#include "support/signals.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstdlib>
#include <fstream>
#include <memory>
#include <numbers>
#include <sstream>

#include <sndfile.h>

namespace bellhand::test {

namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr std::size_t kGainBlock = 32; // samples between two updates of the harmonics' levels

double octaves(double f_hz, double reference_hz) {
    return std::log2(f_hz / reference_hz);
}

/// Noise through a one-pole low pass, scaled to unit variance; ticks once a millisecond.
class SlowNoise {
public:
    SlowNoise(double cutoff_hz, Random& random)
        : pole_(std::exp(-kTwoPi * cutoff_hz * 0.001)), random_(&random) {
        value_ = random.gauss();
    }
    double next() {
        value_ = pole_ * value_ + std::sqrt(1.0 - pole_ * pole_) * random_->gauss();
        return value_;
    }

private:
    double pole_;
    double value_ = 0.0;
    Random* random_;
};

/// Pitch and level of the lips, every millisecond.
struct LipTrack {
    std::vector<double> cents;
    std::vector<double> gain;
};

LipTrack lip_track(const LipMotion& lips, std::size_t milliseconds, Random& random) {
    SlowNoise slow(0.35, random);
    SlowNoise tremor(30.0, random);
    SlowNoise tremor_floor(8.0, random);
    SlowNoise level(6.0, random);
    LipTrack track;
    for (std::size_t i = 0; i < milliseconds; ++i) {
        const double fast = (tremor.next() - tremor_floor.next()) / std::numbers::sqrt2;
        track.cents.push_back(lips.slow_cents * slow.next() + lips.fast_cents * fast);
        track.gain.push_back(from_db(lips.level_db * level.next()));
    }
    return track;
}

double at_millisecond(const std::vector<double>& track, double time_s) {
    const double place = std::clamp(time_s * 1000.0, 0.0, static_cast<double>(track.size() - 1));
    const auto i = static_cast<std::size_t>(place);
    const std::size_t j = std::min(i + 1, track.size() - 1);
    const double part = place - static_cast<double>(i);
    return track[i] * (1.0 - part) + track[j] * part;
}

double envelope(const ToneShape& shape, double time_s) {
    if (time_s < shape.on_s || time_s >= shape.off_s + shape.release_s) {
        return 0.0;
    }
    double level = 1.0;
    if (time_s < shape.on_s + shape.attack_s) {
        level = 0.5 - 0.5 * std::cos(std::numbers::pi * (time_s - shape.on_s) / shape.attack_s);
    }
    if (time_s > shape.off_s) {
        level *= 0.5 + 0.5 * std::cos(std::numbers::pi * (time_s - shape.off_s) / shape.release_s);
    }
    return level;
}

Spectrum unit_power(const Spectrum& amplitudes) {
    double power = 0.0;
    for (const double a : amplitudes) {
        power += a * a / 2.0;
    }
    Spectrum scaled = amplitudes;
    for (double& a : scaled) {
        a /= std::sqrt(std::max(power, 1e-30));
    }
    return scaled;
}

double level_db(Timbre timbre, std::size_t harmonic, double f_hz, Random& random) {
    const auto h = static_cast<double>(harmonic);
    switch (timbre) {
    case Timbre::open: {
        const double o = octaves(f_hz, 450.0);
        const double slope = o < 0.0 ? 6.5 * o : (o < 1.6 ? -7.5 * o : -12.0 - 13.0 * (o - 1.6));
        return slope + random.between(-3.0, 3.0);
    }
    case Timbre::stopped: {
        if (harmonic == 1) {
            return -random.between(25.0, 40.0);
        }
        if (harmonic == 2) {
            return -random.between(13.0, 25.0);
        }
        if (harmonic == 3) {
            return -random.between(5.0, 14.0);
        }
        const double body = harmonic <= 8 ? 0.0 : -11.0 * std::log2(h / 8.0);
        return body + random.between(-3.0, 3.0);
    }
    case Timbre::brassy: {
        const double o = octaves(f_hz, 1600.0);
        const double slope = o < 0.0 ? 3.0 * o : (o < 2.0 ? -3.5 * o : -7.0 - 12.0 * (o - 2.0));
        return slope + random.between(-2.0, 2.0);
    }
    case Timbre::soft: {
        const double o = octaves(f_hz, 380.0);
        const double slope = o < 0.0 ? 7.0 * o : -18.0 * o;
        return slope + random.between(-2.0, 2.0);
    }
    }
    return 0.0;
}

} // namespace

Random::Random(std::string_view name) {
    std::uint64_t hash = 0xcbf29ce484222325ULL; // FNV-1a (Fowler, Noll and Vo)
    for (const char c : name) {
        hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3ULL;
    }
    bits_.seed(hash);
}

double Random::uniform() {
    return static_cast<double>(bits_() >> 11U) * 0x1p-53;
}

double Random::gauss() {
    const double u = std::max(uniform(), 1e-300);
    return std::sqrt(-2.0 * std::log(u)) * std::cos(kTwoPi * uniform());
}

std::size_t Random::below(std::size_t count) {
    return std::min(count - 1, static_cast<std::size_t>(uniform() * static_cast<double>(count)));
}

const char* timbre_name(Timbre timbre) noexcept {
    switch (timbre) {
    case Timbre::open:
        return "open";
    case Timbre::stopped:
        return "stopped";
    case Timbre::brassy:
        return "brassy";
    case Timbre::soft:
        return "soft";
    }
    return "";
}

Spectrum spectrum(Timbre timbre, double f0_hz, double highest_hz, Random& random) {
    Spectrum amplitudes;
    for (std::size_t h = 1; h <= 64; ++h) {
        const double f_hz = static_cast<double>(h) * f0_hz;
        if (h > 1 && f_hz > highest_hz) {
            break;
        }
        amplitudes.push_back(from_db(level_db(timbre, h, f_hz, random)));
    }
    return amplitudes;
}

std::vector<MeasuredTone> read_measured_tones(const std::string& path) {
    std::vector<MeasuredTone> tones;
    std::ifstream file(path);
    std::string line;
    std::getline(file, line); // header
    while (std::getline(file, line)) {
        std::istringstream fields(line);
        std::string field;
        MeasuredTone tone;
        for (int column = 0; std::getline(fields, field, ','); ++column) {
            char* end = nullptr;
            const double number = std::strtod(field.c_str(), &end);
            if (column == 0) {
                tone.name = field;
            } else if (column == 2) {
                tone.technique = field;
            } else if (column == 4) {
                tone.f0_hz = number;
            } else if (column > 4 && end != field.c_str()) { // too high to be measured: empty
                tone.amplitudes.push_back(from_db(number));
            }
        }
        if (tone.f0_hz > 0.0 && !tone.amplitudes.empty()) {
            tones.push_back(std::move(tone));
        }
    }
    return tones;
}

KnownTone make_tone(const ToneShape& shape, double length_s, double rate_hz, Random& random) {
    const auto count = static_cast<std::size_t>(std::lround(length_s * rate_hz));
    const auto milliseconds = static_cast<std::size_t>(std::ceil(length_s * 1000.0)) + 1;
    const LipTrack lips = lip_track(shape.lips, milliseconds, random);
    const auto pitch_hz = [&](double t) {
        double cents = at_millisecond(lips.cents, t);
        if (t >= shape.on_s) {
            cents += shape.scoop_cents * std::exp(-(t - shape.on_s) / 0.025);
        }
        return shape.f0_hz(t) * std::exp2(cents / 1200.0);
    };

    KnownTone tone;
    tone.samples.assign(count, 0.0);
    for (std::size_t i = 0; i + 1 < milliseconds; ++i) {
        const double t = static_cast<double>(i) * 0.001;
        tone.f0_hz.push_back(t >= shape.on_s && t < shape.off_s ? pitch_hz(t) : 0.0);
    }

    const Spectrum first = unit_power(shape.first);
    const Spectrum second = shape.second.empty() ? first : unit_power(shape.second);
    const std::size_t harmonics = std::max(first.size(), second.size());
    std::vector<std::complex<double>> start(harmonics);
    for (auto& phasor : start) {
        phasor = std::polar(1.0, kTwoPi * random.uniform());
    }
    std::vector<double> level(harmonics);
    double phase = kTwoPi * random.uniform();
    double hz = shape.f0_hz(0.0);
    for (std::size_t n = 0; n < count; ++n) {
        const double t = static_cast<double>(n) / rate_hz;
        hz = pitch_hz(t);
        if (n % kGainBlock == 0) {
            const double share = shape.share_of_second ? shape.share_of_second(t) : 0.0;
            const double grown =
                std::min(1.0, std::max(0.0, t - shape.on_s) / (2.5 * shape.attack_s));
            for (std::size_t i = 0; i < harmonics; ++i) {
                const double h = static_cast<double>(i + 1);
                const double a = i < first.size() ? first[i] : 0.0;
                const double b = i < second.size() ? second[i] : 0.0;
                const double late = shape.bright_last ? std::pow(grown, 0.12 * (h - 1.0)) : 1.0;
                level[i] = h * hz < 0.45 * rate_hz ? late * (a * (1.0 - share) + b * share) : 0.0;
            }
        }
        const double gain = envelope(shape, t);
        if (gain > 0.0) {
            const std::complex<double> turn = std::polar(1.0, phase);
            std::complex<double> running = turn;
            double sum = 0.0;
            for (std::size_t i = 0; i < harmonics; ++i) {
                sum += level[i] *
                       (start[i].real() * running.real() - start[i].imag() * running.imag());
                running *= turn;
            }
            tone.samples[n] =
                gain * sum * at_millisecond(lips.gain, t) * (shape.gain ? shape.gain(t) : 1.0);
        }
        phase = std::fmod(phase + kTwoPi * hz / rate_hz, kTwoPi);
    }

    if (shape.chiff > 0.0) {
        // Air before the lips lock: noise around the first few harmonics for some thirty milliseconds.
        double low = 0.0;
        const double pole = std::exp(-kTwoPi * 6.0 * shape.f0_hz(shape.on_s) / rate_hz);
        for (std::size_t n = 0; n < count; ++n) {
            const double t = static_cast<double>(n) / rate_hz - shape.on_s;
            low = pole * low + std::sqrt(1.0 - pole * pole) * random.gauss();
            if (t > -0.005 && t < 0.12) {
                tone.samples[n] += shape.chiff * low * std::exp(-std::abs(t) / 0.02);
            }
        }
    }
    return tone;
}

double rms(std::span<const double> samples) noexcept {
    double sum = 0.0;
    for (const double x : samples) {
        sum += x * x;
    }
    return samples.empty() ? 0.0 : std::sqrt(sum / static_cast<double>(samples.size()));
}

double from_db(double db) noexcept {
    return std::pow(10.0, db / 20.0);
}

std::vector<float> normalised(std::span<const double> samples, double tone_dbfs) {
    double peak = 0.0;
    for (const double x : samples) {
        peak = std::max(peak, std::abs(x));
    }
    double gain = from_db(tone_dbfs);
    if (peak * gain > 0.98) {
        gain = 0.98 / peak;
    }
    std::vector<float> out;
    out.reserve(samples.size());
    for (const double x : samples) {
        out.push_back(static_cast<float>(x * gain));
    }
    return out;
}

bool write_wav(const std::string& path, std::span<const float> samples, double rate_hz) {
    SF_INFO info{};
    info.samplerate = static_cast<int>(std::lround(rate_hz));
    info.channels = 1;
    info.format = SF_FORMAT_WAV | SF_FORMAT_PCM_16;
    const std::unique_ptr<SNDFILE, int (*)(SNDFILE*)> file(sf_open(path.c_str(), SFM_WRITE, &info),
                                                           &sf_close);
    if (file == nullptr) {
        return false;
    }
    sf_command(file.get(), SFC_SET_CLIPPING, nullptr, SF_TRUE);
    const auto count = static_cast<sf_count_t>(samples.size());
    return sf_writef_float(file.get(), samples.data(), count) == count;
}

std::vector<float> read_sound(const std::string& path, double& rate_hz) {
    SF_INFO info{};
    const std::unique_ptr<SNDFILE, int (*)(SNDFILE*)> file(sf_open(path.c_str(), SFM_READ, &info),
                                                           &sf_close);
    if (file == nullptr || info.channels < 1 || info.frames <= 0) {
        return {};
    }
    rate_hz = info.samplerate;
    const auto channels = static_cast<std::size_t>(info.channels);
    std::vector<float> interleaved(static_cast<std::size_t>(info.frames) * channels);
    const sf_count_t got = sf_readf_float(file.get(), interleaved.data(), info.frames);
    std::vector<float> mono(static_cast<std::size_t>(std::max<sf_count_t>(got, 0)), 0.0F);
    for (std::size_t n = 0; n < mono.size(); ++n) {
        for (std::size_t c = 0; c < channels; ++c) {
            mono[n] += interleaved[n * channels + c] / static_cast<float>(channels);
        }
    }
    return mono;
}

} // namespace bellhand::test
