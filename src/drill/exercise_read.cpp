#include "core/files.h"
#include "datafile/json_text.h"
#include "drill/exercise_file.h"
#include "drill/exercise_json.h"
#include "drill/plan.h"
#include "drill/words.h"

#include <algorithm>
#include <set>
#include <utility>

namespace bellhand::drill {

namespace {

using datafile::Fields;
using datafile::FileProblem;
using datafile::NumberRange;
using nlohmann::json;

constexpr NumberRange kQuarters{0.0, 64.0, "quarter notes", "", 0.0};
constexpr NumberRange kRest{0.0, 64.0, "quarter notes", "", 0.0};
constexpr NumberRange kTempo{0.0, 300.0, "quarter notes a minute", "", 0.0};
constexpr NumberRange kOffset{-100.0, 100.0, "cents", "", 0.0};
constexpr NumberRange kTolerance{0.5, 100.0, "cents", "", 0.0};
constexpr std::size_t kLongestId = 64;

/// A value that must be one of a few words; the first when absent.
template <typename Enum, std::size_t N>
Enum one_of(Fields& fields, std::string_view key, const std::array<const char*, N>& words) {
    if (!fields.has(key)) {
        return Enum{};
    }
    const std::string text = fields.text(key);
    const auto found = std::find(words.begin(), words.end(), text);
    if (found != words.end()) {
        return static_cast<Enum>(found - words.begin());
    }
    std::string sentence = "is \"" + text.substr(0, 40) + "\"; write one of";
    for (const char* const word : words) {
        sentence += (word == words.front() ? " " : ", ") + std::string(word);
    }
    fields.problem().refuse(fields.place_of(key), sentence);
    return Enum{};
}

std::optional<horn::Note> read_note(Fields& fields, std::string_view key) {
    if (!fields.has(key)) {
        return std::nullopt;
    }
    const std::string text = fields.text(key);
    const auto note = horn::parse_note(text);
    if (!note) {
        fields.problem().refuse(fields.place_of(key),
                                "is \"" + text.substr(0, 40) +
                                    "\"; write a note such as C4, F#4 or Bb3");
        return std::nullopt;
    }
    return *note;
}

std::optional<horn::Note> read_horn_note(Fields& fields, std::string_view key) {
    const auto note = read_note(fields, key);
    if (note && horn::chart_entry(*note) == nullptr) {
        fields.problem().refuse(fields.place_of(key),
                                "is " + horn::ascii_name(*note) +
                                    ", which no natural horn plays; written notes go from G2 to "
                                    "G6, and C2");
    }
    return note;
}

std::optional<horn::Hand> read_hand(Fields& fields, std::string_view key) {
    if (!fields.has(key)) {
        return std::nullopt;
    }
    static const std::array<const char*, horn::kHandDegrees> hand_ids = [] {
        std::array<const char*, horn::kHandDegrees> ids{};
        for (std::size_t i = 0; i < ids.size(); ++i) {
            ids[i] = horn::hand_id(static_cast<horn::Hand>(i));
        }
        return ids;
    }();
    return one_of<horn::Hand>(fields, key, hand_ids);
}

void check_step(const Step& step, bool first_or_after_rest, Fields& fields) {
    const bool trill = step.manner == Manner::lip_trill || step.manner == Manner::hand_trill;
    const auto refuse = [&](std::string_view key, const char* what) {
        fields.problem().refuse(fields.place_of(key), what);
    };
    if (trill && !step.other) {
        refuse("manner", "is a trill; say in \"other\" to which note");
    } else if (!trill && step.other) {
        refuse("other", "belongs to a trill; leave it out or set \"manner\" to one");
    }
    if (step.slurred && first_or_after_rest) {
        refuse("slurred", "has no note before it; leave it out");
    }
}

Step read_step(const json& value,
               const std::string& place,
               bool first_or_after_rest,
               FileProblem& problem) {
    Fields fields(value,
                  place,
                  problem,
                  {"note",
                   "rest",
                   "quarters",
                   "partial",
                   "hand",
                   "slurred",
                   "hand_first",
                   "dynamic",
                   "hairpin",
                   "manner",
                   "other",
                   "target_offset_cents",
                   "tolerance_cents"});
    Step step;
    if (fields.has("rest")) {
        if (value.size() > 1) {
            problem.refuse(place, "is a rest; leave out everything but \"rest\"");
        }
        step.quarters = fields.number("rest", kRest).value_or(1.0);
        return step;
    }
    fields.require("note", "write the note, or \"rest\" with its length in quarters");
    step.written = read_horn_note(fields, "note");
    step.quarters = fields.number("quarters", kQuarters).value_or(step.quarters);
    step.partial = fields.whole("partial", 1, horn::kPartials);
    step.hand = read_hand(fields, "hand");
    step.slurred = fields.truth("slurred").value_or(false);
    step.hand_first = fields.truth("hand_first").value_or(false);
    step.dynamic = one_of<Dynamic>(fields, "dynamic", kDynamics);
    step.hairpin = one_of<Hairpin>(fields, "hairpin", kHairpins);
    step.manner = one_of<Manner>(fields, "manner", kManners);
    step.other = read_horn_note(fields, "other");
    step.target_offset_cents = fields.number("target_offset_cents", kOffset);
    step.tolerance_cents = fields.number("tolerance_cents", kTolerance);
    check_step(step, first_or_after_rest, fields);
    return step;
}

/// A crook by name; what cannot be read is refused with the sentence of the crook reader.
std::optional<int> crook_named(const json& name, std::string_view key, Fields& fields) {
    const auto crook = name.is_string()
                           ? horn::parse_crook(name.get<std::string>())
                           : Result<horn::Crook>(usage_error("write the crook in quotes"));
    if (crook) {
        return crook->transposition;
    }
    std::string sentence = crook.error().message;
    if (!sentence.empty() && (sentence.back() == '.' || sentence.back() == '?')) {
        sentence.pop_back();
    }
    fields.problem().refuse(fields.place_of(key) + ":", sentence);
    return std::nullopt;
}

std::vector<int> read_crooks(Fields& fields) {
    std::vector<int> crooks;
    const json* const list = fields.list("crooks", horn::all_crooks().size());
    if (list == nullptr) {
        return crooks;
    }
    for (const json& item : *list) {
        const auto crook = crook_named(item, "crooks", fields);
        if (!crook) {
            break;
        }
        if (std::find(crooks.begin(), crooks.end(), *crook) != crooks.end()) {
            fields.problem().refuse(fields.place_of("crooks"),
                                    std::string("names ") + crook_at(*crook).id + " twice");
            break;
        }
        crooks.push_back(*crook);
    }
    return crooks;
}

Metre read_metre(Fields& fields) {
    Metre metre;
    metre.beats = fields.whole("quarters_in_bar", 1, 16).value_or(metre.beats);
    if (const auto eighths = fields.whole("eighths_in_bar", 1, 32)) {
        metre = {*eighths, 8};
    }
    if (fields.has("quarters_in_bar") && fields.has("eighths_in_bar")) {
        fields.problem().refuse(fields.place_of("eighths_in_bar"),
                                "stands beside \"quarters_in_bar\"; leave out one of them");
    }
    return metre;
}

void check_id(const std::string& id, Fields& fields) {
    const bool fits =
        !id.empty() && id.size() <= kLongestId && std::all_of(id.begin(), id.end(), [](char c) {
            return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
        });
    if (!fits) {
        fields.problem().refuse(fields.place_of("id"),
                                "must be at most 64 small letters, digits and hyphens, such as "
                                "\"long-tones\"");
    }
}

void check_whole(const Exercise& exercise, Fields& fields) {
    const auto refuse = [&](std::string_view key, const char* what) {
        fields.problem().refuse(fields.place_of(key), what);
    };
    if (std::none_of(exercise.steps.begin(), exercise.steps.end(), [](const Step& step) {
            return step.written.has_value();
        })) {
        refuse("steps", "holds no note; write at least one");
    }
    if (exercise.measure == Measure::chord && !exercise.root) {
        refuse("measure", R"(is "chord"; say in "root" above which note)");
    }
    if (exercise.each_crook && exercise.crooks.size() < 2) {
        refuse("each_crook", R"(is true; list at least two "crooks")");
    }
    if (exercise.quarters_per_minute > 0.0 && exercise.quarters_per_minute < 20.0) {
        refuse("quarters_per_minute",
               "is slower than 20; leave it out for a free tempo, or give shorter beats");
    }
}

} // namespace

Exercise read_exercise(const json& value, const std::string& place, FileProblem& problem) {
    Fields fields(value,
                  place,
                  problem,
                  {"id",
                   "title",
                   "purpose",
                   "family",
                   "quarters_per_minute",
                   "quarters_in_bar",
                   "eighths_in_bar",
                   "repetitions",
                   "even",
                   "measure",
                   "root",
                   "crooks",
                   "each_crook",
                   "printed_for",
                   "steps"});
    fields.require("id", "a short name for commands, such as \"long-tones\"");
    fields.require("title", "what the player reads");
    fields.require("steps", "list the notes and rests in order");
    Exercise exercise;
    exercise.id = fields.text("id");
    exercise.title = fields.text("title");
    exercise.purpose = fields.text("purpose");
    exercise.family = fields.text("family");
    exercise.quarters_per_minute = fields.number("quarters_per_minute", kTempo).value_or(0.0);
    exercise.metre = read_metre(fields);
    exercise.repetitions = fields.whole("repetitions", 1, 100).value_or(1);
    exercise.even = fields.truth("even").value_or(false);
    exercise.measure = one_of<Measure>(fields, "measure", kMeasures);
    exercise.root = read_note(fields, "root");
    exercise.crooks = read_crooks(fields);
    exercise.each_crook = fields.truth("each_crook").value_or(false);
    if (const json* const printed = fields.find("printed_for")) {
        exercise.printed_for = crook_named(*printed, "printed_for", fields);
    }
    if (const json* const steps = fields.list("steps", kMostSteps)) {
        exercise.steps.reserve(steps->size());
        for (const json& item : *steps) {
            const bool nothing_before =
                exercise.steps.empty() || !exercise.steps.back().written.has_value();
            exercise.steps.push_back(
                read_step(item,
                          place + ", step " + std::to_string(exercise.steps.size() + 1),
                          nothing_before,
                          problem));
            if (problem.found()) {
                break;
            }
        }
    }
    if (!problem.found()) {
        check_id(exercise.id, fields);
        check_whole(exercise, fields);
    }
    return exercise;
}

Result<ExerciseFile> parse_exercises(std::string_view text, const std::string& where) {
    if (text.size() > kLargestExerciseFile_bytes) {
        return failure(where + " is too large: an exercise file has at most " +
                       std::to_string(kLargestExerciseFile_bytes) + " bytes.");
    }
    const auto document = datafile::parse_guarded_json(text, where);
    if (!document) {
        return tl::unexpected(document.error());
    }
    FileProblem problem{where, std::nullopt};
    ExerciseFile file;
    Fields top(*document,
               "",
               problem,
               {"$schema", "format", "version", "title", "note", "exercise", "exercises"});
    datafile::check_head(top, kExerciseFormat, kExerciseVersion);
    file.title = top.text("title");
    file.note = top.text("note");
    if (top.has("exercise") == top.has("exercises")) {
        problem.refuse("the file",
                       R"(must hold either "exercise", a single one, or "exercises", a list)");
    }
    if (const json* const one = top.find("exercise")) {
        file.exercises.push_back(read_exercise(*one, "exercise", problem));
    }
    if (const json* const list = top.list("exercises", kMostExercises)) {
        std::set<std::string> ids;
        for (const json& item : *list) {
            const std::string place = "exercise " + std::to_string(file.exercises.size() + 1);
            file.exercises.push_back(read_exercise(item, place, problem));
            if (!problem.found() && !ids.insert(file.exercises.back().id).second) {
                problem.refuse(place,
                               "has the id \"" + file.exercises.back().id +
                                   "\" of an earlier one; give it another");
            }
            if (problem.found()) {
                break;
            }
        }
        if (list->empty()) {
            problem.refuse("exercises", "is empty; list at least one");
        }
    }
    if (problem.found()) {
        return failure(*problem.sentence);
    }
    return file;
}

Result<ExerciseFile> load_exercises(const std::filesystem::path& path) {
    return read_small_file(path, kLargestExerciseFile_bytes).and_then([&](const std::string& text) {
        return parse_exercises(text, path.string());
    });
}

} // namespace bellhand::drill
