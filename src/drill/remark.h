#pragma once

namespace bellhand::drill {

/// What is said once of the playing as a whole, in place of the same verdict on every note.
struct Remark {
    enum class Kind {
        tempo, ///< another tempo than written: `played`, `written`, quarter notes a minute
        behind_click, ///< always the same time behind the metronome: `played`, seconds; negative: before it
        drifting, ///< away from the metronome: `played`, seconds in `written` beats; positive: falling behind
        another_tune, ///< what sounds is not this exercise: nothing of it is judged
    };
    Kind kind = Kind::tempo;
    double played = 0.0;
    double written = 0.0;
    /// behind_click: the microphone heard the clicks themselves, so that it is the player; else it may as well be what
    /// the clicks go through.
    bool click_heard = false;
};

} // namespace bellhand::drill
