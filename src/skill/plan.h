#pragma once

#include "skill/skill.h"

#include <cstdint>
#include <string>
#include <vector>

namespace bellhand::skill {

/// A task of a homework that is still to be done.
struct SetWork {
    std::string homework; ///< id
    int task = 0;
    drill::Exercise exercise;
    std::optional<horn::Crook> crook;             ///< empty: as the exercise says, or the usual one
    std::optional<double> a4_hz;                  ///< empty: the player's of the day
    std::optional<horn::Temperament> temperament; ///< empty: the player's of the day
    horn::Footing footing;                        ///< of that temperament
    double tolerance_factor = 1.0;                ///< on the player's
    std::optional<int> repetitions;               ///< empty: as many as fill a block
    bool once_through = false;     ///< a time is once through all notes, and no more are asked for
    std::optional<double> minutes; ///< a time is so many minutes of it
    int times_left = 1;
    std::string progress;            ///< "1 of 3 times played"
    std::string due_on;              ///< ISO date, or empty
    std::optional<double> days_left; ///< until then; negative when it is over
};

/// What the player wishes for today.
struct PlanWishes {
    double minutes = 20.0; ///< in all, rests included; 1 to 240
    double block_minutes =
        3.0; ///< longest stretch of playing without a rest; at most `kLongestBlockMinutes`
    std::vector<horn::Crook> crooks; ///< empty: those of late, else `usual`
    horn::Crook usual;
    std::int64_t now_s = 0; ///< Unix time
    std::vector<SetWork> homework;
};

/// Blocks of at most 25 minutes, and rest as long as you play (common practice, no source).
inline constexpr double kLongestBlockMinutes = 25.0;

/// Why a block is in the plan.
enum class Reason { warm_up, homework, weak, due, fresh };
/// "warm-up", "homework", "weak", "due", "new".
[[nodiscard]] const char* reason_id(Reason reason) noexcept;

/// A stretch of playing and the rest after it.
struct PlannedBlock {
    Reason reason = Reason::weak;
    drill::Exercise
        exercise; ///< with as many repetitions as fill `play_s`, or as homework asks for
    horn::Crook crook;
    std::optional<double> a4_hz; ///< asked by homework; empty: the player's of the day
    std::optional<horn::Temperament> temperament; ///< the same
    horn::Footing footing;                        ///< of that temperament
    double tolerance_factor = 1.0;                ///< on the player's, asked by homework
    std::vector<Item>
        items; ///< what it is there for, most important first; empty for others than weak, due, new
    double play_s = 0.0;
    double rest_s = 0.0;  ///< as long as was played
    std::string why;      ///< one sentence
    std::string homework; ///< id, when it is a task of one
    int homework_part = 0;
    std::optional<std::uint32_t> start_step; ///< of a part: where the player begins
    bool whole_passes =
        false; ///< what counts is each time through: it is not cut off for being slow
};

/// What a block is listened to and judged with: its crook, and pitch and temperament of the day where it asks for none.
[[nodiscard]] horn::Tuning tuning_of(const PlannedBlock& block, const horn::Tuning& of_the_day);

struct DayPlan {
    std::vector<PlannedBlock> blocks;
    double play_s = 0.0;
    double rest_s = 0.0;               ///< between the blocks
    std::vector<std::string> cautions; ///< sentences to show with the plan
};

/// The usual cautions for lips, arm and hand, and ears.
[[nodiscard]] std::vector<std::string> cautions();

/// How much an item asks to be played: what is not expected to succeed now, and a share of what is not known about it
/// (so that what was seldom tried is looked at). 0 to about 1.
[[nodiscard]] double need(const Skills& skills, const Item& item, std::int64_t now_s);

/// Items worth playing on a crook: every note that was tried, the transitions that were seen to fail, and notes not tried
/// yet that lie next to secure ones (on an empty log: the middle open notes), at most `fresh` of these.
[[nodiscard]] std::vector<Item>
candidates(const Skills& skills, const horn::Crook& crook, std::int64_t now_s, std::size_t fresh);

/// What to practise today: a warm-up, homework that is still open, and blocks around what is weakest or due, each with
/// its reason in a sentence. Playing and resting take turns, equally long. Wishes outside their range are brought into
/// it.
[[nodiscard]] DayPlan plan_day(const Skills& skills, const PlanWishes& wishes);

/// Homework alone, most urgent first, each task once, with the rest after it; `usual` where a task leaves the crook open.
/// A task that does not say how often is played for as long as a block of `PlanWishes` lasts.
[[nodiscard]] std::vector<PlannedBlock> homework_blocks(const std::vector<SetWork>& homework,
                                                        const horn::Crook& usual);

} // namespace bellhand::skill
