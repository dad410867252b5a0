#pragma once

#include "desk/page.h"
#include "desk/session.h"

namespace bellhand::desk {

inline constexpr double kShortestHold_s = 0.5;
inline constexpr double kLongestHold_s = 5.0;

/// The note in letters that are read from the stand, held for a while after it ends.
class LargePage : public Page {
public:
    LargePage(Session& session, double& hold_s) : session_(session), hold_s_(hold_s) {
        session_.view().set_large_hold(hold_s_);
    }

    [[nodiscard]] KeyTable keys() override {
        return {on_steps(Key::down, Key::up, "hold notes shorter or longer", [this](int step) {
            change_hold(step * kStep_s);
        })};
    }
    /// The time that notes are held was changed a moment ago.
    [[nodiscard]] bool hold_just_changed() const noexcept {
        constexpr double kShown_s = 3.0;
        return session_.wall_s() - changed_at_s_ < kShown_s;
    }

private:
    static constexpr double kStep_s = 0.5;
    void change_hold(double step_s);

    Session& session_;
    double& hold_s_; ///< of the player's preferences
    double changed_at_s_ = -1e9;
};

} // namespace bellhand::desk
