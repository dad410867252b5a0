#pragma once

#include "horn/tuning.h"
#include "part/part.h"
#include "part/plan/phrase.h"

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::part {

/// With what a part is planned.
struct PlanSettings {
    double a4_hz = 440.0;
    horn::Temperament temperament{};
    horn::Footing footing{}; ///< an empty root follows the crooks
    Costs costs;
    std::vector<Pin> pins;
    bool pins_in_file = true; ///< hand signs that stand in the part are pins
    /// What the hand does on a crook; empty: a hand that nobody measured.
    std::function<horn::HandResponse(const horn::Tuning&)> response;
};

/// How one attack is to be played.
struct PlannedNote {
    std::optional<Choice> choice; ///< empty: no way reaches it
    bool pinned = false;
    CostParts parts;
    int cost = 0;
    std::string reason; ///< one sentence
};

/// A bar with a note that is hard (`Costs::hard_note`).
struct HardBar {
    int bar = 0; ///< index
    int cost = 0;
    std::string reason; ///< of its dearest note
};

struct Plan {
    std::vector<PlannedNote> notes; ///< of the attacks, in order
    std::int64_t cost = 0;
    std::array<int, 5> hands{};          ///< how many notes with each Hand
    std::vector<std::size_t> impossible; ///< indices of attacks
    std::vector<HardBar> hardest;    ///< up to five, the hardest first; none where no bar is hard
    int hard_note = 0;               ///< from so many points a note is hard
    std::vector<std::string> doubts; ///< about pins in the file that cannot be
};

/// Plans the hand for a part whose crooks are known. Errors (usage): a pin on a note or a hand that is not there.
[[nodiscard]] Result<Plan> plan_part(const Part& part, const PlanSettings& settings);

/// The notes of the bars `first` to `last` (indices) alone.
[[nodiscard]] Part notes_in(const Part& part, int first, int last);

/// Their plan as it is in the whole; cost, hands and hardest bars are theirs.
[[nodiscard]] Plan notes_in(const Plan& plan, const Part& part, int first, int last);

/// The part as it would stand for one other crook: the same sounding notes.
[[nodiscard]] Part rewritten_for(const Part& part, const horn::Crook& crook);

/// What the sounding part asks of the hand on one crook.
struct CrookFit {
    horn::Crook crook;
    std::int64_t cost = 0;
    int hand_notes = 0; ///< covered, stopped or made by the lips
    int impossible = 0;
    std::optional<HardBar> hardest; ///< empty: none is hard
};

/// All 17 crooks, the cheapest first; of equal cost the higher first. Pins play no part in it.
[[nodiscard]] std::vector<CrookFit> compare_crooks(const Part& part, const PlanSettings& settings);

} // namespace bellhand::part
