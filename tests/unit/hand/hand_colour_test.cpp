#include "hand/hand_colour.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;

TEST_SUITE("hand/hand_colour") {
    TEST_CASE("the file is whole and survives writing and reading") {
        const auto model = hand::load_hand_colour();
        REQUIRE(model.has_value());
        const auto again = hand::parse_hand_colour(hand::hand_colour_text(*model), "again");
        REQUIRE(again.has_value());
        CHECK(again->shift[4][0].curve == model->shift[4][0].curve);
        CHECK_FALSE(hand::parse_hand_colour("reference_hz 200\n", "a file"));
        const auto flat = hand::parse_hand_colour("reference_hz 200\nopen.first 0 0 0\n", "a file");
        REQUIRE_FALSE(flat);
        CHECK(flat.error().message.find("a file, line 2") == 0);
    }

    TEST_CASE("nothing known says nothing; a degree's own shift speaks for it, within bounds") {
        const auto model = *hand::load_hand_colour();
        for (const double log : hand::colour_logs({}, 300.0, model)) {
            CHECK(log == 0.0);
        }
        for (std::size_t d = 0; d < hand::kDegrees; ++d) {
            hand::OwnColour own;
            own.known.fill(true);
            for (std::size_t t = 0; t < hand::kTraits; ++t) {
                const double octaves = std::log2(300.0 / model.reference_hz);
                const auto& curve = model.shift[d][t].curve;
                own.off[t] = curve[0] + octaves * (curve[1] + octaves * curve[2]);
            }
            const auto logs = hand::colour_logs(own, 300.0, model);
            const double other = logs[d < 2 ? 4 : 0];
            CHECK(logs[d] > other);
            own.off.fill(200.0); // no horn sounds like this
            for (const double log : hand::colour_logs(own, 300.0, model)) {
                CHECK(log <= 0.0);
                CHECK(log >= -3.0);
            }
        }
    }
}
