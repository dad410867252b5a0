#include "hand/hand_colour.h"

#include "core/assets.h"
#include "core/files.h"
#include "hand/named_figures.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace bellhand::hand {

namespace {

constexpr std::size_t kLargestFile_bytes = 20'000;
// Real hands and horns differ from the model: common practice, no source.
constexpr double kMismatch_db = 1.5;
constexpr double kMostAgainst = 3.0; // nats
// The traits of one note are kin: together they count like this times the square root of their number (chosen on modelled
// players of the tuning set, so that the confidence holds).
constexpr double kKin = 1.4;
constexpr std::array<const char*, kDegrees> kDegreeNames{
    "open", "quarter", "half", "three_quarters", "full"};
constexpr std::array<const char*, kTraits> kTraitNames{
    "first", "second_third", "fourth_fifth", "seventh_to_tenth", "centroid", "slope"};

std::string name_of(std::size_t degree, std::size_t trait) {
    return std::string(kDegreeNames[degree]) + "." + kTraitNames[trait];
}

} // namespace

const char* trait_name(std::size_t trait) noexcept {
    return kTraitNames[trait];
}

std::string hand_colour_text(const HandColourModel& model) {
    std::string out = "# How the colour of a horn note moves against the player's own open notes "
                      "when the hand closes. Made by\n"
                      "# tests/bench/learn_hand_colour.cpp from modelled players; do not edit by "
                      "hand. Nothing here was measured.\n"
                      "# degree.trait: shift at the reference, per octave, per octave squared, and "
                      "its spread; dB (slope: dB per octave)\n";
    char line[160];
    std::snprintf(line, sizeof line, "reference_hz %g\n", model.reference_hz);
    out += line;
    for (std::size_t d = 0; d < kDegrees; ++d) {
        for (std::size_t t = 0; t < kTraits; ++t) {
            const auto& shift = model.shift[d][t];
            std::snprintf(line,
                          sizeof line,
                          "%s %.2f %.2f %.2f %.2f\n",
                          name_of(d, t).c_str(),
                          shift.curve[0],
                          shift.curve[1],
                          shift.curve[2],
                          shift.spread);
            out += line;
        }
    }
    return out;
}

Result<HandColourModel> parse_hand_colour(std::string_view text, const std::string& where) {
    HandColourModel model;
    std::vector<NamedFigures> fields{{"reference_hz", {&model.reference_hz}}};
    for (std::size_t d = 0; d < kDegrees; ++d) {
        for (std::size_t t = 0; t < kTraits; ++t) {
            auto& shift = model.shift[d][t];
            fields.push_back({name_of(d, t),
                              {&shift.curve[0], &shift.curve[1], &shift.curve[2], &shift.spread}});
        }
    }
    if (auto read = read_named_figures(text, where, std::move(fields)); !read) {
        return tl::unexpected(read.error());
    }
    for (const auto& degree : model.shift) {
        for (const auto& shift : degree) {
            if (!(shift.spread > 0.0)) {
                return failure(where +
                               ": a spread is not above zero; install the program's files again.");
            }
        }
    }
    if (!(model.reference_hz > 0.0)) {
        return failure(where +
                       ": reference_hz is not above zero; install the program's files again.");
    }
    return model;
}

Result<HandColourModel> load_hand_colour() {
    const auto path = asset("hand/hand_colour.txt");
    if (!path) {
        return tl::unexpected(path.error());
    }
    const auto text = read_small_file(*path, kLargestFile_bytes);
    if (!text) {
        return tl::unexpected(text.error());
    }
    return parse_hand_colour(*text, path->string());
}

std::array<double, kDegrees>
colour_logs(const OwnColour& own, double f0_hz, const HandColourModel& model) noexcept {
    std::array<double, kDegrees> logs{};
    const double octaves = std::log2(f0_hz / model.reference_hz);
    int known = 0;
    for (std::size_t t = 0; t < kTraits; ++t) {
        if (!own.known[t]) {
            continue;
        }
        ++known;
        for (std::size_t d = 0; d < kDegrees; ++d) {
            const auto& shift = model.shift[d][t];
            const double usual =
                shift.curve[0] + octaves * (shift.curve[1] + octaves * shift.curve[2]);
            const double variance =
                shift.spread * shift.spread + own.variance[t] + kMismatch_db * kMismatch_db;
            const double off = own.off[t] - usual;
            logs[d] -= 0.5 * (off * off / variance + std::log(variance));
        }
    }
    if (known == 0) {
        return logs;
    }
    const double share = kKin / std::sqrt(static_cast<double>(known));
    const double most = *std::max_element(logs.begin(), logs.end());
    for (double& log : logs) {
        log = std::max(share * (log - most), -kMostAgainst);
    }
    return logs;
}

} // namespace bellhand::hand
