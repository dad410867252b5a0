#pragma once

#include "desk/page.h"
#include "desk/session.h"
#include "desk/store/shelf.h"

#include <string>
#include <vector>

namespace bellhand::desk {

/// Today's plan: what is chosen on it, and what its keys do.
class TodayPage : public Page {
public:
    static constexpr double kStep_minutes = 5.0;
    static constexpr double kLeast_minutes = 5.0;
    static constexpr double kMost_minutes = 120.0;

    TodayPage(Shelf& shelf, Session& session) : shelf_(shelf), session_(session) {}

    /// Asks for a plan when there is none yet, or the one before was worked through.
    void enter() override;
    [[nodiscard]] KeyTable keys() override;
    /// The next `enter` asks anew: the player chose another crook or pitch.
    void forget() noexcept { fresh_ = false; }
    /// A block was worked through.
    void mark_done(std::size_t block);
    void choose(int row) noexcept { chosen_ = row; }

    [[nodiscard]] const skill::DayPlan& plan() const noexcept { return plan_; }
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    [[nodiscard]] int chosen() const noexcept { return chosen_; }
    [[nodiscard]] double minutes() const noexcept { return minutes_; }
    [[nodiscard]] bool done(std::size_t block) const noexcept;

private:
    void ask();
    void begin();

    Shelf& shelf_;
    Session& session_;
    skill::DayPlan plan_;
    std::vector<bool> done_;
    horn::Tuning tuning_;
    std::string problem_;
    int chosen_ = 0;
    double minutes_ = 20.0;
    bool fresh_ = false;
};

/// "judged as usual: open 5, half 10, stopped 15 cents either way", for a factor on the tolerances.
[[nodiscard]] std::string strictness_words(double tolerance_factor);
/// "20 minutes: 10 of playing, 10 of rest".
[[nodiscard]] std::string plan_words(const skill::DayPlan& plan);
/// "3 min", "45 s".
[[nodiscard]] std::string span_words(double seconds);

} // namespace bellhand::desk
