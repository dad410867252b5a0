#include "drill/exercise_json.h"
#include "homework/homework_json.h"

#include <cmath>

namespace bellhand::homework {

namespace {

using nlohmann::ordered_json;

void put_text(ordered_json& object, const char* key, const std::string& text) {
    if (!text.empty()) {
        object[key] = text;
    }
}

template <typename T>
void put(ordered_json& object, const char* key, const std::optional<T>& value) {
    if (value) {
        object[key] = *value;
    }
}

void put_number(ordered_json& object, const char* key, double value) {
    if (rounded(value) != 0.0) {
        object[key] = rounded(value);
    }
}

ordered_json task_json(const Task& task) {
    ordered_json object{{"exercise", drill::exercise_json(task.exercise)}};
    put(object, "first_step", task.first_step);
    put(object, "last_step", task.last_step);
    if (task.crook) {
        object["crook"] = task.crook->id;
    }
    put(object, "quarters_per_minute", task.quarters_per_minute);
    if (task.tolerance_factor != 1.0) {
        object["tolerance_factor"] = task.tolerance_factor;
    }
    put(object, "repetitions", task.repetitions);
    if (task.times != 1) {
        object["times"] = task.times;
    }
    if (task.time_is == TimeIs::minutes) {
        object["minutes"] = rounded(task.minutes);
    } else if (task.time_is == TimeIs::block) {
        object["a_time"] = kTimeIs[static_cast<std::size_t>(task.time_is)];
    }
    put_text(object, "words", task.words);
    return object;
}

ordered_json step_json(const StepResult& step) {
    ordered_json object{{"step", step.step}};
    if (step.pass != 0) {
        object["pass"] = step.pass;
    }
    object["asked"] = horn::ascii_name(step.asked);
    if (step.hand != horn::Hand::open) {
        object["hand"] = horn::hand_id(step.hand);
    }
    if (!step.played) {
        object["missed"] = true;
    }
    if (step.extra) {
        object["extra"] = true;
    }
    if (step.played && !(step.heard == step.asked)) {
        object["heard"] = horn::ascii_name(step.heard);
    }
    put_number(object, "start_s", step.start_s);
    put_number(object, "duration_s", step.duration_s);
    put_number(object, "held_cents", step.held_cents);
    put_number(object, "attack_cents", step.attack_cents);
    put_number(object, "known_within_cents", step.known_within_cents);
    put_number(object, "tolerance_cents", step.tolerance_cents);
    if (step.timing_s) {
        object["timing_s"] = rounded(*step.timing_s);
    }
    if (step.level_db) {
        object["level_db"] = rounded(*step.level_db);
    }
    for (const drill::Fault fault : step.faults) {
        object["faults"].push_back(drill::fault_id(fault));
    }
    return object;
}

ordered_json attempt_json(const Attempt& attempt) {
    ordered_json object{{"part", attempt.task + 1}};
    put_text(object, "done_at", attempt.done_at);
    put_text(object, "crook", attempt.crook);
    object["a4_hz"] = rounded(attempt.a4_hz);
    put_text(object, "temperament", attempt.temperament);
    put_number(object, "duration_s", attempt.duration_s);
    if (attempt.finished) {
        object["finished"] = true;
    }
    if (attempt.passes > 0) {
        object["passes"] = attempt.passes;
    }
    for (const StepResult& step : attempt.steps) {
        object["steps"].push_back(step_json(step));
    }
    return object;
}

ordered_json comment_json(const Comment& comment) {
    ordered_json object{{"who", kWho[static_cast<std::size_t>(comment.who)]}};
    if (comment.take) {
        object["take"] = *comment.take + 1;
    }
    put_number(object, "at_s", comment.at_s);
    if (comment.task) {
        object["part"] = *comment.task + 1;
    }
    if (comment.note) {
        object["note"] = horn::ascii_name(*comment.note);
    }
    object["text"] = comment.text;
    put_text(object, "written_at", comment.written_at);
    return object;
}

} // namespace

double rounded(double value) noexcept {
    return std::isfinite(value) ? std::round(value * 1000.0) / 1000.0 : 0.0;
}

ordered_json return_json(const Return& returned) {
    ordered_json object = ordered_json::object();
    put_text(object, "returned_at", returned.returned_at);
    put_text(object, "words", returned.words);
    for (const Attempt& attempt : returned.attempts) {
        object["attempts"].push_back(attempt_json(attempt));
    }
    for (const Take& take : returned.takes) {
        ordered_json entry = ordered_json::object();
        if (take.attempt) {
            entry["attempt"] = *take.attempt + 1;
        }
        put_number(entry, "starts_s", take.starts_s);
        put_number(entry, "duration_s", take.duration_s);
        put_text(entry, "why", take.why);
        put_text(entry, "log_file", take.log_file);
        object["takes"].push_back(std::move(entry));
    }
    return object;
}

std::string homework_text(const Homework& homework) {
    ordered_json top{
        {"format", kFormat}, {"version", kVersion}, {"id", homework.id}, {"title", homework.title}};
    put_text(top, "teacher", homework.teacher);
    put_text(top, "student", homework.student);
    put_text(top, "follows", homework.follows);
    put_text(top, "written_on", homework.written_on);
    put_text(top, "due_on", homework.due_on);
    put_text(top, "words", homework.words);
    top["a4_hz"] = rounded(homework.a4_hz);
    top["temperament"] = homework.temperament;
    const horn::Footing usual;
    if (homework.footing.root) {
        top["root"] = horn::step_name(*homework.footing.root);
    }
    if (homework.footing.anchor != usual.anchor) {
        top["anchor"] = horn::anchor_id(homework.footing.anchor);
    }
    if (homework.footing.enharmonic != usual.enharmonic) {
        top["enharmonic"] = horn::enharmonic_id(homework.footing.enharmonic);
    }
    top["parts"] = ordered_json::array();
    for (const Task& task : homework.tasks) {
        top["parts"].push_back(task_json(task));
    }
    if (homework.returned) {
        top["returned"] = return_json(*homework.returned);
    }
    for (const Comment& comment : homework.comments) {
        top["comments"].push_back(comment_json(comment));
    }
    return top.dump(1, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

} // namespace bellhand::homework
