#pragma once

#include "practice/practice.h"
#include "run/run.h"

#include <functional>

namespace bellhand::practice {

/// What was heard since the last call, for whoever shows it.
struct Heard {
    std::vector<trainer::Reading> readings;
    std::vector<trainer::PlayedNote> notes; ///< that ended
    std::optional<trainer::PlayedNote> sounding;
    bool over = false; ///< the source has ended and everything was handed over
    /// What the practice was told to listen with by now; empty before the first call of a run.
    std::optional<horn::Tuning> tuning;
};

/// The hand of the player on a horn so tuned, for the ear; empty where it is not known.
using OwnHandOn = std::function<std::optional<OwnHand>(const horn::Tuning&)>;

/// Joins a run to live practice: hands over what was heard, gives back what to listen with, to sound and to log. To
/// be called 10 to 100 times a second from the thread that owns both, in place of the practice's own `poll`,
/// `take_notes` and `take_beats`. What was heard replaces what is in `heard`; begin a run with an empty one.
/// Each tuning comes with the hand that `own` knows on it. What the run wishes to be recorded (homework while it is played,
/// "keep that") goes to the practice's own recorder.
void attend(Practice& practice, run::Run& session, Heard& heard, const OwnHandOn& own = {});

/// The run ends, its last records go to the log and its takes end: to be called before the practice stops.
void conclude(Practice& practice, run::Run& session);

} // namespace bellhand::practice
