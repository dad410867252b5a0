#pragma once

#include "drill/judgement.h"

#include <cstdint>
#include <deque>

namespace bellhand::drill {

/// Single verdicts wait here while it may be that something else is played altogether: another tune, another part, an
/// improvisation. It is then said once, and none of its notes is judged. What was only a row of wrong notes comes out as
/// soon as right ones follow.
class Withheld {
public:
    void add(Judgement judgement);
    /// No note follows, or the player rests: what waits comes out, unless it belonged to another tune.
    void release();
    [[nodiscard]] bool next(Judgement& out);
    /// True once, when it has become clear that this is another tune.
    [[nodiscard]] bool another_tune() noexcept;

private:
    [[nodiscard]] bool doubtful() const noexcept;
    void count(bool right) noexcept;

    std::deque<Judgement> waiting_;
    std::deque<Judgement> ready_;
    std::uint32_t newest_ = 0; ///< played notes, newest in bit 0, 1 = right
    int played_ = 0;           ///< of them known
    bool astray_ = false;
    bool to_be_said_ = false;
};

} // namespace bellhand::drill
