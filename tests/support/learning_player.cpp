#include "support/learning_player.h"

#include "skill/focus.h"

#include <algorithm>
#include <cmath>

namespace bellhand::test {

namespace {

constexpr double kQuickShare = 0.25;
constexpr double kSlowShare = 0.03;
constexpr double kQuickDays = 0.3;
constexpr double kSlowPower = 0.10;
constexpr double kUsualTalent = 1.0;

double logistic(double logits) {
    return 1.0 / (1.0 + std::exp(-logits));
}

} // namespace

void LearningPlayer::set_talent(const skill::Item& item, double logits) {
    strengths_[item].talent = logits;
}

LearningPlayer::Strength LearningPlayer::faded(const Strength& strength) const {
    Strength now = strength;
    if (strength.last_s > 0) {
        const double days = std::max(0.0, static_cast<double>(now_s_ - strength.last_s) / 86400.0);
        now.quick *= std::exp(-days / kQuickDays);
        now.slow *= std::pow(1.0 + days, -kSlowPower);
    }
    return now;
}

double LearningPlayer::probability(const skill::Item& item) const {
    const auto found = strengths_.find(item);
    if (found == strengths_.end()) {
        return logistic(kUsualTalent);
    }
    const Strength now = faded(found->second);
    return logistic(now.talent + now.quick + now.slow);
}

bool LearningPlayer::play(const skill::Item& item) {
    Strength& strength = strengths_[item];
    strength = faded(strength);
    strength.last_s = now_s_;
    const double p = logistic(strength.talent + strength.quick + strength.slow);
    const bool good = std::uniform_real_distribution(0.0, 1.0)(chance_) < p;
    strength.quick += kQuickShare * (1.0 - p);
    strength.slow += kSlowShare * (1.0 - p);
    return good;
}

std::map<skill::Item, int> LearningPlayer::play_block(const skill::PlannedBlock& block,
                                                      skill::Skills& skills) {
    std::map<skill::Item, int> played;
    for (int pass = 0; pass < block.exercise.repetitions; ++pass) {
        for (std::uint32_t step = 0; step < block.exercise.steps.size(); ++step) {
            const std::vector<skill::Item> items =
                skill::items_of(block.exercise, step, block.crook);
            if (items.empty()) {
                continue;
            }
            drill::Judgement judgement;
            judgement.step = step;
            judgement.pass = static_cast<std::uint32_t>(pass);
            judgement.played = true;
            if (items.size() > 1 && !play(items[1])) {
                judgement.faults.push_back(drill::Fault::wrong_partial);
            } else if (!play(items[0])) {
                judgement.faults.push_back(drill::Fault::flat);
                judgement.held_cents = -20.0;
            }
            (void)skill::learn(skills, block.exercise, judgement, block.crook, now_s_);
            ++played[items[0]];
        }
        now_s_ += static_cast<std::int64_t>(std::lround(skill::length_s(block.exercise)));
    }
    now_s_ += static_cast<std::int64_t>(std::lround(block.rest_s));
    return played;
}

} // namespace bellhand::test
