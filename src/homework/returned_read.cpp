#include "homework/homework_json.h"

#include <algorithm>

namespace bellhand::homework {

namespace {

using datafile::Fields;
using datafile::FileProblem;
using datafile::NumberRange;
using nlohmann::json;

constexpr NumberRange kCents{-2400.0, 2400.0, "cents", "", 0.0};
constexpr NumberRange kTolerance{0.0, 500.0, "cents", "", 0.0};
constexpr NumberRange kTiming{-60.0, 60.0, "seconds", "milliseconds", 0.001};
constexpr NumberRange kLevel{-120.0, 120.0, "decibels", "", 0.0};
constexpr NumberRange kMoment{-7200.0, 7200.0, "seconds", "milliseconds", 0.001};
constexpr NumberRange kLength{0.0, 7200.0, "seconds", "milliseconds", 0.001};
constexpr NumberRange kA4{horn::kLowestA4Hz, horn::kHighestA4Hz, "hertz", "", 0.0};
constexpr std::size_t kLongestName = 400;

horn::Hand read_hand(Fields& fields, std::string_view key) {
    const std::string text = fields.text(key);
    if (const auto hand = horn::hand_of(text)) {
        return *hand;
    }
    if (fields.has(key)) {
        fields.problem().refuse(fields.place_of(key),
                                "must be one of open, quarter, half, three-quarters, full");
    }
    return horn::Hand::open;
}

StepResult read_step(const json& value, const std::string& place, FileProblem& problem) {
    Fields fields(value,
                  place,
                  problem,
                  {"step",
                   "pass",
                   "asked",
                   "hand",
                   "missed",
                   "extra",
                   "heard",
                   "start_s",
                   "duration_s",
                   "held_cents",
                   "attack_cents",
                   "known_within_cents",
                   "tolerance_cents",
                   "timing_s",
                   "level_db",
                   "faults"});
    fields.require("step", "the place in the exercise, from 0");
    fields.require("asked", "the note that was asked");
    StepResult step;
    step.step = static_cast<std::uint32_t>(fields.whole("step", 0, 100'000).value_or(0));
    step.pass = static_cast<std::uint32_t>(fields.whole("pass", 0, 1000).value_or(0));
    step.asked = read_note(fields, "asked").value_or(horn::Note{});
    step.hand = read_hand(fields, "hand");
    step.played = !fields.truth("missed").value_or(false);
    step.extra = fields.truth("extra").value_or(false);
    step.heard = read_note(fields, "heard").value_or(step.asked);
    step.start_s = fields.number("start_s", kMoment).value_or(0.0);
    step.duration_s = fields.number("duration_s", kLength).value_or(0.0);
    step.held_cents = fields.number("held_cents", kCents).value_or(0.0);
    step.attack_cents = fields.number("attack_cents", kCents).value_or(0.0);
    step.known_within_cents = fields.number("known_within_cents", kTolerance).value_or(0.0);
    step.tolerance_cents = fields.number("tolerance_cents", kTolerance).value_or(0.0);
    step.timing_s = fields.number("timing_s", kTiming);
    step.level_db = fields.number("level_db", kLevel);
    if (const json* const faults = fields.list("faults", drill::all_faults().size())) {
        for (const json& item : *faults) {
            const auto fault =
                item.is_string() ? drill::fault_from_id(item.get<std::string>()) : std::nullopt;
            if (!fault) {
                problem.refuse(fields.place_of("faults"),
                               "names a fault that this program does not know; update it");
                break;
            }
            step.faults.push_back(*fault);
        }
    }
    return step;
}

Attempt read_attempt(const json& value, const std::string& place, FileProblem& problem) {
    Fields fields(value,
                  place,
                  problem,
                  {"part",
                   "done_at",
                   "crook",
                   "a4_hz",
                   "temperament",
                   "duration_s",
                   "finished",
                   "passes",
                   "steps"});
    fields.require("part", "which task of the homework was played, from 1");
    Attempt attempt;
    attempt.task = static_cast<std::uint32_t>(fields.whole("part", 1, kMostTasks).value_or(1) - 1);
    attempt.done_at = read_instant(fields, "done_at");
    if (fields.has("crook")) {
        attempt.crook = read_crook(fields, "crook").id;
    }
    attempt.a4_hz = fields.number("a4_hz", kA4).value_or(440.0);
    attempt.temperament = read_name(fields, "temperament", 60);
    attempt.duration_s = fields.number("duration_s", kLength).value_or(0.0);
    attempt.finished = fields.truth("finished").value_or(false);
    attempt.passes = fields.whole("passes", 0, 1000).value_or(0);
    if (const json* const steps = fields.list("steps", kMostSteps)) {
        for (std::size_t i = 0; i < steps->size() && !problem.found(); ++i) {
            attempt.steps.push_back(
                read_step((*steps)[i], place + ", step " + std::to_string(i + 1), problem));
        }
    }
    return attempt;
}

Take read_take(const json& value, const std::string& place, FileProblem& problem) {
    Fields fields(value, place, problem, {"attempt", "starts_s", "duration_s", "why", "log_file"});
    Take take;
    if (const auto attempt = fields.whole("attempt", 1, kMostAttempts)) {
        take.attempt = static_cast<std::uint32_t>(*attempt - 1);
    }
    take.starts_s = fields.number("starts_s", kMoment).value_or(0.0);
    take.duration_s = fields.number("duration_s", kLength).value_or(0.0);
    take.why = read_name(fields, "why", kLongestName);
    take.log_file = read_name(fields, "log_file", 120);
    return take;
}

} // namespace

Return read_return(const json& value, FileProblem& problem) {
    Fields fields(value, "returned", problem, {"returned_at", "words", "attempts", "takes"});
    Return returned;
    returned.returned_at = read_instant(fields, "returned_at");
    returned.words = read_words(fields, "words", kLongestWords);
    if (const json* const attempts = fields.list("attempts", kMostAttempts)) {
        for (std::size_t i = 0; i < attempts->size() && !problem.found(); ++i) {
            returned.attempts.push_back(
                read_attempt((*attempts)[i], "attempt " + std::to_string(i + 1), problem));
        }
    }
    if (const json* const takes = fields.list("takes", kMostTakes)) {
        for (std::size_t i = 0; i < takes->size() && !problem.found(); ++i) {
            returned.takes.push_back(
                read_take((*takes)[i], "take " + std::to_string(i + 1), problem));
        }
    }
    return returned;
}

} // namespace bellhand::homework
