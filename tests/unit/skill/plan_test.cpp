#include "skill/plan.h"

#include "skill/focus.h"

#include <algorithm>
#include <cmath>
#include <set>

#include <doctest/doctest.h>

namespace skill = bellhand::skill;
namespace drill = bellhand::drill;
namespace horn = bellhand::horn;

namespace {

constexpr std::int64_t kDay = 86400;
constexpr std::int64_t kNow = 1772000000;

skill::Item note(int number, int transposition = -7) {
    skill::Item item;
    item.transposition = transposition;
    item.number = number;
    item.hand = horn::chart_entry(horn::usual_spelling(number))->usual().hand;
    return item;
}

/// `good` of `of` tries right, the last `days_ago`.
void add(skill::Skills& skills, const skill::Item& item, int good, int of, int days_ago) {
    skill::Skill& skill = skills[item];
    skill.item = item;
    for (int i = 0; i < of; ++i) {
        skill::practise(skill,
                        (i * good) / of != ((i + 1) * good) / of,
                        0.0,
                        kNow - days_ago * kDay - (of - i) * 10);
    }
}

/// Open and stopped notes of the middle register, nearly all right, yesterday.
skill::Skills sound_player(int transposition = -7) {
    skill::Skills skills;
    for (int number = 60; number <= 72; ++number) {
        add(skills, note(number, transposition), 19, 20, 1);
    }
    return skills;
}

skill::PlanWishes wishes() {
    skill::PlanWishes wishes;
    wishes.now_s = kNow;
    return wishes;
}

bool trains(const skill::PlannedBlock& block, const skill::Item& item) {
    return std::find(block.items.begin(), block.items.end(), item) != block.items.end();
}

const skill::PlannedBlock* block_for(const skill::DayPlan& plan, const skill::Item& item) {
    const auto found = std::find_if(
        plan.blocks.begin(), plan.blocks.end(), [&](const auto& b) { return trains(b, item); });
    return found == plan.blocks.end() ? nullptr : &*found;
}

} // namespace

TEST_SUITE("skill/plan") {
    TEST_CASE(
        "rests are as long as playing, blocks keep to the chosen length, the whole to the time") {
        int filled = 0;
        for (const double minutes : {1.0, 5.0, 20.0, 60.0, 240.0}) {
            for (const double block : {0.5, 3.0, 10.0, 25.0, 90.0}) {
                skill::PlanWishes wish = wishes();
                wish.minutes = minutes;
                wish.block_minutes = block;
                const skill::DayPlan plan = skill::plan_day(sound_player(), wish);
                REQUIRE_FALSE(plan.blocks.empty());
                for (const skill::PlannedBlock& planned : plan.blocks) {
                    CHECK(planned.play_s <= std::min(block, 25.0) * 60.0 + 1e-6);
                    CHECK(planned.rest_s == doctest::Approx(planned.play_s));
                    CHECK(planned.exercise.repetitions >= 1);
                    CHECK_FALSE(planned.why.empty());
                }
                CHECK(plan.play_s + plan.rest_s <= minutes * 60.0 + 1e-6);
                // As many blocks as there are stretches of playing: then nothing of the time is left over.
                const double stretches = std::ceil((minutes / std::min(block, 25.0) + 1.0) / 2.0);
                if (static_cast<double>(plan.blocks.size()) == stretches) {
                    CHECK(plan.play_s + plan.rest_s == doctest::Approx(minutes * 60.0));
                    ++filled;
                }
            }
        }
        CHECK(filled > 5);
    }

    TEST_CASE("an exercise is as long as its quarters at its tempo") {
        drill::Exercise exercise;
        exercise.steps.resize(3);
        exercise.steps[0].quarters = 2.0;
        exercise.steps[1].quarters = 1.0;
        exercise.steps[2].quarters = 0.0; // the player's own length: four
        exercise.quarters_per_minute = 120.0;
        CHECK(skill::length_s(exercise) == doctest::Approx(3.5));
        exercise.quarters_per_minute = 0.0;
        CHECK(skill::length_s(exercise) == doctest::Approx(7.0 * skill::kFreeQuarterS));
    }

    TEST_CASE("on an empty log the middle open notes come first") {
        const skill::DayPlan plan = skill::plan_day({}, wishes());
        REQUIRE(plan.blocks.size() >= 2);
        CHECK(plan.blocks[0].reason == skill::Reason::warm_up);
        CHECK(plan.blocks[1].reason == skill::Reason::fresh);
        CHECK(plan.blocks[1].items[0].number == 60);
        CHECK(plan.blocks[1].why.find("open C4 on F") != std::string::npos);
    }

    TEST_CASE("once something was played two notes a day are new, however long the day") {
        skill::Skills skills;
        for (const int number : {60, 64, 67, 72}) {
            add(skills, note(number), 20, 20, 1);
        }
        skill::PlanWishes wish = wishes();
        wish.minutes = 240.0;
        std::set<int> fresh;
        for (const skill::PlannedBlock& block : skill::plan_day(skills, wish).blocks) {
            for (const skill::Item& item : block.items) {
                if (!item.from_number && !skills.contains(item)) {
                    fresh.insert(item.number);
                }
            }
        }
        CHECK(fresh.size() == 2);
    }

    TEST_CASE("what is weak is picked and the choice explained") {
        skill::Skills skills = sound_player();
        const skill::Item f4 = note(65);
        skills.erase(f4);
        add(skills, f4, 4, 9, 6);
        const skill::DayPlan plan = skill::plan_day(skills, wishes());
        const skill::PlannedBlock* block = block_for(plan, f4);
        REQUIRE(block != nullptr);
        CHECK(block->reason == skill::Reason::weak);
        CHECK(block->items[0] == f4);
        CHECK(block->why.find("F4 on F: 4 of 9 right, not played for 6 days") != std::string::npos);
        const auto steps = std::count_if(
            block->exercise.steps.begin(), block->exercise.steps.end(), [](const auto& step) {
                return step.written && step.written->number == 65;
            });
        CHECK(steps >= 3);
    }

    TEST_CASE("the reason says what failed, and its heading follows from the figures beside it") {
        for (int good = 0; good <= 10; ++good) {
            skill::Skills skills = sound_player();
            const skill::Item f4 = note(65);
            skills.erase(f4);
            skill::Skill& skill = skills[f4];
            skill.item = f4;
            for (int i = 0; i < 10; ++i) {
                const bool right = i >= 10 - good;
                skill::practise(skill, right, 0.0, kNow - 6 * kDay + i);
                if (!right) {
                    skill::remember_failure(
                        skill, i % 3 == 0 ? drill::Fault::attack_flat : drill::Fault::flat);
                }
            }
            const skill::DayPlan plan = skill::plan_day(skills, wishes());
            for (const skill::PlannedBlock& block : plan.blocks) {
                if (block.items.empty() || block.items[0] != f4) {
                    continue;
                }
                CAPTURE(block.why);
                CHECK(block.reason == (good < 8 ? skill::Reason::weak : skill::Reason::due));
                CHECK((block.why.find(" flat") != std::string::npos) == (good <= 8));
                if (good == 4) {
                    CHECK(block.why.find("4 of 10 right, 4 flat, 2 attack from below") !=
                          std::string::npos);
                }
            }
        }
    }

    TEST_CASE("a note that was cured is weak no more within three days of practice as planned") {
        skill::Skills skills = sound_player();
        const skill::Item f4 = note(65);
        skills.erase(f4);
        add(skills, f4, 1, 20, 1);
        skill::PlanWishes wish = wishes();
        for (int day = 0; day < 3; ++day) {
            wish.now_s = kNow + day * kDay;
            for (const skill::PlannedBlock& block : skill::plan_day(skills, wish).blocks) {
                for (int pass = 0; pass < block.exercise.repetitions; ++pass) {
                    for (std::uint32_t step = 0; step < block.exercise.steps.size(); ++step) {
                        drill::Judgement right;
                        right.step = step;
                        right.played = true;
                        (void)skill::learn(skills, block.exercise, right, block.crook, wish.now_s);
                    }
                }
            }
        }
        wish.now_s = kNow + 3 * kDay;
        CHECK_FALSE(skill::is_weak(skills.at(f4)));
        const skill::DayPlan plan = skill::plan_day(skills, wish);
        for (const skill::PlannedBlock& block : plan.blocks) {
            CHECK_FALSE((block.reason == skill::Reason::weak && trains(block, f4)));
        }
    }

    TEST_CASE("who does not keep time gets an exercise for that, with a metronome") {
        skill::Skills skills = sound_player();
        const skill::Item time = skill::time_item();
        add(skills, time, 3, 20, 1);
        const skill::DayPlan plan = skill::plan_day(skills, wishes());
        const skill::PlannedBlock* block = block_for(plan, time);
        REQUIRE(block != nullptr);
        CHECK(block->items.size() == 1);
        CHECK(block->exercise.quarters_per_minute > 0.0);
        CHECK(block->why.rfind("keeping time: ", 0) == 0);
        CHECK(block->crook.transposition == -7);
    }

    TEST_CASE("what was good and rested long is due") {
        skill::Skills skills = sound_player();
        const skill::Item d5 = note(74);
        add(skills, d5, 20, 20, 30);
        const skill::DayPlan plan = skill::plan_day(skills, wishes());
        const skill::PlannedBlock* block = block_for(plan, d5);
        REQUIRE(block != nullptr);
        CHECK(block->reason == skill::Reason::due);
        CHECK(block->why.find("but not played for 30 days") != std::string::npos);
    }

    TEST_CASE("a weak transition gets its own exercise, there and back") {
        skill::Skills skills = sound_player();
        skill::Item way = note(68);
        way.from_number = 67;
        add(skills, way, 1, 12, 2);
        const skill::DayPlan plan = skill::plan_day(skills, wishes());
        const skill::PlannedBlock* block = block_for(plan, way);
        REQUIRE(block != nullptr);
        int ways = 0;
        for (std::size_t i = 0; i < block->exercise.steps.size(); ++i) {
            const auto items = skill::items_of(block->exercise, i, block->crook);
            ways += std::find(items.begin(), items.end(), way) != items.end() ? 1 : 0;
        }
        CHECK(ways >= 3);
    }

    TEST_CASE("homework comes in, the most urgent first, but leaves room") {
        skill::PlanWishes wish = wishes();
        wish.minutes = 40.0;
        for (int i = 0; i < 10; ++i) {
            skill::SetWork work;
            work.homework = "set-" + std::to_string(i);
            work.exercise = skill::warm_up(horn::Crook{});
            work.times_left = i == 9 ? 0 : 3; // the last is done
            work.days_left = 10.0 - i;
            wish.homework.push_back(work);
        }
        const skill::DayPlan plan = skill::plan_day(sound_player(), wish);
        std::vector<std::string> set;
        for (const skill::PlannedBlock& block : plan.blocks) {
            if (block.reason == skill::Reason::homework) {
                set.push_back(block.homework);
                CHECK(block.why.find("set as homework") == 0);
            }
        }
        REQUIRE_FALSE(set.empty());
        CHECK(set.front() == "set-8");
        CHECK(set.size() * 2 <= plan.blocks.size() + 1);
    }

    TEST_CASE(
        "homework brings its own pitch and temperament; everything else is played at the day's") {
        skill::PlanWishes wish = wishes();
        wish.minutes = 40.0;
        skill::SetWork work;
        work.homework = "low";
        work.exercise = skill::warm_up(horn::Crook{});
        work.a4_hz = 430.0;
        work.temperament = horn::parse_temperament("vallotti").value();
        work.repetitions = 2; // as often as was asked, not as often as fills a block
        wish.homework.push_back(work);
        horn::Tuning day;
        day.a4_hz = 442.0;
        int set = 0;
        for (const skill::PlannedBlock& block : skill::plan_day(sound_player(), wish).blocks) {
            const horn::Tuning tuning = skill::tuning_of(block, day);
            const bool asked = !block.homework.empty();
            CHECK(tuning.a4_hz == (asked ? 430.0 : 442.0));
            CHECK(tuning.temperament == (asked ? *work.temperament : day.temperament));
            CHECK(tuning.crook == block.crook);
            if (asked) {
                CHECK(block.exercise.repetitions == 2);
                CHECK(block.play_s >= 2.0 * skill::length_s(work.exercise));
                CHECK(block.rest_s == block.play_s);
                ++set;
            }
        }
        CHECK(set == 1);
    }

    TEST_CASE("homework that is set by time is as long as that") {
        skill::PlanWishes wish = wishes();
        wish.minutes = 40.0;
        skill::SetWork work;
        work.homework = "timed";
        work.exercise = skill::warm_up(horn::Crook{});
        work.minutes = 3.0;
        work.days_left = 1.0;
        wish.homework.push_back(work);
        const skill::DayPlan plan = skill::plan_day(sound_player(), wish);
        const auto block =
            std::find_if(plan.blocks.begin(),
                         plan.blocks.end(),
                         [](const skill::PlannedBlock& one) { return one.homework == "timed"; });
        REQUIRE(block != plan.blocks.end());
        CHECK(block->play_s == doctest::Approx(180.0));
    }

    TEST_CASE("crooks: those asked for, else those of late, and each is put in once") {
        skill::Skills skills = sound_player();
        const skill::Skills other = sound_player(-10);
        skills.insert(other.begin(), other.end());
        skill::PlanWishes wish = wishes();
        wish.minutes = 60.0;
        const skill::DayPlan both = skill::plan_day(skills, wish);
        int changes = 0;
        for (std::size_t i = 1; i < both.blocks.size(); ++i) {
            changes += both.blocks[i].crook == both.blocks[i - 1].crook ? 0 : 1;
        }
        CHECK(changes == 1);
        wish.crooks = {*horn::parse_crook("D")};
        for (const skill::PlannedBlock& block : skill::plan_day(skills, wish).blocks) {
            CHECK(block.crook.transposition == -10);
        }
    }

    TEST_CASE("every exercise of a plan can be played on its crook, whatever the crook") {
        for (const horn::Crook& crook : horn::all_crooks()) {
            skill::PlanWishes wish = wishes();
            wish.crooks = {crook};
            wish.minutes = 60.0;
            const skill::DayPlan plan = skill::plan_day(sound_player(crook.transposition), wish);
            for (const skill::PlannedBlock& block : plan.blocks) {
                CHECK_FALSE(block.exercise.steps.empty());
                CHECK(std::all_of(block.exercise.id.begin(), block.exercise.id.end(), [](char c) {
                    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
                }));
                for (const drill::Step& step : block.exercise.steps) {
                    CHECK((!step.written || horn::chart_entry(*step.written) != nullptr));
                }
            }
        }
    }

    TEST_CASE("cautions for lips and ears point to licensed practice and local rules") {
        const skill::DayPlan plan = skill::plan_day({}, wishes());
        REQUIRE(plan.cautions.size() >= 2);
        CHECK(plan.cautions[0].find("licensed") != std::string::npos);
        CHECK(plan.cautions[1].find("rules") != std::string::npos);
    }
}
