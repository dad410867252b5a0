#pragma once

#include "core/result.h"

#include <span>
#include <string>
#include <string_view>

namespace bellhand::part {

/// What makes a way of playing dear, in points. Whole numbers, so that sums are exact.
struct Costs {
    // on the note
    int lips_free_cents = 10;    ///< that the lips give without being asked
    int lips_per_10_cents = 3;   ///< beyond
    int lips_most = 60;          ///< however far they bend
    int tone_per_step = 4;       ///< of evenness below open
    int poor = 15;               ///< a way that is known as poor
    int unusual = 30;            ///< not the usual way of the hand chart
    int stopped_pp = 3;          ///< three-quarters or more at pp
    int stopped_ff = 6;          ///< three-quarters or more at ff, unless an accent asks for it
    int outside_per_partial = 3; ///< beyond the partials that parts for the crook usually ask for
    int impossible = 400;        ///< no way reaches the note
    int exposed_percent = 200;   ///< long notes and notes before rests, in per cent of the above
    int long_ms = 1000;          ///< from here a note is long
    // from note to note
    int travel_per_quarter = 2;    ///< of the way from open to full stop
    int travel_full_ms = 100;      ///< that the hand takes from open to full stop
    int haste_free_percent = 40;   ///< of the time from note to note that the hand may take
    int haste_per_10_percent = 4;  ///< beyond
    int tone_change_per_step = 2;  ///< of evenness
    int onto_full_stop = 5;        ///< to or from a full stop: its colour is of another kind
    int slur_percent = 200;        ///< changes of tone inside a slur, in per cent
    int same_pitch_other_way = 30; ///< next to it or next but one
    int rest_ms = 1000;            ///< from here a rest separates what is before and after it
    // of what is told
    int hard_note = 15; ///< from here a note is hard, and its bar with it
};

/// One entry of the table, as files and the module's README name it.
struct CostEntry {
    const char* name;
    int Costs::*value;
    int highest;
    const char* source;
};

/// All of them, in order of the struct.
[[nodiscard]] std::span<const CostEntry> cost_table() noexcept;

/// Reads a file of costs (JSON: format "bellhand hand costs", version 1, "costs" with any of the names of the table);
/// what it does not name keeps its value. Errors: one sentence with the place in the file.
[[nodiscard]] Result<Costs> parse_costs(std::string_view text, const std::string& where);

} // namespace bellhand::part
