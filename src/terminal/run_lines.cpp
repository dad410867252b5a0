#include "terminal/run_lines.h"

#include "drill/words.h"
#include "terminal/run_screen.h"

#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace bellhand::terminal {

namespace {

using Json = nlohmann::ordered_json;
using run::Stage;

Json event(double now_s, const char* name) {
    Json out;
    out["at_s"] = std::round(now_s * 1000.0) / 1000.0;
    out["event"] = name;
    return out;
}

std::string dumped(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Json notes_json(const std::vector<drill::Asked>& asked) {
    Json notes = Json::array();
    for (const drill::Asked& one : asked) {
        Json note;
        note["step"] = one.step;
        note["written"] = horn::ascii_name(one.written);
        note["partial"] = one.partial;
        note["hand"] = horn::hand_id(one.hand);
        note["target_hz"] = std::round(one.target_hz * 1000.0) / 1000.0;
        note["quarters"] = one.quarters;
        note["slurred"] = one.slurred;
        note["hairpin"] = drill::word_of(one.hairpin, drill::kHairpins);
        notes.push_back(std::move(note));
    }
    return notes;
}

std::string asked_json(double now_s, const run::State& state, const horn::Tuning& tuning) {
    Json out = event(now_s, "asked");
    out["block"] = state.block + 1;
    out["blocks"] = state.blocks;
    out["title"] = state.now->exercise.title;
    out["why"] = state.now->why;
    out["crook"] = tuning.crook.id;
    out["quarters_per_minute"] = state.now->exercise.quarters_per_minute;
    out["again"] = state.where.repeating_missed;
    out["pass"] = state.where.pass;
    out["passes"] = state.where.passes;
    out["notes"] = notes_json(*state.asked);
    return dumped(out);
}

std::string step_json(double now_s, std::size_t block, const run::Feedback& feedback) {
    Json out = event(now_s, "step");
    out["block"] = block + 1;
    out["step"] = feedback.judgement.step;
    out["pass"] = feedback.judgement.pass;
    out["good"] = feedback.judgement.good();
    out["played"] = feedback.judgement.played;
    out["text"] = feedback.text;
    return dumped(out);
}

std::string summary_json(double now_s, const run::BlockSummary& summary) {
    Json out = event(now_s, "summary");
    out["title"] = summary.title;
    out["judged"] = summary.judged;
    out["good"] = summary.good;
    out["played_s"] = std::round(summary.played_s * 10.0) / 10.0;
    out["faults"] = Json::object();
    for (const run::FaultCount& fault : summary.faults) {
        out["faults"][drill::fault_id(fault.fault)] = fault.count;
    }
    return dumped(out);
}

} // namespace

std::vector<std::string>
RunLines::tell(double now_s, const run::State& state, const horn::Tuning& tuning) {
    std::vector<std::string> lines;
    tell_steps(lines, now_s, state);
    tell_remarks(lines, now_s, state);
    tell_summaries(lines, now_s, state);
    tell_asked(lines, now_s, state, tuning);
    if (stage_ != state.stage) {
        if (state.stage == Stage::rest) {
            Json out = event(now_s, "rest");
            out["rest_s"] = std::round(state.rest_left_s * 10.0) / 10.0;
            lines.push_back(json_ ? dumped(out) : plain_text(state.prompt, utf8_));
        } else if (state.stage == Stage::finished) {
            lines.push_back(json_ ? dumped(event(now_s, "finished"))
                                  : plain_text(state.prompt, utf8_));
        }
    }
    stage_ = state.stage;
    block_ = state.block;
    repeating_ = state.where.repeating_missed;
    part_ = state.where.part;
    for (std::string& line : lines) {
        line = json_ ? as_answer_(tuning, line) : line;
    }
    return lines;
}

void RunLines::tell_summaries(std::vector<std::string>& lines,
                              double now_s,
                              const run::State& state) {
    for (; summaries_ < state.summaries.size(); ++summaries_) {
        const run::BlockSummary& summary = state.summaries[summaries_];
        lines.push_back(json_ ? summary_json(now_s, summary)
                              : plain_text(summary.title + ": " + summary.text, utf8_));
    }
}

void RunLines::tell_steps(std::vector<std::string>& lines, double now_s, const run::State& state) {
    if (state.told.size() < told_) {
        told_ = 0; // a new block
    }
    for (; told_ < state.told.size(); ++told_) {
        const run::Feedback& feedback = state.told[told_];
        lines.push_back(json_
                            ? step_json(now_s, state.block, feedback)
                            : fmt::format("{:9.2f}  {}", now_s, plain_text(feedback.text, utf8_)));
    }
}

void RunLines::tell_remarks(std::vector<std::string>& lines,
                            double now_s,
                            const run::State& state) {
    remarks_ = state.remarks.size() < remarks_ ? 0 : remarks_; // a new block
    for (; remarks_ < state.remarks.size(); ++remarks_) {
        Json out = event(now_s, "remark");
        out["text"] = state.remarks[remarks_];
        lines.push_back(json_ ? dumped(out) : plain_text(state.remarks[remarks_], utf8_));
    }
}

void RunLines::tell_asked(std::vector<std::string>& lines,
                          double now_s,
                          const run::State& state,
                          const horn::Tuning& tuning) {
    const bool begins =
        state.stage == Stage::ready && (stage_ != Stage::ready || block_ != state.block);
    const bool again = state.stage == Stage::playing &&
                       ((state.where.repeating_missed && !repeating_) || state.where.part != part_);
    if ((!begins && !again) || state.now == nullptr || state.asked == nullptr) {
        return;
    }
    if (json_) {
        lines.push_back(asked_json(now_s, state, tuning));
        return;
    }
    if (begins) {
        lines.push_back(plain_text(
            fmt::format(
                "Block {} of {}: {}", state.block + 1, state.blocks, state.now->exercise.title),
            utf8_));
        lines.push_back(plain_text(state.now->why, utf8_));
    }
    lines.push_back(plain_text(state.prompt, utf8_));
}

} // namespace bellhand::terminal
