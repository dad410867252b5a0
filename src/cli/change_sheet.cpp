#include "cli/change_sheet.h"

#include "cli/answer.h"
#include "instrument/planner/missing.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

namespace bellhand::cli {

namespace {

using instrument::PlanStep;

std::string remark(const PlanStep& step) {
    if (!step.buildable) {
        return fmt::format("cannot be built: the nearest stays {:.0f} cents too {}",
                           std::abs(step.way.slide.left_cents),
                           step.way.slide.left_cents > 0.0 ? "high" : "low");
    }
    if (step.too_short || step.tight) {
        return fmt::format("{}: about {:g} s of change in {:g} s of rest",
                           step.too_short ? "NOT POSSIBLE in time" : "NO MARGIN",
                           step.way.change.seconds,
                           *step.number.rest_before_s);
    }
    return std::string(step.way.change.crook_lifted ? "lift the crook" : "") +
           (step.way.change.crook_lifted && step.way.change.slide_moved ? ", " : "") +
           (step.way.change.slide_moved ? "move the slide" : "");
}

std::string what_would_do(const ChangeSheet& sheet, const PlanStep& step) {
    instrument::BuildRequest request;
    request.target = step.target;
    request.most_between = sheet.plan.searched_between;
    return instrument::in_words(sheet.horn.lengths,
                                step.number.key,
                                instrument::what_is_missing(sheet.horn.lengths, request));
}

/// Every stack of the evening in its key, once, cold and after twenty minutes of playing.
std::string warm_up_text(const ChangeSheet& sheet) {
    std::string text;
    std::string told;
    for (const PlanStep& step : sheet.plan.steps) {
        if (!step.buildable) {
            continue;
        }
        const auto warm =
            instrument::warm_up(step.target.air.temperature_c, *sheet.room_c, kWarmAfter_min);
        const std::string words = in_words(warm);
        if (words != told) {
            text += "Warm-up: " + words + ".\n";
            told = words;
        }
        const std::string line =
            fmt::format("  {} in {}: {}.\n",
                        instrument::describe(sheet.horn.lengths, step.way.stack),
                        step.number.key.label,
                        in_words(instrument::warm_slide(
                            sheet.horn.lengths, step.way.stack, step.target, warm)));
        text += text.find(line) == std::string::npos ? line : "";
    }
    return text;
}

std::vector<long> in_millimetres(const std::vector<double>& metres) {
    std::vector<long> whole;
    for (const double value : metres) {
        whole.push_back(std::lround(1000.0 * value));
    }
    return whole;
}

} // namespace

std::string change_table(const ChangeSheet& sheet, TableFormat format) {
    const bool table = format == TableFormat::table;
    std::vector<std::vector<std::string>> rows;
    for (const PlanStep& step : sheet.plan.steps) {
        rows.push_back(
            {step.number.name,
             table ? step.number.key.label : step.number.key.id,
             instrument::describe(sheet.horn.lengths, step.way.stack),
             fmt::format("{:.0f}", 1000.0 * step.way.slide.pull_m),
             joined(step.way.change.off),
             joined(step.way.change.on),
             step.buildable ? fmt::format("{:g}", step.way.change.seconds) : "",
             step.number.rest_before_s ? fmt::format("{:g}", *step.number.rest_before_s) : "",
             fmt::format("{:.0f}", 1000.0 * step.way.reach_m),
             cents_cell(step.way.slide.left_cents, 1, format),
             remark(step)});
    }
    return answer_table("change-sheet",
                        {},
                        {{"number"},
                         {"key"},
                         {"pieces"},
                         {"slide_mm", true},
                         {"off"},
                         {"on"},
                         {"change_s", true},
                         {"rest_s", true},
                         {"reach_mm", true},
                         {"left_cents", true},
                         {"remark"}},
                        rows,
                        format);
}

std::string change_summary(const ChangeSheet& sheet) {
    const instrument::Plan& plan = sheet.plan;
    std::string text =
        fmt::format("Pack {}: {}.\n", plan.packed.size(), joined(plan.packed)) +
        fmt::format("Changes take about {:g} s in all (estimate); the longest stack moves the "
                    "mouthpiece {:.0f} mm from the body.\n",
                    plan.change_s,
                    1000.0 * plan.greatest_reach_m);
    text += fmt::format("The slide stands at {} {} ({} mm) and is moved {} {}.\n",
                        plan.slide_places_m.size(),
                        plan.slide_places_m.size() == 1 ? "place" : "places",
                        fmt::join(in_millimetres(plan.slide_places_m), ", "),
                        plan.slide_moves,
                        plan.slide_moves == 1 ? "time" : "times");
    for (const PlanStep& step : plan.steps) {
        if (!step.buildable || step.too_short || step.tight) {
            text += fmt::format(
                "{} in {}: {}.\n", step.number.name, step.number.key.label, remark(step));
        }
        if (!step.buildable) {
            text += what_would_do(sheet, step) + "\n";
        }
    }
    text += sheet.room_c ? warm_up_text(sheet) : "";
    text += plan.not_searched.empty() ? "" : plan.not_searched + "\n";
    if (!plan.all_compared) {
        text += "There are so many smallest packings that not all were compared for their "
                "changes.\n";
    }
    for (const PlanStep& step : plan.steps) {
        const std::string caution = instrument::assemble(sheet.horn.lengths,
                                                         step.way.stack,
                                                         step.way.slide.pull_m,
                                                         sheet.list.a4_hz,
                                                         sheet.horn.air)
                                        .caution;
        if (!caution.empty()) {
            text += caution + "\n";
            break;
        }
    }
    return text;
}

std::string change_json(const ChangeSheet& sheet) {
    using nlohmann::ordered_json;
    const instrument::Plan& plan = sheet.plan;
    Question question;
    question.a4_hz = sheet.list.a4_hz;
    question.temperature_c = sheet.list.temperature_c.value_or(sheet.horn.air.temperature_c);
    question.profile = sheet.horn.profile.name;
    question.more = {{"title", sheet.list.title}, {"choose", instrument::choose_id(plan.choose)}};
    ordered_json answer{{"in_tune",
                         std::all_of(plan.steps.begin(),
                                     plan.steps.end(),
                                     [](const PlanStep& step) { return step.buildable; })},
                        {"packed", plan.packed},
                        {"too_short", plan.too_short},
                        {"tight", plan.tight},
                        {"change_s", plan.change_s},
                        {"slide_places_m", plan.slide_places_m},
                        {"slide_moves", plan.slide_moves},
                        {"reach_sum_m", plan.reach_sum_m},
                        {"greatest_reach_m", plan.greatest_reach_m},
                        {"all_compared", plan.all_compared},
                        {"searched_between", plan.searched_between},
                        {"not_searched", plan.not_searched},
                        {"warnings", sheet.horn.lengths.warnings},
                        {"numbers", ordered_json::array()}};
    for (const PlanStep& step : plan.steps) {
        ordered_json number{{"name", step.number.name},
                            {"key", step.number.key.id},
                            {"in_tune", step.buildable},
                            {"pieces", instrument::names_of(sheet.horn.lengths, step.way.stack)},
                            {"slide_m", step.way.slide.pull_m},
                            {"left_cents", step.way.slide.left_cents},
                            {"off", step.way.change.off},
                            {"on", step.way.change.on},
                            {"change_s", step.way.change.seconds},
                            {"rest_s", nullptr},
                            {"too_short", step.too_short},
                            {"tight", step.tight},
                            {"slide_moved", step.way.change.slide_moved},
                            {"reach_m", step.way.reach_m}};
        if (step.number.rest_before_s) {
            number["rest_s"] = *step.number.rest_before_s;
        }
        number["warm_up"] = nullptr;
        if (sheet.room_c && step.buildable) {
            const auto warm =
                instrument::warm_up(step.target.air.temperature_c, *sheet.room_c, kWarmAfter_min);
            number["warm_up"] = warm_json(warm, *sheet.room_c);
            add_warm_slide(
                number["warm_up"],
                instrument::warm_slide(sheet.horn.lengths, step.way.stack, step.target, warm));
        }
        answer["numbers"].push_back(std::move(number));
    }
    return answer_json("change-sheet",
                       question,
                       answer.dump(1, ' ', false, ordered_json::error_handler_t::replace));
}

} // namespace bellhand::cli
