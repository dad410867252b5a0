#include "horn/scale.h"

#include "horn/spelling.h"

namespace bellhand::horn {

namespace {

constexpr std::array<Mode, 8> kModes{{
    {"major", "major", {0, 2, 4, 5, 7, 9, 11}},
    {"minor", "minor", {0, 2, 3, 5, 7, 8, 10}},
    {"harmonic-minor", "harmonic minor", {0, 2, 3, 5, 7, 8, 11}},
    {"melodic-minor", "melodic minor, rising", {0, 2, 3, 5, 7, 9, 11}},
    {"dorian", "dorian", {0, 2, 3, 5, 7, 9, 10}},
    {"phrygian", "phrygian", {0, 1, 3, 5, 7, 8, 10}},
    {"lydian", "lydian", {0, 2, 4, 6, 7, 9, 11}},
    {"mixolydian", "mixolydian", {0, 2, 4, 5, 7, 9, 10}},
}};

std::string hyphened(std::string text) {
    for (char& c : text) {
        if (c == ' ' || c == '_') {
            c = '-';
        }
    }
    return text;
}

} // namespace

Result<Scale> parse_scale(std::string_view text) {
    const auto spelled = take_letter(text);
    if (spelled) {
        const std::string wanted = spelled->rest.empty() ? "major" : hyphened(spelled->rest);
        for (const Mode& mode : kModes) {
            if (wanted == mode.id) {
                return Scale{spelled->letter, spelled->sharps, mode};
            }
        }
    }
    std::string sentence = "\"" + std::string(text.substr(0, 40)) +
                           "\" is not a key: write a tonic and a mode such as G-major or Bb-minor; "
                           "the modes are";
    for (const Mode& mode : kModes) {
        sentence += (&mode == kModes.data() ? " " : ", ") + std::string(mode.id);
    }
    return usage_error(sentence + ".");
}

std::string scale_label(const Scale& scale) {
    const char* sign = scale.sharps > 0 ? "♯" : scale.sharps < 0 ? "♭" : "";
    return std::string(1, scale.letter) + sign + " " + scale.mode.label;
}

int tonic_step(const Scale& scale) noexcept {
    return (steps_above_c(scale.letter) + scale.sharps + 12) % 12;
}

bool contains(const Scale& scale, int number) noexcept {
    const int above = (((number - tonic_step(scale)) % 12) + 12) % 12;
    for (const int step : scale.mode.steps) {
        if (step == above) {
            return true;
        }
    }
    return false;
}

std::array<Note, 8> one_octave(const Scale& scale, int tonic) noexcept {
    constexpr std::array<int, 7> kWhite{0, 2, 4, 5, 7, 9, 11}; // C D E F G A B
    const int tonic_letter = (scale.letter - 'C' + 7) % 7;
    std::array<Note, 8> notes{};
    for (std::size_t degree = 0; degree < notes.size(); ++degree) {
        const int octave = degree == 7 ? 12 : 0;
        const int number = tonic + scale.mode.steps[degree % 7] + octave;
        const std::size_t letter = (static_cast<std::size_t>(tonic_letter) + degree) % 7;
        // The accidental that makes this letter sound this step, -6..5.
        const int sharps = ((number - kWhite[letter]) % 12 + 18) % 12 - 6;
        notes[degree] = sharps >= -1 && sharps <= 1 ? Note{number, sharps} : usual_spelling(number);
    }
    return notes;
}

std::vector<ScaleCount> count_scale(const Scale& scale) {
    std::vector<ScaleCount> octaves;
    const auto chart = hand_chart();
    const int highest = chart.back().written.number;
    for (int tonic = tonic_step(scale); tonic + 12 <= highest; tonic += 12) {
        ScaleCount count{one_octave(scale, tonic)};
        bool all_there = true;
        for (const Note& note : count.notes) {
            const ChartEntry* entry = chart_entry(note);
            if (entry == nullptr) {
                all_there = false;
                break;
            }
            const Tone tone = tone_of(entry->usual());
            count.open += tone == Tone::open ? 1 : 0;
            count.covered += tone == Tone::covered ? 1 : 0;
            count.stopped += tone == Tone::stopped ? 1 : 0;
            count.lipped += tone == Tone::lipped ? 1 : 0;
            count.mean_evenness += evenness_of(entry->usual()) / 8.0;
        }
        if (all_there) {
            octaves.push_back(count);
        }
    }
    return octaves;
}

} // namespace bellhand::horn
