#include "core/calendar.h"
#include "datafile/json_text.h"
#include "drill/exercise_json.h"
#include "homework/homework_json.h"

#include <algorithm>

namespace bellhand::homework {

namespace {

using datafile::Fields;
using datafile::FileProblem;
using datafile::NumberRange;
using nlohmann::json;

constexpr datafile::JsonLimits kLimits{
    .deepest = 12, .longest_string = kLongestWords, .most_items = 4096};
constexpr NumberRange kA4{horn::kLowestA4Hz, horn::kHighestA4Hz, "hertz", "", 0.0};
constexpr NumberRange kTempo{0.0, 300.0, "quarter notes a minute", "", 0.0};
constexpr NumberRange kFactor{0.2, 5.0, "times the usual tolerance", "", 0.0};
constexpr NumberRange kInTake{0.0, 7200.0, "seconds", "milliseconds", 0.001};
constexpr NumberRange kMinutes{0.5, 25.0, "minutes", "seconds", 1.0 / 60.0};
constexpr std::size_t kLongestName = 200;

bool is_id(const std::string& text) {
    return !text.empty() && text.size() <= 80 && std::all_of(text.begin(), text.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
    });
}

std::string read_id(Fields& fields, std::string_view key) {
    std::string id = fields.text(key);
    if (fields.has(key) && !id.empty() && !is_id(id)) {
        fields.problem().refuse(fields.place_of(key),
                                "must be at most 80 small letters, digits and hyphens");
    }
    return id;
}

std::string read_date(Fields& fields, std::string_view key) {
    std::string date = fields.text(key);
    if (!date.empty() && !calendar::day_in(date)) {
        fields.problem().refuse(fields.place_of(key),
                                "is no date; write year, month and day, such as 2026-03-01");
    }
    return date;
}

/// "minutes" alone says that a time is minutes.
void read_time(Fields& fields, int version, Task& task) {
    task.times = fields.whole("times", 1, 50).value_or(1);
    task.time_is = version == 1 ? TimeIs::block : TimeIs::once_through;
    if (const auto minutes = fields.number("minutes", kMinutes)) {
        task.time_is = TimeIs::minutes;
        task.minutes = *minutes;
        return;
    }
    const std::string counted = fields.text("a_time");
    if (counted == kTimeIs[1]) {
        fields.problem().refuse(fields.place_of("a_time"), "needs \"minutes\" beside it");
    } else if (!counted.empty()) {
        const auto found = std::find(kTimeIs.begin(), kTimeIs.end(), counted);
        if (found == kTimeIs.end()) {
            fields.problem().refuse(fields.place_of("a_time"),
                                    "must be \"once-through\", \"minutes\" or \"block\"");
        } else {
            task.time_is = static_cast<TimeIs>(found - kTimeIs.begin());
        }
    }
}

Task read_task(const json& value, const std::string& place, int version, FileProblem& problem) {
    Fields fields(value,
                  place,
                  problem,
                  {"exercise",
                   "first_step",
                   "last_step",
                   "crook",
                   "quarters_per_minute",
                   "tolerance_factor",
                   "repetitions",
                   "times",
                   "a_time",
                   "minutes",
                   "words"});
    fields.require("exercise", "a task is an exercise to play");
    Task task;
    if (const json* const exercise = fields.find("exercise")) {
        task.exercise = drill::read_exercise(*exercise, place + ", exercise", problem);
    }
    const auto steps = static_cast<int>(task.exercise.steps.size());
    if (const auto first = fields.whole("first_step", 0, std::max(0, steps - 1))) {
        task.first_step = static_cast<std::uint32_t>(*first);
    }
    if (const auto last = fields.whole(
            "last_step", static_cast<int>(task.first_step.value_or(0)), std::max(0, steps - 1))) {
        task.last_step = static_cast<std::uint32_t>(*last);
    }
    if (fields.has("crook")) {
        task.crook = read_crook(fields, "crook");
    }
    task.quarters_per_minute = fields.number("quarters_per_minute", kTempo);
    task.tolerance_factor = fields.number("tolerance_factor", kFactor).value_or(1.0);
    task.repetitions = fields.whole("repetitions", 1, 50);
    read_time(fields, version, task);
    task.words = read_words(fields, "words", kLongestWords);
    return task;
}

Comment read_comment(const json& value, const std::string& place, FileProblem& problem) {
    Fields fields(
        value, place, problem, {"who", "take", "at_s", "part", "note", "text", "written_at"});
    fields.require("who", "write \"student\" or \"teacher\"");
    fields.require("text", "a comment is words");
    Comment comment;
    const std::string who = fields.text("who");
    if (!problem.found() && who != kWho[0] && who != kWho[1]) {
        problem.refuse(fields.place_of("who"), "must be \"student\" or \"teacher\"");
    }
    comment.who = who == kWho[0] ? Who::student : Who::teacher;
    if (const auto take = fields.whole("take", 1, kMostTakes)) {
        comment.take = static_cast<std::uint32_t>(*take - 1);
    }
    comment.at_s = fields.number("at_s", kInTake).value_or(0.0);
    if (const auto task = fields.whole("part", 1, kMostTasks)) {
        comment.task = static_cast<std::uint32_t>(*task - 1);
    }
    comment.note = read_note(fields, "note");
    comment.text = read_words(fields, "text", kLongestWords);
    if (!problem.found() && comment.text.empty()) {
        problem.refuse(fields.place_of("text"), "is empty; write words or leave the comment out");
    }
    comment.written_at = read_instant(fields, "written_at");
    return comment;
}

/// What the fields say together.
void check_places(const Homework& homework, FileProblem& problem) {
    const std::size_t tasks = homework.tasks.size();
    const std::size_t attempts = homework.returned ? homework.returned->attempts.size() : 0;
    const std::size_t takes = homework.returned ? homework.returned->takes.size() : 0;
    if (homework.returned) {
        for (std::size_t i = 0; i < attempts; ++i) {
            if (homework.returned->attempts[i].task >= tasks) {
                problem.refuse("attempt " + std::to_string(i + 1),
                               "names a task that is not there");
            }
        }
        for (std::size_t i = 0; i < takes; ++i) {
            if (homework.returned->takes[i].attempt.value_or(0) >=
                std::max<std::size_t>(attempts, 1)) {
                problem.refuse("take " + std::to_string(i + 1),
                               "names an attempt that is not there");
            }
        }
    }
    for (std::size_t i = 0; i < homework.comments.size(); ++i) {
        const Comment& comment = homework.comments[i];
        if ((comment.take && *comment.take >= takes) || (comment.task && *comment.task >= tasks)) {
            problem.refuse("comment " + std::to_string(i + 1),
                           "names a take or a task that is not there");
        }
    }
}

// Homework from before temperaments had a root lacks all three.
void read_footing(Fields& top, FileProblem& problem, horn::Footing& footing) {
    if (top.has("root")) {
        const auto root = horn::parse_root(top.text("root"));
        if (!root) {
            problem.refuse("root", "is no note; write one without its octave, such as C or Eb");
            return;
        }
        footing.root = *root;
    }
    if (top.has("anchor")) {
        const auto anchor = horn::anchor_of(top.text("anchor"));
        if (!anchor) {
            problem.refuse("anchor", "must be key or a");
            return;
        }
        footing.anchor = *anchor;
    }
    if (top.has("enharmonic")) {
        const auto enharmonic = horn::enharmonic_of(top.text("enharmonic"));
        if (!enharmonic) {
            problem.refuse("enharmonic", "must be sharp or flat");
            return;
        }
        footing.enharmonic = *enharmonic;
    }
}

} // namespace

namespace {

std::string
shorter_than(std::size_t longest, Fields& fields, std::string_view key, std::string words) {
    if (words.size() > longest) {
        fields.problem().refuse(fields.place_of(key),
                                "is longer than " + std::to_string(longest) + " bytes; shorten it");
    }
    return words;
}

} // namespace

horn::Crook read_crook(Fields& fields, std::string_view key) {
    const auto crook = horn::parse_crook(fields.text(key));
    if (!crook && !fields.problem().found()) {
        fields.problem().refuse(fields.place_of(key),
                                "is no crook; write a key such as Eb, F or Bb basso");
    }
    return crook ? *crook : horn::Crook{};
}

std::optional<horn::Note> read_note(Fields& fields, std::string_view key) {
    if (!fields.has(key)) {
        return std::nullopt;
    }
    const auto note = horn::parse_note(fields.text(key));
    if (!note) {
        fields.problem().refuse(fields.place_of(key), "is no note; write it as C4, F#4 or Bb3");
        return std::nullopt;
    }
    return *note;
}

std::string read_name(Fields& fields, std::string_view key, std::size_t longest) {
    return shorter_than(longest, fields, key, fields.text(key));
}

std::string read_words(Fields& fields, std::string_view key, std::size_t longest) {
    return shorter_than(longest, fields, key, fields.paragraphs(key));
}

std::string read_instant(Fields& fields, std::string_view key) {
    std::string instant = fields.text(key);
    const auto digit = [&](std::size_t i) { return instant[i] >= '0' && instant[i] <= '9'; };
    bool good = instant.empty() || (instant.size() == 20 &&
                                    calendar::day_in(instant.substr(0, 10)) && instant[10] == 'T' &&
                                    instant[13] == ':' && instant[16] == ':' && instant[19] == 'Z');
    for (const std::size_t i : {11U, 12U, 14U, 15U, 17U, 18U}) {
        good = good && (instant.empty() || digit(i));
    }
    if (!good) {
        fields.problem().refuse(fields.place_of(key),
                                "is no time; write it in UTC such as 2026-03-01T10:11:12Z");
    }
    return instant;
}

namespace {

enum class State { given, draft };

Result<Homework> parse(std::string_view text, const std::string& where, State state) {
    const auto document = datafile::parse_guarded_json(text, where, kLimits);
    if (!document) {
        return tl::unexpected(document.error());
    }
    FileProblem problem{where, std::nullopt};
    Fields top(*document,
               "",
               problem,
               {"format",
                "version",
                "id",
                "title",
                "teacher",
                "student",
                "follows",
                "written_on",
                "due_on",
                "words",
                "a4_hz",
                "temperament",
                "root",
                "anchor",
                "enharmonic",
                "parts",
                "returned",
                "comments"});
    const int version = datafile::check_head(top, kFormat, kVersion);
    if (state == State::given) {
        top.require("id", "results find their homework by it");
        top.require("title", "say in a few words what it is");
        top.require("parts", "a homework has at least one");
    }
    Homework homework;
    homework.id = read_id(top, "id");
    homework.title = read_name(top, "title", kLongestName);
    homework.teacher = read_name(top, "teacher", kLongestName);
    homework.student = read_name(top, "student", kLongestName);
    homework.follows = read_id(top, "follows");
    homework.written_on = read_date(top, "written_on");
    homework.due_on = read_date(top, "due_on");
    homework.words = read_words(top, "words", kLongestWords);
    homework.a4_hz = top.number("a4_hz", kA4).value_or(440.0);
    if (top.has("temperament")) {
        const auto temperament = horn::parse_temperament(top.text("temperament"));
        if (!temperament) {
            problem.refuse("temperament",
                           "is not known here; write equal, just, vallotti or another that "
                           "`bellhand chart --temperament` takes");
        } else {
            homework.temperament = temperament->id;
        }
    }
    read_footing(top, problem, homework.footing);
    if (const json* const tasks = top.list("parts", kMostTasks)) {
        for (std::size_t i = 0; i < tasks->size() && !problem.found(); ++i) {
            homework.tasks.push_back(
                read_task((*tasks)[i], "task " + std::to_string(i + 1), version, problem));
        }
    }
    if (const json* const returned = top.find("returned")) {
        homework.returned = read_return(*returned, problem);
    }
    if (const json* const comments = top.list("comments", kMostComments)) {
        for (std::size_t i = 0; i < comments->size() && !problem.found(); ++i) {
            homework.comments.push_back(
                read_comment((*comments)[i], "comment " + std::to_string(i + 1), problem));
        }
    }
    if (state == State::given && !problem.found() && homework.id.empty()) {
        problem.refuse("id", "is empty; give it a name of its own");
    }
    if (state == State::given && !problem.found() && homework.tasks.empty()) {
        problem.refuse("parts", "is empty; a homework has at least one task");
    }
    check_places(homework, problem);
    if (problem.found()) {
        return failure(*problem.sentence);
    }
    return homework;
}

} // namespace

Result<Homework> parse_homework(std::string_view text, const std::string& where) {
    return parse(text, where, State::given);
}

Result<Homework> parse_draft(std::string_view text, const std::string& where) {
    return parse(text, where, State::draft);
}

} // namespace bellhand::homework
