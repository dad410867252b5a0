#include "skill/skill.h"

#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

namespace skill = bellhand::skill;
namespace drill = bellhand::drill;
namespace horn = bellhand::horn;

namespace {

constexpr std::int64_t kDay = 86400;
constexpr std::int64_t kStart = 1772000000;

skill::Item stopped_f4() {
    skill::Item item;
    item.number = 65;
    item.hand = horn::Hand::full;
    return item;
}

skill::Skill practised(const std::vector<bool>& tries, std::int64_t from_s, std::int64_t step_s) {
    skill::Skill skill;
    skill.item = stopped_f4();
    for (std::size_t i = 0; i < tries.size(); ++i) {
        skill::practise(skill, tries[i], 0.0, from_s + static_cast<std::int64_t>(i) * step_s);
    }
    return skill;
}

drill::Step step(int number) {
    drill::Step step;
    step.written = horn::usual_spelling(number);
    return step;
}

drill::Judgement judged(std::uint32_t step, std::vector<drill::Fault> faults, double cents = 0.0) {
    drill::Judgement judgement;
    judgement.step = step;
    judgement.played = true;
    judgement.held_cents = cents;
    judgement.faults = std::move(faults);
    return judgement;
}

} // namespace

TEST_SUITE("skill/model") {
    TEST_CASE("what is remembered halves with each half-life") {
        // Settles and Meeder 2016, equation 1: p = 2^(-delta/h).
        skill::Skill skill = practised({true, true, true}, kStart, 10);
        skill.half_life_days = 4.0;
        CHECK(skill::outlook(skill, skill.last_s).remembered == doctest::Approx(1.0));
        CHECK(skill::outlook(skill, skill.last_s + 4 * kDay).remembered == doctest::Approx(0.5));
        CHECK(skill::outlook(skill, skill.last_s + 12 * kDay).remembered == doctest::Approx(0.125));
        CHECK(skill::outlook(skill, skill.last_s + 4 * kDay).now <
              skill::outlook(skill, skill.last_s).now);
    }

    TEST_CASE("the mean and deviation are those of a Beta distribution") {
        // Without forgetting of old tries and with a prior of 2 tries: Beta(2g + right, 2(1 - g) + wrong), whose mean is
        // a / (a + b) and variance ab / ((a + b)^2 (a + b + 1)) (textbook; e.g. Johnson, Kotz and Balakrishnan 1995).
        skill::Constants constants;
        constants.recent = 1.0;
        const skill::Skill skill =
            practised({true, false, true, true, false, true, true}, kStart, 5);
        const double guess = skill::first_guess(skill.item);
        const double a = 2.0 * guess + 5.0;
        const double b = 2.0 * (1.0 - guess) + 2.0;
        const skill::Outlook out = skill::outlook(skill, skill.last_s, constants);
        CHECK(out.as_practised == doctest::Approx(a / (a + b)));
        CHECK(out.deviation * out.deviation ==
              doctest::Approx(a * b / ((a + b) * (a + b) * (a + b + 1.0))));
    }

    TEST_CASE("new tries count for more than old ones") {
        const std::vector<bool> better = {false, false, false, false, true, true, true, true};
        const std::vector<bool> worse(better.rbegin(), better.rend());
        CHECK(skill::outlook(practised(better, kStart, 5), kStart + 60).now >
              skill::outlook(practised(worse, kStart, 5), kStart + 60).now + 0.1);
    }

    TEST_CASE("practice spread over days lasts longer than as much in one day") {
        const std::vector<bool> tries(8, true);
        const skill::Skill spread = practised(tries, kStart, 2 * kDay);
        const skill::Skill crammed = practised(tries, kStart, 20);
        CHECK(spread.half_life_days > 3.0 * crammed.half_life_days);
        CHECK(skill::outlook(spread, spread.last_s + 14 * kDay).now >
              skill::outlook(crammed, crammed.last_s + 14 * kDay).now);
    }

    TEST_CASE("a failure shortens the half-life, never below its least") {
        skill::Skill skill = practised(std::vector<bool>(6, true), kStart, 3 * kDay);
        const double before = skill.half_life_days;
        skill::practise(skill, false, std::nullopt, skill.last_s + 10);
        CHECK(skill.half_life_days < before);
        for (int i = 0; i < 100; ++i) {
            skill::practise(skill, false, std::nullopt, skill.last_s + 10);
        }
        CHECK(skill.half_life_days == doctest::Approx(skill::Constants{}.shortest_half_life_days));
    }

    TEST_CASE(
        "a failure after a long while shortens it less: what was forgotten could not be shown") {
        const skill::Constants constants;
        const skill::Skill skill = practised(std::vector<bool>(6, true), kStart, 3 * kDay);
        const auto after_failing = [&](double half_lives) {
            skill::Skill failed = skill;
            const auto wait_s =
                static_cast<std::int64_t>(half_lives * skill.half_life_days * double{kDay});
            skill::practise(failed, false, std::nullopt, skill.last_s + wait_s);
            return failed.half_life_days / skill.half_life_days;
        };
        // By hand: with all of it remembered the whole loss, after one half-life half of it.
        CHECK(after_failing(0.0) == doctest::Approx(1.0 - constants.loss));
        CHECK(after_failing(1.0) == doctest::Approx(1.0 - constants.loss / 2).epsilon(1e-3));
    }

    TEST_CASE("the expected deviation finds where a player stands and how sure that is") {
        skill::Skill skill;
        for (int i = 0; i < 40; ++i) {
            skill::practise(skill, false, -20.0 + (i % 2 == 0 ? 6.0 : -6.0), kStart + i);
        }
        CHECK(skill.deviation_cents == doctest::Approx(-20.0).epsilon(0.1));
        CHECK(std::sqrt(skill.deviation_variance) < 2.0);
        // With a fixed player the filter is the mean weighted with the first guess (Kalman 1960, no process noise).
        skill::Skill two;
        skill::practise(two, true, 10.0, kStart);
        skill::practise(two, true, 20.0, kStart);
        CHECK(two.deviation_cents ==
              doctest::Approx((10.0 + 20.0) / 64.0 / (2.0 / 64.0 + 1.0 / 400.0)));
    }

    TEST_CASE("a judgement counts for its note and for the way to it") {
        drill::Exercise exercise;
        exercise.steps = {step(67), step(65)};
        skill::Skills skills;
        const horn::Crook f{};
        const auto touched =
            skill::learn(skills, exercise, judged(1, {drill::Fault::flat}, -18.0), f, kStart);
        REQUIRE(touched.size() == 2);
        const skill::Skill& note = skills.at(touched[0]);
        const skill::Skill& way = skills.at(touched[1]);
        CHECK(note.good == 0);
        CHECK(note.deviation_cents < -10.0);
        CHECK(way.item.from_number == 67);
        CHECK(way.good == 1); // it was reached; that it then was flat is the note's affair
        (void)skill::learn(skills, exercise, judged(1, {drill::Fault::wrong_partial}), f, kStart);
        CHECK(skills.at(touched[1]).tries == 2);
        CHECK(skills.at(touched[1]).good == 1);
    }

    TEST_CASE("another pitch by the same hand is a way, the same pitch by another hand too; the "
              "same again is none") {
        drill::Exercise exercise;
        exercise.steps = {step(67), step(64), step(64), step(64)};
        exercise.steps[3].hand = horn::Hand::full;
        const horn::Crook f{};
        const auto ways = [&](std::uint32_t at) {
            skill::Skills skills;
            return skill::learn(skills, exercise, judged(at, {}), f, kStart).size() - 1;
        };
        CHECK(ways(0) == 0);
        CHECK(ways(1) == 1);
        CHECK(ways(2) == 0);
        CHECK(ways(3) == 1);
    }

    TEST_CASE("a late note is no fault of the note and its hand: time is a skill of its own") {
        drill::Exercise exercise;
        exercise.steps = {step(67), step(65)};
        skill::Skills skills;
        drill::Judgement late = judged(1, {drill::Fault::late, drill::Fault::too_short});
        late.timing_s = 0.2;
        const auto touched = skill::learn(skills, exercise, late, horn::Crook{}, kStart);
        REQUIRE(touched.size() == 3);
        CHECK(skills.at(touched[0]).good == 1);
        CHECK(skills.at(touched[1]).good == 1);
        CHECK(touched[2] == skill::time_item());
        CHECK(skills.at(skill::time_item()).good == 0);
        CHECK(skill::failures_of(skills.at(skill::time_item()), 10) ==
              std::vector{drill::Fault::late});
        drill::Judgement flat = judged(1, {drill::Fault::flat}, -20.0);
        flat.timing_s = 0.01;
        (void)skill::learn(skills, exercise, flat, horn::Crook{}, kStart + 10);
        CHECK(skills.at(touched[0]).good == 1);
        CHECK(skills.at(skill::time_item()).good == 1);
        // Where no tempo is written nothing is said of time.
        CHECK(skill::learn(skills, exercise, judged(1, {}), horn::Crook{}, kStart + 20).size() ==
              2);
    }

    TEST_CASE("a short note whose pitch is known only roughly teaches nothing of where it lies") {
        drill::Exercise exercise;
        exercise.steps = {step(67)};
        skill::Skills skills;
        drill::Judgement rough = judged(0, {}, -17.0);
        rough.note.known_within_cents = 18.0;
        const auto touched = skill::learn(skills, exercise, rough, horn::Crook{}, kStart);
        REQUIRE(touched.size() == 1);
        const skill::Skill after_rough = skills.at(touched[0]);
        CHECK(after_rough.good == 1); // the right note, as far as it was heard
        CHECK(after_rough.deviation_cents == 0.0);
        CHECK(after_rough.deviation_variance == skill::Skill{}.deviation_variance);
        rough.note.known_within_cents = 6.0;
        (void)skill::learn(skills, exercise, rough, horn::Crook{}, kStart + 10);
        CHECK(skills.at(touched[0]).deviation_cents < -5.0);
    }

    TEST_CASE("what failed is remembered, newest first, and comes back from the log") {
        skill::Skill skill;
        skill.item = stopped_f4();
        const auto faults = drill::all_faults();
        for (int i = 0; i < 14; ++i) {
            skill::practise(skill, false, std::nullopt, kStart + i);
            skill::remember_failure(skill, faults[static_cast<std::size_t>(i)]);
        }
        const auto newest = skill::failures_of(skill, 3);
        CHECK(newest == std::vector{faults[13], faults[12], faults[11]});
        CHECK(skill::failures_of(skill, 32).size() == 10);
        CHECK(skill::skill_from(skill.item, skill::figures_of(skill), skill.last_s) == skill);
    }

    TEST_CASE("weak means fewer than three in four of the newest ten") {
        const auto with = [](int good, int of) {
            std::vector<bool> tries;
            for (int i = 0; i < of; ++i) {
                tries.push_back(i >= of - good);
            }
            return practised(tries, kStart, 5);
        };
        CHECK(skill::is_weak(with(7, 10)));
        CHECK_FALSE(skill::is_weak(with(8, 10)));
        CHECK_FALSE(skill::is_weak(with(3, 4)));
        CHECK(skill::is_weak(with(2, 3)));
        CHECK_FALSE(skill::is_weak(with(12, 30))); // the newest twelve are right
        CHECK_FALSE(skill::is_weak(skill::Skill{}));
    }

    TEST_CASE(
        "after a rest there is no way from the note before, and unknown steps change nothing") {
        drill::Exercise exercise;
        exercise.steps = {step(67), drill::Step{}, step(65)};
        skill::Skills skills;
        CHECK(skill::learn(skills, exercise, judged(2, {}), horn::Crook{}, kStart).size() == 1);
        CHECK(skill::learn(skills, exercise, judged(1, {}), horn::Crook{}, kStart).empty());
        CHECK(skill::learn(skills, exercise, judged(9, {}), horn::Crook{}, kStart).empty());
        CHECK(skills.size() == 1);
    }

    TEST_CASE("figures come back from a row as they went in, and damaged ones do no harm") {
        const skill::Skill skill = practised({true, false, true, true, false, true}, kStart, kDay);
        CHECK(skill::skill_from(skill.item, skill::figures_of(skill), skill.last_s) == skill);
        const double nan = std::nan("");
        const skill::Skill odd =
            skill::skill_from(stopped_f4(), {nan, -1.0, 1e30, nan, nan, -5.0, nan, nan}, kStart);
        const skill::Outlook out = skill::outlook(odd, kStart + kDay);
        CHECK(std::isfinite(out.now));
        CHECK(out.now >= 0.0);
        CHECK(out.now <= 1.0);
    }

    TEST_CASE("items are named as players name them") {
        skill::Item item = stopped_f4();
        CHECK(skill::item_name(item) == "stopped F4");
        item.from_number = 68;
        item.from_hand = horn::Hand::open;
        CHECK(skill::item_name(item) == "open A♭4 to stopped F4");
    }

    TEST_CASE("the tally counts the newest tries") {
        const skill::Skill skill = practised({true, true, false, false, false, true}, kStart, 5);
        CHECK(skill::recent_tally(skill, 4).good == 1);
        CHECK(skill::recent_tally(skill, 4).of == 4);
        CHECK(skill::recent_tally(skill, 32).of == 6);
        const skill::Skill many = practised(std::vector<bool>(50, true), kStart, 5);
        CHECK(skill::recent_tally(many, 32).good == 32);
    }
}
