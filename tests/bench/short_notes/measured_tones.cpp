#include "bench/short_notes/measured_tones.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <fstream>
#include <numbers>

#include <nlohmann/json.hpp>

namespace bellhand::test {

namespace {

constexpr double kRough_db = 25.0; // under the loudest: pitch was measured roughly
constexpr double kHeld_db = 20.0;
constexpr double kCore_db = 10.0;
constexpr double kFloor = 1e-4;
constexpr double kUnheard_db = -200.0;

double loudest(const MeasuredCourse& course) {
    double top = kUnheard_db;
    for (const MeasuredMoment& moment : course.moments) {
        top = std::max(top, moment.level_dbfs);
    }
    return top;
}

double median_of_three(double a, double b, double c) {
    return std::max(std::min(a, b), std::min(std::max(a, b), c));
}

void smooth(MeasuredCourse& course) {
    std::vector<MeasuredMoment>& moments = course.moments;
    const std::vector<MeasuredMoment> raw = moments;
    for (std::size_t i = 1; i + 1 < raw.size(); ++i) {
        moments[i].cents = median_of_three(raw[i - 1].cents, raw[i].cents, raw[i + 1].cents);
    }
    const double top = loudest(course);
    const auto loud = [top](const MeasuredMoment& m) { return m.level_dbfs > top - kRough_db; };
    const auto first = std::find_if(moments.begin(), moments.end(), loud);
    const auto last = std::find_if(moments.rbegin(), moments.rend(), loud);
    for (auto m = moments.begin(); m != first; ++m) {
        m->cents = first->cents;
    }
    for (auto m = moments.rbegin(); m != last; ++m) {
        m->cents = last->cents;
    }
}

void add_harmonic(const MeasuredCourse& course,
                  std::size_t k,
                  double gap_s,
                  double rate_hz,
                  double phase,
                  Samples& out) {
    const auto step = static_cast<std::size_t>(kMeasuredHop_s * rate_hz);
    const auto begin = static_cast<std::size_t>(gap_s * rate_hz);
    for (std::size_t i = 0; i + 1 < course.moments.size(); ++i) {
        const MeasuredMoment& here = course.moments[i];
        const MeasuredMoment& next = course.moments[i + 1];
        const double hz = course.f0_nominal_hz * std::exp2((here.cents + next.cents) / 2400.0) *
                          static_cast<double>(k + 1);
        if (hz > 0.45 * rate_hz) {
            return;
        }
        const double a = from_db(here.harmonic_dbfs[k]);
        const double slope = (from_db(next.harmonic_dbfs[k]) - a) / static_cast<double>(step);
        const double turn = 2.0 * std::numbers::pi * hz / rate_hz;
        for (std::size_t s = 0; s < step; ++s) {
            out[begin + i * step + s] += (a + slope * static_cast<double>(s)) *
                                         std::sin(phase + turn * static_cast<double>(s));
        }
        phase = std::fmod(phase + turn * static_cast<double>(step), 2.0 * std::numbers::pi);
    }
}

} // namespace

std::vector<MeasuredCourse> read_short_tones(const std::string& path) {
    std::ifstream file(path);
    const nlohmann::json all = nlohmann::json::parse(file, nullptr, false);
    std::vector<MeasuredCourse> out;
    if (!all.is_array()) {
        return out;
    }
    for (const nlohmann::json& tone : all) {
        MeasuredCourse course;
        course.name = tone.at("tone").get<std::string>();
        course.f0_nominal_hz = tone.at("f0_nominal_hz").get<double>();
        for (const nlohmann::json& row : tone.at("rows")) {
            MeasuredMoment moment;
            moment.cents = row.at(1).get<double>();
            moment.level_dbfs = row.at(2).get<double>();
            moment.noise_dbfs = row.at(3).get<double>();
            for (std::size_t k = 0; k < MeasuredMoment::kHarmonics; ++k) {
                const nlohmann::json& level = row.at(4 + k);
                moment.harmonic_dbfs[k] = level.is_null() ? kUnheard_db : level.get<double>();
            }
            course.moments.push_back(moment);
        }
        smooth(course);
        out.push_back(std::move(course));
    }
    return out;
}

SoundingTone sound_of(
    const MeasuredCourse& course, double gap_s, double tail_s, double rate_hz, Random& random) {
    const auto step = static_cast<std::size_t>(kMeasuredHop_s * rate_hz);
    const auto begin = static_cast<std::size_t>(gap_s * rate_hz);
    SoundingTone out;
    out.samples.assign(
        begin + course.moments.size() * step + static_cast<std::size_t>(tail_s * rate_hz), 0.0);
    for (std::size_t k = 0; k < MeasuredMoment::kHarmonics; ++k) {
        add_harmonic(
            course, k, gap_s, rate_hz, random.between(0.0, 2.0 * std::numbers::pi), out.samples);
    }
    double low = 0.0;
    for (std::size_t i = 0; i + 1 < course.moments.size(); ++i) {
        const double gain = 2.0 * from_db(course.moments[i].noise_dbfs);
        for (std::size_t s = 0; s < step; ++s) {
            low += 0.23 * (random.gauss() - low);
            out.samples[begin + i * step + s] += gain * low;
        }
    }
    for (double& x : out.samples) {
        x += kFloor * random.gauss();
    }
    const double top = loudest(course);
    double weight_sum = 0.0;
    double cents_sum = 0.0;
    for (std::size_t i = 0; i < course.moments.size(); ++i) {
        const MeasuredMoment& moment = course.moments[i];
        if (moment.level_dbfs <= top - kHeld_db) {
            continue;
        }
        const double at_s = gap_s + static_cast<double>(i) * kMeasuredHop_s;
        out.start_s = out.start_s == 0.0 ? at_s : out.start_s;
        out.end_s = at_s + kMeasuredHop_s;
        if (moment.level_dbfs > top - kCore_db) {
            const double weight = std::pow(10.0, 0.1 * moment.level_dbfs);
            weight_sum += weight;
            cents_sum += weight * moment.cents;
        }
    }
    out.f0_hz = course.f0_nominal_hz * std::exp2(cents_sum / weight_sum / 1200.0);
    return out;
}

MeasuredCourse held_course(const MeasuredTone& spectrum,
                           const std::vector<MeasuredCourse>& short_tones,
                           double held_s,
                           Random& random) {
    std::vector<const MeasuredCourse*> near;
    for (const MeasuredCourse& tone : short_tones) {
        near.push_back(&tone);
    }
    std::sort(near.begin(), near.end(), [&spectrum](const auto* a, const auto* b) {
        return std::abs(std::log2(a->f0_nominal_hz / spectrum.f0_hz)) <
               std::abs(std::log2(b->f0_nominal_hz / spectrum.f0_hz));
    });
    const MeasuredCourse& donor = *near[random.below(std::min<std::size_t>(12, near.size()))];
    const double top = loudest(donor);
    const auto loud = [top](const MeasuredMoment& m) { return m.level_dbfs > top - 3.0; };
    const auto first = std::find_if(donor.moments.begin(), donor.moments.end(), loud);
    const auto last = std::find_if(donor.moments.rbegin(), donor.moments.rend(), loud).base() - 1;

    double all = 0.0;
    for (const double a : spectrum.amplitudes) {
        all += 0.5 * a * a;
    }
    const double tone_dbfs = random.between(-32.0, -20.0);
    const double to_dbfs = tone_dbfs - 10.0 * std::log10(all);
    MeasuredCourse out;
    out.name = spectrum.name + "+" + donor.name;
    out.f0_nominal_hz = spectrum.f0_hz;
    // Each harmonic goes as the donor's did from its place beside the held part, at the spectrum's level.
    const auto put = [&](const MeasuredMoment& moment, const MeasuredMoment& join) {
        MeasuredMoment now = moment;
        now.cents -= join.cents;
        const double level_db = moment.level_dbfs - join.level_dbfs;
        now.level_dbfs = tone_dbfs + level_db;
        now.noise_dbfs = tone_dbfs + std::min(moment.noise_dbfs - join.level_dbfs, level_db - 12.0);
        for (std::size_t k = 0; k < MeasuredMoment::kHarmonics; ++k) {
            const bool known = k < spectrum.amplitudes.size() && spectrum.amplitudes[k] > 0.0;
            const bool measured =
                join.harmonic_dbfs[k] > join.level_dbfs - 50.0 && moment.harmonic_dbfs[k] > -150.0;
            const double went_db =
                measured ? std::min(6.0, moment.harmonic_dbfs[k] - join.harmonic_dbfs[k])
                         : level_db;
            now.harmonic_dbfs[k] =
                known ? 20.0 * std::log10(spectrum.amplitudes[k]) + to_dbfs + went_db : kUnheard_db;
        }
        out.moments.push_back(now);
    };
    for (auto m = donor.moments.begin(); m < first; ++m) {
        put(*m, *first);
    }
    double drift = 0.0;
    for (int i = 0; i < static_cast<int>(held_s / kMeasuredHop_s); ++i) {
        drift += -0.03 * drift + 0.5 * random.gauss();
        MeasuredMoment held = *first;
        held.cents += drift;
        put(held, *first);
    }
    const double reached = out.moments.back().cents;
    for (auto m = last; m != donor.moments.end(); ++m) {
        put(*m, *last);
        out.moments.back().cents += reached;
    }
    return out;
}

} // namespace bellhand::test
