#pragma once

#include "chart/sheet.h"
#include "horn/adviser.h"

#include <string>
#include <vector>

namespace bellhand::chart {

/// A table of ready cells. `number`: the cells are numbers.
struct Table {
    struct Heading {
        const char* name = "";
        bool number = false;
    };
    std::vector<Heading> headings;
    std::vector<std::vector<std::string>> rows;
};

/// For the terminal: signs instead of words, one row a way, the note's name only on its first.
[[nodiscard]] Table terminal_table(const Sheet& sheet);

/// For other programs, one row a way, every cell filled. Columns: written, bass_clef (where the note stands in the bass
/// clef, empty above it), sounding, target_hz, partial, hand, hand_to, hand_out, lipped, poor, usual, needed_cents,
/// hand_cents, hand_sd_cents, lips_cents, closure, best_closure, sign_doubted, evenness, usual_compass, in_key (empty
/// without a key), target (why it stands there), source, remark.
[[nodiscard]] Table full_table(const Sheet& sheet);

/// Octaves of the key: from, to, open, covered, stopped, lipped, evenness. Empty without a key.
[[nodiscard]] Table scale_table(const Sheet& sheet);

/// The answer as one JSON object, indented: f1, how far the key stands from equal, hand, key, notes with their ways.
[[nodiscard]] std::string sheet_json(const Sheet& sheet);

/// The adviser's ranking: rank, crook, open, covered, stopped, lipped, unplayable, outside_compass, lowest, highest,
/// evenness, cost, rare, usual_for_key, why.
[[nodiscard]] Table advice_table(const std::vector<horn::CrookAdvice>& ranked);

/// Signed cents for people, a true minus sign: "+14", "−102", "0".
[[nodiscard]] std::string signed_cents(double cents);

} // namespace bellhand::chart
