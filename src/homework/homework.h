#pragma once

#include "core/result.h"
#include "drill/exercise.h"
#include "drill/judgement.h"
#include "horn/tuning.h"
#include "instrument/profile.h"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::homework {

/// Version of the homework file that this program writes; it reads this one and older ones.
inline constexpr int kVersion = 2;
inline constexpr std::size_t kMostTasks = 40;
inline constexpr std::size_t kMostAttempts = 200;
inline constexpr std::size_t kMostSteps = 4000; ///< judged ones of an attempt
inline constexpr std::size_t kMostTakes = 24;
inline constexpr std::size_t kMostComments = 400;
inline constexpr std::size_t kLongestWords = 4000; ///< bytes

/// What counts as one time.
enum class TimeIs {
    once_through, ///< all its notes, first to last
    minutes,      ///< so many minutes of it, as the teacher chose
    block,        ///< a block of practice that was brought to its end; so files of version 1 count
};

/// One piece of work: an exercise, or some bars of one, and how it is to be played.
struct Task {
    drill::Exercise exercise;
    /// Only this stretch, both ends included; empty: from the beginning, to the end.
    std::optional<std::uint32_t> first_step;
    std::optional<std::uint32_t> last_step;
    std::optional<horn::Crook> crook; ///< empty: as the exercise says, or the student's choice
    std::optional<double> quarters_per_minute; ///< empty: the exercise's; 0: free tempo
    double tolerance_factor = 1.0;             ///< on the student's tolerance of each hand position
    std::optional<int> repetitions;            ///< how often in a row in one block; empty: as fits
    int times = 1;                             ///< how often it is to be done until the due date
    TimeIs time_is = TimeIs::once_through;
    double minutes = 0.0; ///< of one time, where that is minutes
    std::string words;
};

/// One step as it was judged, in the student's own figures. Times in seconds.
struct StepResult {
    std::uint32_t step = 0; ///< index into the exercise as it was played (the stretch alone)
    std::uint32_t pass = 0;
    horn::Note asked;
    horn::Hand hand = horn::Hand::open; ///< asked
    bool played = true;
    bool extra = false;
    horn::Note heard;     ///< what sounded; meaningful when `played`
    double start_s = 0.0; ///< from the beginning of the attempt
    double duration_s = 0.0;
    double held_cents = 0.0;
    double attack_cents = 0.0;
    double known_within_cents = 0.0; ///< of a short note's pitch; 0: as close as anybody asks
    double tolerance_cents = 0.0;
    std::optional<double> timing_s;
    std::optional<double> level_db;
    std::vector<drill::Fault> faults;
};

/// One time the student did a task.
struct Attempt {
    std::uint32_t task = 0;
    std::string done_at; ///< UTC, ISO 8601
    std::string crook;   ///< ids of what it was played with
    double a4_hz = 440.0;
    std::string temperament;
    double duration_s = 0.0;
    bool finished = false; ///< its block was brought to its end
    int passes = 0;        ///< complete ones
    std::vector<StepResult> steps;
};

/// A recording in the file: `take_name(n)` of the n-th.
struct Take {
    std::optional<std::uint32_t> attempt; ///< that it shows; empty: something else
    double starts_s = 0.0;                ///< in the attempt; negative: begins before it
    double duration_s = 0.0;
    std::string why;      ///< "keep that", the exercise's title
    std::string log_file; ///< its name in the student's log, so that comments find it again
};

enum class Who { student, teacher };

/// Words at a place: in a take, on a task, on one judged step, or on the whole.
struct Comment {
    Who who = Who::teacher;
    std::optional<std::uint32_t> take; ///< number in the file, from 0
    double at_s = 0.0;                 ///< in the take
    std::optional<std::uint32_t> task;
    std::optional<horn::Note> note; ///< that it is about
    std::string text;
    std::string written_at; ///< UTC, ISO 8601
};

/// What comes back from the student.
struct Return {
    std::string returned_at; ///< UTC, ISO 8601
    std::string words;
    std::vector<Attempt> attempts;
    std::vector<Take> takes;
    std::optional<instrument::Profile> profile; ///< of the student's horn
};

/// A teacher's homework, and in time what became of it. Plain data.
struct Homework {
    std::string id; ///< small letters, digits and hyphens
    std::string title;
    std::string teacher;
    std::string student;
    std::string follows;    ///< id of the homework before it, or empty
    std::string written_on; ///< ISO date
    std::string due_on;     ///< ISO date, or empty
    std::string words;
    double a4_hz = 440.0;
    std::string temperament = "equal"; ///< id
    horn::Footing footing;             ///< root and anchor of it
    std::vector<Task> tasks;
    std::optional<Return> returned;
    std::vector<Comment> comments;
};

/// The exercise of a task as it is to be run: the stretch alone, its tempo, repetitions and the tolerances of its own
/// steps put in (the student's own are multiplied when it is played). Its id stays. Precondition: the stretch lies in the
/// exercise.
[[nodiscard]] drill::Exercise exercise_of(const Task& task);

/// Pitch, temperament and crook of a task; `otherwise` where the task leaves the crook open.
[[nodiscard]] horn::Tuning
tuning_of(const Homework& homework, const Task& task, const horn::Crook& otherwise);

/// Reads homework.json, which is not trusted. `where` names it in errors. Errors: one sentence with the place in the
/// file and what to do. The profile is a file of its own (see package.h).
[[nodiscard]] Result<Homework> parse_homework(std::string_view text, const std::string& where);

/// The same of one that is still being written: id, title and tasks may be missing.
[[nodiscard]] Result<Homework> parse_draft(std::string_view text, const std::string& where);

/// JSON; reading it again gives the same homework, the profile apart. The same data give the same bytes.
[[nodiscard]] std::string homework_text(const Homework& homework);

/// What is wrong with a homework that its fields alone do not show, a sentence each: nothing asked, a stretch that is
/// not there, notes that the crook does not have, a due date before the homework was written. Empty: it can be given.
[[nodiscard]] std::vector<std::string> problems(const Homework& homework);

} // namespace bellhand::homework
