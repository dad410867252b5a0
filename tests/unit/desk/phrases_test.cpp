#include "desk/model/phrases.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

TEST_SUITE("gui/phrases") {
    TEST_CASE("signed cents carry a real minus sign and no sign at zero") {
        CHECK(signed_cents(-12.0) == "\xE2\x88\x92"
                                     "12");
        CHECK(signed_cents(4.6) == "+5");
        CHECK(signed_cents(-0.4) == "0");
    }

    TEST_CASE("a pitch shows a tenth only when it has one") {
        CHECK(hertz_text(440.0) == "440");
        CHECK(hertz_text(430.5) == "430.5");
    }

    TEST_CASE("how far a note lies from its natural one is said with its unit") {
        CHECK(bend_words({72, 0}) == "as it is");
        CHECK(bend_words({62, 0}).find(" cents lower") != std::string::npos);
        CHECK(bend_words({20, 0}).empty());
    }

    TEST_CASE("the hand of a range of closures is said with both ends") {
        const horn::Note f4{65, 0}; // three-quarters to full stop (common practice, no source)
        CHECK(hand_words(f4) == "\xC2\xBE to full stop");
        const horn::Note b_flat4{
            70, -1}; // partial 7 with the hand drawn out: naturalhorn.com, z8perf_tech
        CHECK(hand_words(b_flat4) == "open, drawn back");
        CHECK(hand_signs(f4) == "\xC2\xBE +");
        const horn::Note c5{72, 0};
        CHECK(hand_words(c5) == "open");
        CHECK(hand_signs(c5) == "o");
        CHECK(hand_signs(horn::Note{20, 0}).empty());
    }
}
