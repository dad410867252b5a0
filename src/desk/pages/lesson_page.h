#pragma once

#include "desk/model/ask_choice.h"
#include "desk/page.h"
#include "desk/session.h"

#include <optional>

namespace bellhand::desk {

inline constexpr double kShortestHold_s = 0.5;
inline constexpr double kLongestHold_s = 5.0;

/// What teacher and student look at together: the note that was just played, whole, the notes before it, and what is
/// asked next.
class LessonPage : public Page {
public:
    LessonPage(Session& session, double& hold_s) : session_(session), hold_s_(hold_s) {
        session_.lesson().set_hold(hold_s_);
    }

    [[nodiscard]] KeyTable keys() override;
    void leave() override { choice_.reset(); }

    /// What is being chosen to be asked next; empty: nothing is.
    [[nodiscard]] const std::optional<AskChoice>& choice() const noexcept { return choice_; }
    /// The time that notes are held was changed a moment ago.
    [[nodiscard]] bool hold_just_changed() const noexcept {
        constexpr double kShown_s = 3.0;
        return session_.wall_s() - changed_at_s_ < kShown_s;
    }

private:
    static constexpr double kStep_s = 0.5;
    void change_hold(double step_s);
    void choose_what_to_ask();
    [[nodiscard]] KeyTable keys_of_choice();

    Session& session_;
    double& hold_s_; ///< of the player's preferences
    double changed_at_s_ = -1e9;
    std::optional<AskChoice> choice_;
};

} // namespace bellhand::desk
