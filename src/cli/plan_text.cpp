#include "cli/plan_text.h"

#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace bellhand::cli {

namespace {

/// "2 min 50 s", "45 s".
std::string time_text(double time_s) {
    const long whole = std::lround(time_s);
    if (whole < 60) {
        return fmt::format("{} s", whole);
    }
    return whole % 60 == 0 ? fmt::format("{} min", whole / 60)
                           : fmt::format("{} min {} s", whole / 60, whole % 60);
}

nlohmann::ordered_json item_json(const skill::Item& item) {
    nlohmann::ordered_json out;
    out["written"] = horn::ascii_name(horn::usual_spelling(item.number));
    out["hand"] = horn::hand_id(item.hand);
    if (item.from_number) {
        out["from"] = horn::ascii_name(horn::usual_spelling(*item.from_number));
        out["from_hand"] = horn::hand_id(item.from_hand);
    }
    return out;
}

/// ", A4 = 430 Hz, Vallotti": what homework asks for.
std::string pitch_words(const skill::PlannedBlock& block) {
    return (block.a4_hz ? fmt::format(", A4 = {:g} Hz", *block.a4_hz) : std::string()) +
           (block.temperament ? fmt::format(", {}", block.temperament->label) : std::string());
}

} // namespace

std::string plan_text(const skill::DayPlan& plan) {
    std::string out = fmt::format("Today: {} of playing in {} {}, {} of rest between them.\n\n",
                                  time_text(plan.play_s),
                                  plan.blocks.size(),
                                  plan.blocks.size() == 1 ? "block" : "blocks",
                                  time_text(plan.rest_s));
    for (std::size_t i = 0; i < plan.blocks.size(); ++i) {
        const skill::PlannedBlock& block = plan.blocks[i];
        out += fmt::format("{}. {}  ({} crook{}, {})\n   {}\n",
                           i + 1,
                           block.exercise.title,
                           block.crook.label,
                           pitch_words(block),
                           time_text(block.play_s),
                           block.why);
        if (i + 1 < plan.blocks.size()) {
            out += fmt::format("   then rest {}\n", time_text(block.rest_s));
        }
    }
    out += '\n';
    for (const std::string& caution : plan.cautions) {
        out += caution + '\n';
    }
    return out;
}

std::string plan_json(const skill::DayPlan& plan) {
    nlohmann::ordered_json out;
    out["play_s"] = plan.play_s;
    out["rest_s"] = plan.rest_s;
    out["cautions"] = plan.cautions;
    out["blocks"] = nlohmann::ordered_json::array();
    for (const skill::PlannedBlock& block : plan.blocks) {
        nlohmann::ordered_json one;
        one["reason"] = skill::reason_id(block.reason);
        one["exercise"] = block.exercise.id;
        one["title"] = block.exercise.title;
        one["crook"] = block.crook.id;
        one["repetitions"] = block.exercise.repetitions;
        one["play_s"] = block.play_s;
        one["rest_s"] = block.rest_s;
        one["why"] = block.why;
        one["items"] = nlohmann::ordered_json::array();
        for (const skill::Item& item : block.items) {
            one["items"].push_back(item_json(item));
        }
        if (!block.homework.empty()) {
            one["homework"] = block.homework;
            one["part"] = block.homework_part;
            one["a4_hz"] = block.a4_hz ? nlohmann::ordered_json(*block.a4_hz) : nullptr;
            one["temperament"] =
                block.temperament ? nlohmann::ordered_json(block.temperament->id) : nullptr;
        }
        out["blocks"].push_back(std::move(one));
    }
    return out.dump(1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

} // namespace bellhand::cli
