#include "drill/exercise_file.h"
#include "drill/exercise_json.h"
#include "drill/plan.h"
#include "drill/words.h"

#include <cmath>

namespace bellhand::drill {

namespace {

using nlohmann::ordered_json;

template <typename T>
void put_if(ordered_json& out, const char* key, const std::optional<T>& value) {
    if (value) {
        out[key] = *value;
    }
}

template <typename Enum, std::size_t N>
void put_word(ordered_json& out,
              const char* key,
              Enum value,
              const std::array<const char*, N>& words) {
    if (value != Enum{}) {
        out[key] = word_of(value, words);
    }
}

void put_text(ordered_json& out, const char* key, const std::string& text) {
    if (!text.empty()) {
        out[key] = text;
    }
}

/// On one line. Text that is no UTF-8 cannot stand in JSON; it is replaced rather than refused.
std::string line_of(const ordered_json& value) {
    return value.dump(-1, ' ', false, ordered_json::error_handler_t::replace);
}

ordered_json step_json(const Step& step) {
    ordered_json out = ordered_json::object();
    if (!step.written) {
        out["rest"] = step.quarters;
        return out;
    }
    const Step plain;
    out["note"] = horn::ascii_name(*step.written);
    if (step.quarters != plain.quarters) {
        out["quarters"] = step.quarters;
    }
    put_if(out, "partial", step.partial);
    if (step.hand) {
        out["hand"] = horn::hand_id(*step.hand);
    }
    if (step.slurred) {
        out["slurred"] = true;
    }
    if (step.hand_first) {
        out["hand_first"] = true;
    }
    put_word(out, "dynamic", step.dynamic, kDynamics);
    put_word(out, "hairpin", step.hairpin, kHairpins);
    put_word(out, "manner", step.manner, kManners);
    if (step.other) {
        out["other"] = horn::ascii_name(*step.other);
    }
    put_if(out, "target_offset_cents", step.target_offset_cents);
    put_if(out, "tolerance_cents", step.tolerance_cents);
    return out;
}

ordered_json without_steps(const Exercise& exercise) {
    const Exercise plain;
    ordered_json out;
    out["id"] = exercise.id;
    out["title"] = exercise.title;
    put_text(out, "purpose", exercise.purpose);
    put_text(out, "family", exercise.family);
    if (exercise.quarters_per_minute > 0.0) {
        out["quarters_per_minute"] = exercise.quarters_per_minute;
    }
    if (exercise.metre.beat_type > 4) {
        out["eighths_in_bar"] = std::lround(2.0 * exercise.metre.quarters());
    } else if (!(exercise.metre == plain.metre)) {
        out["quarters_in_bar"] = std::lround(exercise.metre.quarters());
    }
    if (exercise.repetitions != plain.repetitions) {
        out["repetitions"] = exercise.repetitions;
    }
    if (exercise.even) {
        out["even"] = true;
    }
    put_word(out, "measure", exercise.measure, kMeasures);
    if (exercise.root) {
        out["root"] = horn::ascii_name(*exercise.root);
    }
    if (!exercise.crooks.empty()) {
        ordered_json names = ordered_json::array();
        for (const int transposition : exercise.crooks) {
            names.push_back(crook_at(transposition).id);
        }
        out["crooks"] = names;
    }
    if (exercise.each_crook) {
        out["each_crook"] = true;
    }
    if (exercise.printed_for) {
        out["printed_for"] = crook_at(*exercise.printed_for).id;
    }
    return out;
}

/// Fields one below the other, steps one a line: a collection stays readable for people.
std::string exercise_text(const Exercise& exercise, const std::string& indent) {
    std::string text = "{\n";
    const ordered_json head = without_steps(exercise);
    for (const auto& [key, value] : head.items()) {
        text += indent + "  " + line_of(key) + ": " + line_of(value) + ",\n";
    }
    text += indent + "  \"steps\": [\n";
    for (const Step& step : exercise.steps) {
        text += indent + "    " + line_of(step_json(step)) +
                (&step == &exercise.steps.back() ? "\n" : ",\n");
    }
    return text + indent + "  ]\n" + indent + "}";
}

} // namespace

ordered_json exercise_json(const Exercise& exercise) {
    ordered_json out = without_steps(exercise);
    out["steps"] = ordered_json::array();
    for (const Step& step : exercise.steps) {
        out["steps"].push_back(step_json(step));
    }
    return out;
}

std::string exercises_text(const ExerciseFile& file) {
    std::string text = "{\n  \"format\": " + line_of(kExerciseFormat) +
                       ",\n  \"version\": " + std::to_string(kExerciseVersion) + ",\n";
    if (!file.title.empty()) {
        text += "  \"title\": " + line_of(file.title) + ",\n";
    }
    if (!file.note.empty()) {
        text += "  \"note\": " + line_of(file.note) + ",\n";
    }
    if (file.exercises.size() == 1) {
        return text + "  \"exercise\": " + exercise_text(file.exercises.front(), "  ") + "\n}\n";
    }
    text += "  \"exercises\": [\n";
    for (const Exercise& exercise : file.exercises) {
        text += "    " + exercise_text(exercise, "    ") +
                (&exercise == &file.exercises.back() ? "\n" : ",\n");
    }
    return text + "  ]\n}\n";
}

} // namespace bellhand::drill
