#include "skill/reason.h"

#include <string>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

/// What is said of a note that came out ten times in ten, standing so far from its place, as surely as that.
std::string sentence(double deviation_cents, double sd_cents) {
    skill::Skills skills;
    const skill::Item item;
    skill::Skill& skill = skills[item];
    skill.item = item;
    skill.tries = skill.good = 10;
    skill.history = 0x3FF;
    skill.deviation_cents = deviation_cents;
    skill.deviation_variance = sd_cents * sd_cents;
    skill.last_s = 1'772'000'000;
    return skill::reason_sentence(skills, item, skill::Reason::due, skill.last_s + 86'400);
}

} // namespace

TEST_SUITE("skill/reason") {
    TEST_CASE("where the note usually stands is said when it is far off and that is sure") {
        CHECK(sentence(-12.0, 2.0).find(", usually 12 cents flat") != std::string::npos);
        CHECK(sentence(9.0, 2.0).find(", usually 9 cents sharp") != std::string::npos);
        CHECK(sentence(-5.0, 1.0).find("usually") == std::string::npos);   // not worth a word
        CHECK(sentence(-12.0, 10.0).find("usually") == std::string::npos); // may be chance
    }
}
