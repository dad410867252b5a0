#include "horn/acoustics/bore_text.h"

#include "horn/acoustics/natural_horn.h"

#include <string>

#include <doctest/doctest.h>

using namespace bellhand::horn::acoustics;

TEST_SUITE("horn_acoustics/bore_text") {
    TEST_CASE("columns may come in any order, as diameters or radii, in mm or m") {
        const auto one = parse_bore("length_mm,start_diameter_mm,end_diameter_mm\n"
                                    "# mouthpiece\n\n8,17,17\n45, 17 ,4.6\r\n",
                                    "table");
        REQUIRE(one.has_value());
        REQUIRE(one->segments.size() == 2);
        CHECK(one->segments[1].length_m == doctest::Approx(0.045));
        CHECK(one->segments[1].radius_in_m == doctest::Approx(0.0085));
        CHECK(one->segments[1].radius_out_m == doctest::Approx(0.0023));
        const auto other = parse_bore(
            "\xEF\xBB\xBF"
            "end_radius_m,length_m,start_radius_m\n0.0085,0.008,0.0085\n0.0023,0.045,0.0085",
            "table");
        REQUIRE(other.has_value());
        CHECK(other->segments[1].radius_out_m == doctest::Approx(one->segments[1].radius_out_m));
        CHECK(other->segments[1].length_m == doctest::Approx(one->segments[1].length_m));
    }

    TEST_CASE("a bore written and read again is the same") {
        const Bore horn = horn_bore({}, 1.4);
        const auto again = parse_bore(bore_text(horn), "table");
        REQUIRE(again.has_value());
        REQUIRE(again->segments.size() == horn.segments.size());
        for (std::size_t i = 0; i < horn.segments.size(); ++i) {
            CHECK(again->segments[i].length_m ==
                  doctest::Approx(horn.segments[i].length_m).epsilon(1e-5));
            CHECK(again->segments[i].radius_out_m ==
                  doctest::Approx(horn.segments[i].radius_out_m).epsilon(1e-5));
        }
    }

    TEST_CASE("every mistake is one sentence that names the place") {
        struct Row {
            std::string text;
            const char* says;
        };
        const std::string head = "length_mm,start_diameter_mm,end_diameter_mm\n";
        std::string many = head;
        for (int i = 0; i < 7000; ++i) {
            many += "1,12,12\n";
        }
        const Row rows[] = {
            {"", "is empty"},
            {"# nothing\n", "is empty"},
            {"8,17,17\n", "must name the columns"},
            {"length_inch,start_diameter_mm,end_diameter_mm\n8,17,17\n", "\"length_inch\" is none"},
            {"length_mm,start_diameter_mm\n8,17\n", "three columns"},
            {"length_mm,start_diameter_mm,start_radius_mm\n", "repeats what another"},
            {head + "8,17\n", "line 2 has 2 cells"},
            {head + "8,17,17,3\n", "line 2 has 4 cells"},
            {head + "8,17,wide\n", "\"wide\" is not a number"},
            {head + "8,17,1e999\n", "is not a number"},
            {head + "8,17,nan\n", "is not a number"},
            {head + "8;17;17\n", "line 2 has 1 cells"},
            {head + "8,17,-17\n", "radius of segment 1"},
            {"length_m,start_radius_m,end_radius_m\n8,17,17\n", "not millimetres"},
            {head, "no segments"},
            {many, "more than 6000 lines"},
        };
        for (const Row& row : rows) {
            const auto result = parse_bore(row.text, "horn.csv");
            REQUIRE_FALSE(result.has_value());
            CAPTURE(result.error().message);
            CHECK(result.error().message.find(row.says) != std::string::npos);
            CHECK(result.error().message.find("horn.csv") == 0);
            CHECK(result.error().message.find('\n') == std::string::npos);
            CHECK(result.error().kind == bellhand::ErrorKind::usage);
        }
    }
}
