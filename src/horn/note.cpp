#include "horn/note.h"

#include "horn/spelling.h"

#include <array>

namespace bellhand::horn {

namespace {

// White keys by step above C; 0 where there is none.
constexpr std::array<char, 12> kNaturals{'C', 0, 'D', 0, 'E', 'F', 0, 'G', 0, 'A', 0, 'B'};

int step_in_octave(int number) noexcept {
    return ((number % 12) + 12) % 12;
}

std::string name_with(Note note, const char* sharp, const char* flat) {
    const StaffName name = staff_name(note);
    std::string text(1, name.letter);
    if (name.sharps != 0) {
        text += name.sharps > 0 ? sharp : flat;
    }
    return text + std::to_string(name.octave);
}

} // namespace

Note usual_spelling(int number) noexcept {
    constexpr std::array<int, 12> kSharps{0, 1, 0, -1, 0, 0, 1, 0, -1, 0, -1, 0};
    return {number, kSharps[static_cast<std::size_t>(step_in_octave(number))]};
}

StaffName staff_name(Note note) noexcept {
    if (kNaturals[static_cast<std::size_t>(step_in_octave(note.number - note.sharps))] == 0 ||
        note.sharps < -1 || note.sharps > 1) {
        note = usual_spelling(note.number);
    }
    const int natural = note.number - note.sharps;
    const int step = step_in_octave(natural);
    return {kNaturals[static_cast<std::size_t>(step)], (natural - step) / 12 - 1, note.sharps};
}

std::string ascii_name(Note note) {
    return name_with(note, "#", "b");
}

std::string display_name(Note note) {
    return name_with(note, "♯", "♭");
}

Result<Note> parse_note(std::string_view text) {
    const auto spelled = take_letter(text);
    if (!spelled || spelled->rest.size() != 1 || spelled->rest[0] < '0' || spelled->rest[0] > '9') {
        return usage_error(
            "\"" + std::string(text.substr(0, 40)) +
            "\" is not a note: write a letter from A to G, # or b if needed, and the "
            "octave, such as C4, F#4 or Bb3 (C4 is written middle C).");
    }
    const int octave = spelled->rest[0] - '0';
    return Note{12 * (octave + 1) + steps_above_c(spelled->letter) + spelled->sharps,
                spelled->sharps};
}

} // namespace bellhand::horn
