#include "instrument/planner/change_drill.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <random>
#include <utility>

namespace bellhand::instrument {

namespace {

bool too_late(const ChangeCall& call, const ChangeResult& result) noexcept {
    return call.rest_s && result.seconds > *call.rest_s;
}

} // namespace

std::vector<ChangeCall> rehearsal_of(const Plan& plan) {
    std::vector<ChangeCall> calls;
    for (const PlanStep& step : plan.steps) {
        if (!step.buildable) {
            continue;
        }
        ChangeCall call;
        call.number = step.number.name;
        call.target = step.target;
        call.right = step.way.stack;
        call.slide_m = step.way.slide.pull_m;
        call.rest_s = step.number.rest_before_s;
        call.estimate_s = step.way.change.seconds;
        if (!calls.empty()) {
            call.from = calls.back().right;
            call.slide_from_m = calls.back().slide_m;
        }
        calls.push_back(std::move(call));
    }
    return calls;
}

std::vector<ChangeCall> quiz_of(const HornLengths& horn,
                                double a4_hz,
                                const AirInHorn& air,
                                int questions,
                                std::uint64_t seed) {
    std::vector<ChangeCall> can_be_built;
    for (const horn::Crook& key : horn::all_crooks()) {
        BuildRequest request;
        request.target = {key, a4_hz, air};
        request.most_between = horn.most_pieces_between;
        request.most_ways = 1;
        const BuildAnswer answer = ways_to_build(horn, request);
        if (answer.in_tune) {
            ChangeCall call;
            call.target = request.target;
            call.right = answer.ways.front().stack;
            call.slide_m = answer.ways.front().slide.pull_m;
            can_be_built.push_back(std::move(call));
        }
    }
    std::vector<ChangeCall> calls;
    if (can_be_built.empty()) {
        return calls;
    }
    std::mt19937_64 random(seed);
    while (static_cast<int>(calls.size()) < questions) {
        ChangeCall call = can_be_built[random() % can_be_built.size()];
        if (!calls.empty()) {
            const ChangeCall& before = calls.back();
            if (before.right == call.right && can_be_built.size() > 1) {
                continue;
            }
            call.from = before.right;
            call.slide_from_m = before.slide_m;
            call.estimate_s = change_seconds(
                horn.change_times, before.right, call.right, before.slide_m != call.slide_m);
        }
        calls.push_back(std::move(call));
    }
    return calls;
}

SaidVerdict judge_said(const HornLengths& horn,
                       const ChangeCall& call,
                       const Stack& said,
                       double tolerance_cents) {
    SaidVerdict verdict;
    verdict.slide = set_slide(horn, pushed_in_m(horn, said), target_length_m(call.target));
    verdict.right = std::fabs(verdict.slide.left_cents) <= tolerance_cents;
    if (!verdict.right) {
        verdict.mend = change_between(horn, said, call.right);
    }
    return verdict;
}

ChangeDrill::ChangeDrill(HornLengths horn, std::vector<ChangeCall> calls, bool own)
    : horn_(std::move(horn)), calls_(std::move(calls)), own_(own) {}

const ChangeResult* ChangeDrill::last_result() const noexcept {
    return phase_ == Phase::judged && !results_.empty() && results_.back().call == at_
               ? &results_.back()
               : nullptr;
}

std::size_t ChangeDrill::calls_left() const noexcept {
    return phase_ == Phase::ready ? calls_.size()
                                  : calls_.size() - std::min(at_ + 1, calls_.size());
}

std::vector<ChangeCall> ChangeDrill::to_practise() const {
    std::vector<ChangeCall> calls;
    const bool answered = phase_ == Phase::judged || phase_ == Phase::over;
    const std::size_t came_to = std::min(answered ? at_ + 1 : at_, calls_.size());
    for (std::size_t i = 0; i < came_to; ++i) {
        const auto result = std::find_if(results_.begin(),
                                         results_.end(),
                                         [i](const ChangeResult& one) { return one.call == i; });
        if (result == results_.end() || !result->right() || too_late(calls_[i], *result)) {
            calls.push_back(calls_[i]);
        }
    }
    return calls;
}

HeardVerdict ChangeDrill::judge(const ShownNote& note) const {
    HeardVerdict heard = judge_heard(horn_, call(), note);
    if (!own_) {
        heard.guesses.clear();
    }
    return heard;
}

void ChangeDrill::next(double now_s) {
    assert(phase_ == Phase::ready || phase_ == Phase::judged);
    at_ = phase_ == Phase::ready ? 0 : at_ + 1;
    called_s_ = now_s;
    phase_ = at_ < calls_.size() ? Phase::called : Phase::over;
}

void ChangeDrill::say(const Stack& said, double now_s) {
    assert(phase_ == Phase::called);
    ChangeResult result;
    result.call = at_;
    result.seconds = now_s - called_s_;
    result.said = said;
    result.said_verdict = judge_said(horn_, call(), said);
    results_.push_back(std::move(result));
    phase_ = Phase::judged;
}

void ChangeDrill::show(const ShownNote& note, double begun_s) {
    assert(phase_ == Phase::called || phase_ == Phase::judged);
    if (last_result() == nullptr) {
        results_.emplace_back().call = at_;
    }
    results_.back().seconds = begun_s - called_s_;
    results_.back().heard = judge(note);
    phase_ = Phase::judged;
}

void ChangeDrill::skip() {
    assert(phase_ == Phase::called);
    phase_ = Phase::judged;
}

void ChangeDrill::call_again(double now_s) {
    assert(phase_ == Phase::judged);
    if (last_result() != nullptr) {
        results_.pop_back();
    }
    called_s_ = now_s;
    phase_ = Phase::called;
}

} // namespace bellhand::instrument
