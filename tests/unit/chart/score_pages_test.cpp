// The printed page, read back from the SVG: what is drawn, not what was meant.
#include "chart/score_pages.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

struct Shape {
    double left = 1e9;
    double top = 1e9;
    double right = -1e9;
    double bottom = -1e9;
    [[nodiscard]] double width() const { return right - left; }
    [[nodiscard]] double height() const { return bottom - top; }
};

constexpr double kSpace_pt = 1.75 * 72.0 / 25.4;

/// Corners of every filled path of straight pieces, in points: the engraved signs.
std::vector<Shape> filled_shapes(const std::string& svg) {
    std::vector<Shape> shapes;
    const std::string wanted = "<path ";
    for (std::size_t at = svg.find(wanted); at != std::string::npos;
         at = svg.find(wanted, at + 1)) {
        const std::string tag = svg.substr(at, svg.find('>', at) - at);
        const std::size_t d = tag.find(" d=\"");
        if (d == std::string::npos || tag.find("stroke-width") != std::string::npos) {
            continue;
        }
        Shape shape;
        const char* now = tag.c_str() + d + 4;
        while (*now != '"' && *now != '\0') {
            char* end = nullptr;
            const double x = std::strtod(now, &end);
            if (end == now) {
                ++now; // a letter or a space
                continue;
            }
            const double y = std::strtod(end, &end);
            shape.left = std::min(shape.left, x);
            shape.right = std::max(shape.right, x);
            shape.top = std::min(shape.top, y);
            shape.bottom = std::max(shape.bottom, y);
            now = end;
        }
        shapes.push_back(shape);
    }
    return shapes;
}

/// Filled heads, told by their size alone.
std::vector<Shape> heads(const std::string& svg) {
    std::vector<Shape> found;
    for (const Shape& shape : filled_shapes(svg)) {
        if (std::abs(shape.width() / kSpace_pt - 1.18) < 0.06 &&
            std::abs(shape.height() / kSpace_pt - 1.0) < 0.06) {
            found.push_back(shape);
        }
    }
    return found;
}

/// A scale over and over: quarter notes, four in a bar.
engraving::Score scale(int bars) {
    engraving::Score score;
    score.title = "A Scale";
    score.name = "Corno";
    score.crook = "Horn in B♭ alto";
    static constexpr char kLetters[] = {'G', 'A', 'B', 'C', 'D', 'E', 'F', 'G'};
    for (int bar = 0; bar < bars; ++bar) {
        engraving::Bar made;
        made.number = std::to_string(bar + 1);
        if (bar == 0) {
            made.metre = engraving::Metre{};
        }
        score.bars.push_back(made);
        for (int i = 0; i < 4; ++i) {
            engraving::Event event;
            event.bar = bar;
            event.tick = i * engraving::kQuarter;
            event.ticks = engraving::kQuarter;
            const auto at = static_cast<std::size_t>((bar * 4 + i) % 8);
            event.head = horn::StaffName{kLetters[at], at < 3 ? 4 : 5, 0};
            event.signs = i % 2 == 0 ? "o" : "½";
            score.events.push_back(event);
        }
    }
    score.bars.back().last = true;
    return score;
}

std::size_t times(const std::string& text, const std::string& part) {
    std::size_t count = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
        ++count;
    }
    return count;
}

} // namespace

TEST_SUITE("chart/score pages") {
    TEST_CASE("every head is on the page, in order, apart from the others and inside the edges") {
        const auto svg = chart::score_pages(scale(40), chart::PageFormat::svg);
        REQUIRE(svg);
        const std::vector<Shape> found = heads(*svg);
        REQUIRE(found.size() == 160);
        const double edge = 12.0 * 72.0 / 25.4;
        for (std::size_t i = 0; i < found.size(); ++i) {
            CHECK(found[i].left > edge);
            CHECK(found[i].right < 595.28 - edge);
            CHECK(found[i].top > edge);
            CHECK(found[i].bottom < 841.89 - edge);
            if (i == 0) {
                continue;
            }
            const bool same_line = found[i].left > found[i - 1].right;
            const bool next_line = found[i].top > found[i - 1].bottom + 6.0 * kSpace_pt;
            CHECK((same_line || next_line));
            if (same_line && i % 8 != 0) { // the scale goes up, half a space a step
                CHECK((found[i - 1].top - found[i].top) / kSpace_pt ==
                      doctest::Approx(0.5).epsilon(0.02));
            }
        }
    }

    TEST_CASE("many notes take many pages, one under another in SVG, one after another in PDF") {
        const engraving::Score score = scale(300);
        const auto svg = chart::score_pages(score, chart::PageFormat::svg);
        const auto pdf = chart::score_pages(score, chart::PageFormat::pdf);
        REQUIRE(svg);
        REQUIRE(pdf);
        CHECK(heads(*svg).size() == 1200);
        const std::size_t pages = times(*pdf, "/Type /Page\n") + times(*pdf, "/Type /Page ");
        CHECK(pages > 2);
        const std::size_t height = svg->find("height=\"");
        REQUIRE(height != std::string::npos);
        CHECK(std::atof(svg->c_str() + height + 8) ==
              doctest::Approx(841.89 * static_cast<double>(pages)).epsilon(0.001));
    }

    TEST_CASE("the same part gives the same bytes") {
        const engraving::Score score = scale(60);
        for (const auto format : {chart::PageFormat::svg, chart::PageFormat::pdf}) {
            CHECK(*chart::score_pages(score, format) == *chart::score_pages(score, format));
        }
        CHECK(chart::score_pages(score, chart::PageFormat::pdf)->find("CreationDate") ==
              std::string::npos);
    }
}
