#include "words/verdict.h"

#include "words/time.h"

#include <set>

#include <doctest/doctest.h>

using namespace bellhand;
using drill::Fault;

namespace {

drill::Step step_on(const char* note) {
    drill::Step step;
    step.written = *horn::parse_note(note);
    return step;
}

drill::Judgement played(std::vector<Fault> faults) {
    drill::Judgement judgement;
    judgement.played = true;
    judgement.note.written = *horn::parse_note("D5");
    judgement.note.partial = 9;
    judgement.faults = std::move(faults);
    return judgement;
}

} // namespace

TEST_SUITE("words/verdict") {
    TEST_CASE("a verdict says what, which way and how much") {
        drill::Judgement judgement = played({Fault::flat});
        judgement.held_cents = -14.2;
        CHECK(words::verdict(judgement, step_on("F4")) == "F4: 14 cents flat");
        judgement = played({Fault::late});
        judgement.timing_s = 0.152;
        CHECK(words::verdict(judgement, step_on("F4")) == "F4: 152 ms late");
        judgement = played({Fault::attack_sharp});
        judgement.held_cents = 4.0;
        judgement.attack_cents = 64.0;
        CHECK(words::verdict(judgement, step_on("F4")) == "F4: attack from above, by 60 cents");
        CHECK(words::verdict(played({Fault::wrong_partial}), step_on("C5")) ==
              "C5: partial 9 sounded, D5");
        judgement = played({Fault::wrong_hand});
        judgement.heard_hand = horn::Hand::half;
        CHECK(words::verdict(judgement, step_on("B4")) == "B4: the hand sounds half");
        judgement = played({Fault::too_short});
        judgement.length_share = 0.42;
        CHECK(words::verdict(judgement, step_on("G4")) == "G4: too short, 0.4 of its length");
        judgement = played({Fault::too_loud});
        judgement.level_db = 7.3;
        CHECK(words::verdict(judgement, step_on("G4")) == "G4: 7 dB louder than its neighbours");
        judgement = played({Fault::unsteady});
        judgement.note.spread_cents = 19.0;
        CHECK(words::verdict(judgement, step_on("G4")) == "G4: unsteady, by 19 cents");
        CHECK(words::verdict(played({}), step_on("G4")) == "G4: right");
        CHECK(words::right_of(8, 10) == "8 of 10 right");
    }

    TEST_CASE("more than the first fault, in a teacher's order; of another note only that") {
        drill::Judgement judgement = played({Fault::late, Fault::attack_flat, Fault::sharp});
        judgement.held_cents = 12.0;
        judgement.attack_cents = -30.0;
        judgement.timing_s = 0.1;
        CHECK(words::verdict(judgement, step_on("E4")) ==
              "E4: 12 cents sharp; attack from below, by 42 cents; 100 ms late");
        CHECK(words::verdict(played({Fault::late, Fault::wrong_note}), step_on("E4")) ==
              "E4: D5 sounded");
        drill::Judgement extra = played({Fault::wrong_note});
        extra.extra = true;
        CHECK(words::verdict(extra, step_on("E4")) == "D5 sounded, a note too many before E4");
    }

    TEST_CASE("every fault has a kind of its own and short words") {
        std::set<std::string> kinds;
        for (const Fault fault : drill::all_faults()) {
            kinds.insert(words::fault_kind(fault));
            CHECK_FALSE(words::short_fault(played({fault}), fault).empty());
            CHECK(words::in_teachers_order({fault}).size() == 1);
        }
        CHECK(kinds.size() == drill::all_faults().size());
    }

    TEST_CASE("one word for the direction of a pitch") {
        CHECK(words::off_pitch(-12.2) == "12 flat");
        CHECK(words::off_pitch(3.4) == "3 sharp");
        CHECK(words::off_pitch(0.49) == "on pitch");
        CHECK(words::off_pitch(-0.51) == "1 flat");
    }

    TEST_CASE("ordinals of all partials") {
        CHECK(words::ordinal(1) == "1st");
        CHECK(words::ordinal(2) == "2nd");
        CHECK(words::ordinal(3) == "3rd");
        CHECK(words::ordinal(11) == "11th");
        CHECK(words::ordinal(13) == "13th");
        CHECK(words::ordinal(21) == "21st");
        CHECK(words::ordinal(24) == "24th");
    }

    TEST_CASE("what is said of the whole names both figures, and doubts what it does not know") {
        using Kind = drill::Remark::Kind;
        CHECK(words::remark({Kind::tempo, 64.8, 76.0, false}) == "You play at 65; written is 76.");
        CHECK(words::remark({Kind::behind_click, 0.09, 0.0, false}) ==
              "You come 90 ms behind the click, always alike: the headphones, or you.");
        CHECK(words::remark({Kind::behind_click, -0.08, 0.0, true}) ==
              "You come 80 ms before the click, always alike.");
        CHECK(words::remark({Kind::drifting, 0.14, 8.0, false}) ==
              "You fall behind the click: 140 ms in 8 beats.");
    }
}
