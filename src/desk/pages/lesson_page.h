#pragma once

#include "desk/model/ask_choice.h"
#include "desk/model/lesson_summary.h"
#include "desk/page.h"
#include "desk/session.h"
#include "desk/store/shelf.h"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

inline constexpr double kShortestHold_s = 0.5;
inline constexpr double kLongestHold_s = 5.0;

/// What teacher and student look at together: the note that was just played, whole, the notes before it, and what is
/// asked next; after the session its marks, with their takes, and what to practise.
class LessonPage : public Page {
public:
    LessonPage(Session& session, Shelf& shelf, double& hold_s)
        : session_(session), shelf_(shelf), hold_s_(hold_s) {
        session_.lesson().set_hold(hold_s_);
    }

    [[nodiscard]] KeyTable keys() override;
    void leave() override;
    void follow() override;

    /// What is being chosen to be asked next; empty: nothing is.
    [[nodiscard]] const std::optional<AskChoice>& choice() const noexcept { return choice_; }
    /// The session is over and its notes are still here, none of them looked at: marks and what to practise are shown.
    [[nodiscard]] bool after() const noexcept;
    /// The marked notes, in the order of playing; those of which there is a take are played by `P`.
    [[nodiscard]] std::vector<const LessonNote*> marks() const;
    [[nodiscard]] const logbook::TakeRecord* take_of(const LessonNote& note) const noexcept;
    /// Row of `marks`.
    [[nodiscard]] int chosen() const noexcept { return chosen_; }
    void choose(int mark) noexcept { chosen_ = mark; }
    [[nodiscard]] const std::vector<ToPractise>& to_practise() const noexcept {
        return to_practise_;
    }
    [[nodiscard]] const ListeningStatus& listening() const noexcept { return listening_; }
    [[nodiscard]] bool half_speed() const noexcept { return half_speed_; }
    /// What the page has to say: what plays, what was kept, how long notes are held; empty mostly.
    [[nodiscard]] std::string sentence() const;
    /// Why something could not be done; empty otherwise.
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }

private:
    static constexpr double kStep_s = 0.5;
    void change_hold(double step_s);
    void choose_what_to_ask();
    void look_after();
    void play();
    void play_from(double from_s);
    void play_take(const LessonNote& note);
    void play_last();
    void play_heard(const LessonNote& note);
    void play_sound(std::optional<HeardSound> sound, std::string what, const char* if_none);
    void change_speed();
    void mark();
    void compose();
    [[nodiscard]] KeyTable keys_of_choice();
    void add_lines_of_playing(KeyTable& table);
    void add_lines_after(KeyTable& table);

    Session& session_;
    Shelf& shelf_;
    double& hold_s_; ///< of the player's preferences
    double changed_at_s_ = -1e9;
    std::optional<AskChoice> choice_;
    ListeningStatus listening_;
    std::function<Result<void>(double from_s, double speed)> again_; ///< what was played last
    std::string playing_;                                            ///< what that is, in words
    bool half_speed_ = false;
    std::string problem_;
    bool was_after_ = false;
    int chosen_ = 0;
    std::vector<logbook::TakeRecord> takes_; ///< of the session
    std::vector<ToPractise> to_practise_;
};

} // namespace bellhand::desk
