#include "skill/focus.h"
#include "support/learning_player.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numeric>

#include <doctest/doctest.h>

namespace skill = bellhand::skill;
namespace horn = bellhand::horn;
using bellhand::test::LearningPlayer;

namespace {

constexpr std::int64_t kDay = 86400;
constexpr std::int64_t kStart = 1772000000;
constexpr int kLowest = 60;  // C4
constexpr int kHighest = 79; // G5
constexpr int kNotes = kHighest - kLowest + 1;

skill::Item note(int number) {
    skill::Item item;
    item.number = number;
    item.hand = horn::chart_entry(horn::usual_spelling(number))->usual().hand;
    return item;
}

/// A player whose talents scatter, with `weak` notes far below the others.
LearningPlayer player_with(std::uint64_t seed, const std::vector<int>& weak) {
    LearningPlayer player(seed, kStart);
    std::mt19937_64 chance(seed * 7 + 1);
    std::normal_distribution scatter(0.8, 0.8);
    for (int number = kLowest; number <= kHighest; ++number) {
        player.set_talent(note(number), scatter(chance));
    }
    for (const int number : weak) {
        player.set_talent(note(number), -2.0);
    }
    return player;
}

/// Every note some times, so that both ways of practising begin with the same log.
void first_look(LearningPlayer& player, skill::Skills& skills) {
    for (int number = kLowest; number <= kHighest; ++number) {
        skill::Skill& skill = skills[note(number)];
        skill.item = note(number);
        for (int i = 0; i < 3; ++i) {
            skill::practise(skill, player.play(note(number)), std::nullopt, player.now_s());
        }
    }
}

skill::DayPlan planned(const skill::Skills& skills, std::int64_t now_s) {
    skill::PlanWishes wishes;
    wishes.now_s = now_s;
    wishes.crooks = {horn::Crook{}};
    return skill::plan_day(skills, wishes);
}

/// The same day with its notes drawn from a hat.
skill::DayPlan uniform(skill::DayPlan plan, std::mt19937_64& chance) {
    std::uniform_int_distribution any(kLowest, kHighest);
    for (skill::PlannedBlock& block : plan.blocks) {
        if (block.reason == skill::Reason::warm_up) {
            continue;
        }
        block.items = {note(any(chance)), note(any(chance)), note(any(chance))};
        block.exercise = skill::focus_exercise(block.items, block.crook);
        block.exercise.repetitions = std::max(
            1, static_cast<int>(std::lround(block.play_s / skill::length_s(block.exercise))));
    }
    return plan;
}

double mean_success(const LearningPlayer& player) {
    double sum = 0.0;
    for (int number = kLowest; number <= kHighest; ++number) {
        sum += player.probability(note(number));
    }
    return sum / kNotes;
}

struct Played {
    double mean_success = 0.0;
    double weak_share = 0.0; ///< of the blocks' notes, warm-up left out
};

Played practise_for(std::uint64_t seed, int days, bool by_plan, const std::vector<int>& weak) {
    LearningPlayer player = player_with(seed, weak);
    std::mt19937_64 hat(seed * 31 + 5);
    skill::Skills skills;
    first_look(player, skills);
    double on_weak = 0.0;
    double all = 0.0;
    for (int day = 1; day <= days; ++day) {
        player.wait_until(kStart + day * kDay);
        skill::DayPlan plan = planned(skills, player.now_s());
        if (!by_plan) {
            plan = uniform(std::move(plan), hat);
        }
        for (const skill::PlannedBlock& block : plan.blocks) {
            const auto played = player.play_block(block, skills);
            if (block.reason == skill::Reason::warm_up) {
                continue;
            }
            for (const auto& [item, times] : played) {
                all += times;
                on_weak +=
                    std::find(weak.begin(), weak.end(), item.number) != weak.end() ? times : 0;
            }
        }
    }
    player.wait_until(kStart + (days + 1) * kDay);
    return {mean_success(player), on_weak / all};
}

struct Spread {
    double mean = 0.0;
    double deviation = 0.0;
    double of_mean = 0.0; ///< standard error
};

Spread spread_of(const std::vector<double>& values) {
    Spread spread;
    const double count = static_cast<double>(values.size());
    spread.mean = std::accumulate(values.begin(), values.end(), 0.0) / count;
    for (const double value : values) {
        spread.deviation += (value - spread.mean) * (value - spread.mean);
    }
    spread.deviation = std::sqrt(spread.deviation / (count - 1.0));
    spread.of_mean = spread.deviation / std::sqrt(count);
    return spread;
}

/// Days of the next `days` on which the plan has `item`.
int days_with(const skill::Skills& skills, const skill::Item& item, std::int64_t from_s, int days) {
    int found = 0;
    for (int day = 0; day < days; ++day) {
        const skill::DayPlan plan = planned(skills, from_s + day * kDay);
        found += std::any_of(plan.blocks.begin(), plan.blocks.end(), [&](const auto& block) {
            return std::find(block.items.begin(), block.items.end(), item) != block.items.end();
        });
    }
    return found;
}

} // namespace

TEST_CASE("a player with a hidden weakness gets it drilled") {
    const std::vector<int> weak = {65, 68};
    std::vector<double> shares;
    std::vector<double> from_hat;
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        shares.push_back(practise_for(seed, 3, true, weak).weak_share);
        from_hat.push_back(practise_for(seed, 3, false, weak).weak_share);
    }
    const Spread plan = spread_of(shares);
    const Spread hat = spread_of(from_hat);
    MESSAGE("notes played that are the weak ones: plan "
            << 100 * plan.mean << " +- " << 100 * plan.deviation << " %, uniform " << 100 * hat.mean
            << " %");
    CHECK(plan.mean > 2.0 * hat.mean);
    CHECK(*std::min_element(shares.begin(), shares.end()) > hat.mean);
}

TEST_CASE("a player who improves is moved on") {
    const skill::Item weak = note(65);
    int early = 0;
    int late = 0;
    for (std::uint64_t seed = 1; seed <= 10; ++seed) {
        LearningPlayer player = player_with(seed, {65});
        skill::Skills skills;
        first_look(player, skills);
        early += days_with(skills, weak, kStart + kDay, 1);
        player.set_talent(weak, 4.0); // it clicked: nearly all succeed from now on
        for (int day = 1; day <= 6; ++day) {
            player.wait_until(kStart + day * kDay);
            for (const auto& block : planned(skills, player.now_s()).blocks) {
                (void)player.play_block(block, skills);
            }
        }
        late += days_with(skills, weak, kStart + 7 * kDay, 1);
    }
    MESSAGE("of 10 players the weak note is planned for " << early << " before it is learned, "
                                                          << late << " after");
    CHECK(early >= 8);
    CHECK(late <= 3);
}

TEST_CASE("forgetting brings notes back") {
    LearningPlayer player = player_with(3, {});
    skill::Skills skills;
    first_look(player, skills);
    const skill::Item left = note(74);
    for (int i = 0; i < 12; ++i) {
        skill::practise(skills[left], true, std::nullopt, kStart);
    }
    CHECK(days_with(skills, left, kStart + kDay / 4, 1) == 0);
    // All others go on being played, and well.
    for (int day = 1; day <= 30; ++day) {
        for (int number = kLowest; number <= kHighest; ++number) {
            if (number != left.number) {
                skill::practise(skills[note(number)], true, std::nullopt, kStart + day * kDay);
            }
        }
    }
    CHECK(days_with(skills, left, kStart + 30 * kDay, 1) == 1);
}

TEST_CASE("practice by the plan gains more than practice from a hat") {
    constexpr int kSeeds = 40;
    for (const int days : {7, 21}) {
        std::vector<double> gains;
        std::vector<double> by_plan;
        for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
            std::mt19937_64 chance(seed);
            std::uniform_int_distribution any(kLowest, kHighest);
            const std::vector<int> weak = {any(chance), any(chance), any(chance)};
            const double planned = practise_for(seed, days, true, weak).mean_success;
            const double hat = practise_for(seed, days, false, weak).mean_success;
            by_plan.push_back(planned);
            gains.push_back(planned - hat);
        }
        const Spread gain = spread_of(gains);
        MESSAGE(days << " days, " << kSeeds << " players: mean success by the plan "
                     << 100 * spread_of(by_plan).mean << " %, gain over uniform " << 100 * gain.mean
                     << " points, standard deviation " << 100 * gain.deviation << ", of the mean "
                     << 100 * gain.of_mean);
        CHECK(gain.mean > 3.0 * gain.of_mean);
    }
}
