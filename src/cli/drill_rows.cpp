#include "cli/drill_rows.h"

#include "drill/plan.h"
#include "drill/playable.h"
#include "words/verdict.h"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

using drill::Exercise;
using drill::Judgement;

std::string quarters_cell(double quarters) {
    return quarters > 0.0 ? fmt::format("{:g}", quarters) : "free";
}

/// What stands beside the note, in words.
std::string marks_of(const drill::Step& step, const drill::Asked& asked) {
    std::vector<std::string> marks;
    constexpr const char* kDynamic[] = {"", "pp", "p", "mp", "mf", "f", "ff"};
    constexpr const char* kHairpin[] = {"", "growing", "fading", "growing and fading"};
    constexpr const char* kManner[] = {"", "lip trill", "hand trill", "slow closing"};
    for (const char* const mark : {step.slurred ? "slurred" : "",
                                   step.hand_first ? "hand first" : "",
                                   kDynamic[static_cast<int>(step.dynamic)],
                                   kHairpin[static_cast<int>(step.hairpin)],
                                   kManner[static_cast<int>(step.manner)]}) {
        if (*mark != '\0') {
            marks.emplace_back(mark);
        }
    }
    if (step.other) {
        marks.back() += " to " + horn::ascii_name(*step.other);
    }
    if (step.target_offset_cents) {
        marks.push_back(fmt::format("target {:+.1f} cents", *step.target_offset_cents));
    }
    marks.push_back(fmt::format("within {:g} cents", asked.tolerance_cents));
    return fmt::format("{}", fmt::join(marks, ", "));
}

std::string hand_cell(const drill::Asked& asked) {
    const std::string low = horn::hand_id(asked.hand);
    return asked.hand == asked.hand_to ? low : low + ".." + horn::hand_id(asked.hand_to);
}

} // namespace

std::vector<Column> exercise_columns() {
    return {{"name"}, {"title"}, {"family"}, {"notes", true}, {"tempo", true}, {"playable"}};
}

std::vector<std::string> exercise_row(const Exercise& exercise, const horn::Crook& crook) {
    const auto notes =
        std::count_if(exercise.steps.begin(), exercise.steps.end(), [](const drill::Step& step) {
            return step.written.has_value();
        });
    const drill::Playable answer = drill::playable(exercise, crook);
    return {exercise.id,
            exercise.title,
            exercise.family,
            std::to_string(notes),
            exercise.quarters_per_minute > 0.0 ? fmt::format("{:g}", exercise.quarters_per_minute)
                                               : "",
            answer.yes ? "yes" : answer.why};
}

std::vector<Column> step_columns() {
    return {{"step", true},
            {"note"},
            {"played"},
            {"quarters"},
            {"hand"},
            {"partial", true},
            {"target_hz", true},
            {"marks"}};
}

std::vector<std::vector<std::string>> step_rows(const Exercise& exercise,
                                                const horn::Tuning& tuning) {
    drill::PlanSettings settings;
    settings.tuning = tuning;
    std::map<std::uint32_t, drill::Asked> asked;
    for (const drill::Asked& one : drill::plan_of(exercise, settings)) {
        asked.emplace(one.step, one);
    }
    std::vector<std::vector<std::string>> rows;
    for (std::uint32_t index = 0; index < exercise.steps.size(); ++index) {
        const drill::Step& step = exercise.steps[index];
        const auto found = asked.find(index);
        std::vector<std::string> row{std::to_string(index + 1),
                                     step.written ? horn::ascii_name(*step.written) : "rest"};
        if (found == asked.end()) {
            row.insert(row.end(), {"", quarters_cell(step.quarters), "", "", "", ""});
        } else {
            const drill::Asked& one = found->second;
            row.insert(row.end(),
                       {horn::ascii_name(one.written),
                        quarters_cell(step.quarters),
                        hand_cell(one),
                        std::to_string(one.partial),
                        fmt::format("{:.2f}", one.target_hz),
                        marks_of(step, one)});
        }
        rows.push_back(std::move(row));
    }
    return rows;
}

std::vector<Column> judgement_columns() {
    return {{"step", true},
            {"pass", true},
            {"crook"},
            {"asked"},
            {"hand"},
            {"heard"},
            {"start_s", true},
            {"held_cents", true},
            {"attack_cents", true},
            {"tolerance_cents", true},
            {"timing_ms", true},
            {"level_db", true},
            {"verdict"}};
}

std::vector<std::string>
judgement_row(const Exercise& exercise, const Judgement& judgement, const horn::Tuning& tuning) {
    const drill::Step& step = exercise.steps[judgement.step];
    const horn::Note asked = drill::played_note(exercise, *step.written, tuning.crook);
    const horn::ChartEntry* const entry = horn::chart_entry(asked);
    std::vector<std::string> row{std::to_string(judgement.step + 1),
                                 std::to_string(judgement.pass + 1),
                                 tuning.crook.id,
                                 judgement.extra ? "" : horn::ascii_name(asked),
                                 judgement.extra || entry == nullptr
                                     ? ""
                                     : horn::hand_id(drill::way_asked(step, *entry).hand)};
    if (judgement.played) {
        row.insert(row.end(),
                   {horn::ascii_name(judgement.note.written),
                    fmt::format("{:.3f}", judgement.note.start_s)});
    } else {
        row.insert(row.end(), {"", ""});
    }
    if (judgement.played && !judgement.extra) {
        row.insert(row.end(),
                   {fmt::format("{:.1f}", judgement.held_cents),
                    fmt::format("{:.1f}", judgement.attack_cents),
                    fmt::format("{:g}", judgement.tolerance_cents)});
    } else {
        row.insert(row.end(), {"", "", ""});
    }
    row.push_back(judgement.timing_s ? fmt::format("{:.0f}", 1000.0 * *judgement.timing_s) : "");
    row.push_back(judgement.level_db ? fmt::format("{:.1f}", *judgement.level_db) : "");
    std::string verdict = judgement.extra         ? "extra"
                          : judgement.good()      ? "good"
                          : judgement.undecided() ? "undecided"
                                                  : "";
    if (verdict.empty()) {
        for (const drill::Fault fault : judgement.faults) {
            verdict += (verdict.empty() ? "" : " ") + std::string(drill::fault_id(fault));
        }
    }
    row.push_back(verdict);
    return row;
}

std::string summary_of(const Exercise& exercise, const practice::JudgedRecording& judged) {
    std::map<drill::Fault, int> faults;
    std::map<std::string, int> weak;
    int good = 0;
    int steps = 0;
    int extra = 0;
    int undecided = 0;
    for (const Judgement& judgement : judged.judgements) {
        if (judgement.extra) {
            ++extra;
            continue;
        }
        if (judgement.undecided()) {
            ++undecided;
            continue;
        }
        ++steps;
        good += judgement.good() ? 1 : 0;
        for (const drill::Fault fault : judgement.faults) {
            ++faults[fault];
        }
        if (!judgement.good()) {
            ++weak[horn::display_name(*exercise.steps[judgement.step].written)];
        }
    }
    std::string text = fmt::format("{} of {} notes right", good, steps);
    std::string details;
    for (const auto& [fault, count] : faults) {
        details +=
            fmt::format("{}{} {}", details.empty() ? "; " : ", ", count, words::fault_kind(fault));
    }
    if (extra > 0) {
        details += fmt::format("{}{} that nothing asked for", details.empty() ? "; " : ", ", extra);
    }
    if (undecided > 0) {
        details += fmt::format(
            "{}{} not heard apart from the note before", details.empty() ? "; " : ", ", undecided);
    }
    std::string often;
    for (const auto& [note, count] : weak) {
        if (count > 1) {
            often += fmt::format(
                "{}{} ({} times)", often.empty() ? " More than once: " : ", ", note, count);
        }
    }
    return text + details + "." + (often.empty() ? "" : often + ".");
}

} // namespace bellhand::cli
