#include "chart/page.h"

#include <algorithm>
#include <cstdlib>
#include <regex>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

chart::Sheet sheet_for(const horn::Tuning& tuning, horn::BassClef clef, const char* key) {
    std::optional<horn::Scale> scale;
    if (key != nullptr) {
        scale = *horn::parse_scale(key);
    }
    return chart::make_sheet(tuning, horn::hand_response(tuning), clef, scale);
}

std::size_t times(const std::string& text, const std::string& part) {
    std::size_t count = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
        ++count;
    }
    return count;
}

} // namespace

TEST_SUITE("chart/page") {
    TEST_CASE("a PDF of exactly one A4 page") {
        const auto pdf = chart::sheet_page(
            sheet_for({*horn::parse_crook("D"), 430, {}}, horn::BassClef::octave_lower, "G"),
            chart::PageFormat::pdf);
        REQUIRE(pdf);
        CHECK(pdf->substr(0, 5) == "%PDF-");
        CHECK(pdf->find("%%EOF") != std::string::npos);
        CHECK(times(*pdf, "/Type /Page\n") + times(*pdf, "/Type /Page ") == 1);
        // 210 x 297 mm in points.
        const std::size_t box = pdf->find("/MediaBox [ 0 0 ");
        REQUIRE(box != std::string::npos);
        CHECK(std::atof(pdf->c_str() + box + 16) == doctest::Approx(595.28).epsilon(0.0001));
    }

    TEST_CASE("on every crook, with long names, all signs lie within the margins") {
        const double points = 72.0 / 25.4;
        for (const horn::Crook& crook : horn::all_crooks()) {
            const horn::Tuning tuning{
                crook, 421.55, *horn::parse_temperament("sixth-comma-pythagorean")};
            for (const auto clef :
                 {horn::BassClef::sounding_octave, horn::BassClef::octave_lower}) {
                const auto svg = chart::sheet_page(sheet_for(tuning, clef, "F#-melodic-minor"),
                                                   chart::PageFormat::svg);
                REQUIRE(svg);
                CHECK(svg->find("</svg>") != std::string::npos);
                std::size_t glyphs = 0;
                for (std::size_t at = svg->find("<use "); at != std::string::npos;
                     at = svg->find("<use ", at + 1)) {
                    const std::size_t x_at = svg->find(" x=\"", at);
                    const std::size_t y_at = svg->find(" y=\"", at);
                    REQUIRE(x_at != std::string::npos);
                    REQUIRE(y_at != std::string::npos);
                    const double x_mm = std::atof(svg->c_str() + x_at + 4) / points;
                    const double y_mm = std::atof(svg->c_str() + y_at + 4) / points;
                    CHECK(x_mm > 12.5);
                    CHECK(x_mm < 197.0);
                    CHECK(y_mm > 10.0);
                    CHECK(y_mm < 291.0);
                    ++glyphs;
                }
                CHECK(glyphs >
                      800); // the text is drawn with outlines, so no font is needed to see it
            }
        }
    }

    TEST_CASE("the page follows what was asked: crook, clef and key change it") {
        // The library numbers its surfaces through the program's life: that number says nothing.
        const auto page = [](const char* crook, horn::BassClef clef, const char* key) {
            const std::string svg = *chart::sheet_page(
                sheet_for({*horn::parse_crook(crook), 440, {}}, clef, key), chart::PageFormat::svg);
            return std::regex_replace(svg, std::regex("surface[0-9]+"), "surface");
        };
        const std::string plain = page("F", horn::BassClef::sounding_octave, nullptr);
        CHECK((plain == page("F", horn::BassClef::sounding_octave, nullptr)));
        CHECK((plain != page("E", horn::BassClef::sounding_octave, nullptr)));
        CHECK((plain != page("F", horn::BassClef::octave_lower, nullptr)));
        CHECK((plain != page("F", horn::BassClef::sounding_octave, "G")));
    }
}
