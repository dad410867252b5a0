#pragma once

#include "cli/commands.h"
#include "practice/analysis.h"
#include "trainer/note_tracker.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::cli {

/// The option --profile for commands that hear the hand.
void add_hand_profile_option(const OptionSet& parser, std::optional<std::string>& profile);

/// The measured hand of the profile on this tuning; what was not measured comes from the acoustic model. Empty without
/// a profile. Errors: unreadable profile, or no calibration near this crook and pitch.
[[nodiscard]] Result<std::optional<practice::OwnHand>>
own_hand(const std::optional<std::string>& profile, const horn::Tuning& tuning);

/// The columns that `bellhand notes` appends: heard_hand (degree, or a range such as "open..quarter"), heard_partial,
/// closure, closure_low, closure_high, hand_confidence, hand_cents, lips_cents, advice, match_db, match_octaves,
/// match_slope, unsteady_cents, drift_cents_s, tremor_cents, tremor_hz, sway_db, sway, transition_ms, overshoot_cents,
/// settling_ms. The names are a contract; cells of what is not known are empty.
[[nodiscard]] std::vector<Column> heard_columns();
[[nodiscard]] std::vector<std::string> heard_row(const trainer::PlayedNote& note);

/// One note explained for people, a few lines.
[[nodiscard]] std::string heard_paragraph(const trainer::PlayedNote& note);

} // namespace bellhand::cli
