#include "engraving/layout.h"

#include "engraving/accidentals.h"
#include "engraving/metrics.h"
#include "engraving/values.h"
#include "support/engraving_check.h"

#include <algorithm>
#include <cmath>
#include <random>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::engraving;
using bellhand::test::clashes;

namespace {

/// Bars of four quarters: "C4 F#4 Bb4" with "8" and the like after a colon, "-" a rest, "~" ties to the next.
Score score_of(const std::string& text) {
    Score score;
    Bar bar;
    bar.metre = Metre{};
    bar.number = "1";
    score.bars.push_back(bar);
    int tick = 0;
    std::size_t at = 0;
    while (at < text.size()) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        std::string word = text.substr(at, end - at);
        at = end + 1;
        if (word == "|") {
            tick = 0;
            Bar next;
            next.number = std::to_string(score.bars.size() + 1);
            score.bars.push_back(next);
            continue;
        }
        Event event;
        event.bar = static_cast<int>(score.bars.size()) - 1;
        event.tick = tick;
        if (word.back() == '~') {
            event.tie = true;
            word.pop_back();
        }
        const std::size_t colon = word.find(':');
        const int part = colon == std::string::npos ? 4 : std::stoi(word.substr(colon + 1));
        event.ticks = 4 * kQuarter / part;
        event.value = *value_of(event.ticks);
        if (word.front() != '-') {
            event.head = horn::staff_name(*horn::parse_note(word.substr(0, colon)));
        }
        tick += event.ticks;
        score.events.push_back(event);
    }
    score.bars.back().last = true;
    return score;
}

std::string accidentals(const std::string& text, int key = 0) {
    Score score = score_of(text);
    score.bars.front().key = key;
    std::string printed;
    for (const auto& sign : printed_accidentals(score)) {
        printed += !sign ? '.' : *sign > 0 ? '#' : *sign < 0 ? 'b' : 'n';
    }
    return printed;
}

Layout laid_out(const Score& score, float width = 100.0F) {
    PageStyle style;
    style.width = width;
    style.page_height = 150.0F;
    return lay_out(score, style);
}

std::size_t count(const Layout& layout, What what) {
    std::size_t found = 0;
    for (const System& system : layout.systems) {
        found += static_cast<std::size_t>(
            std::count_if(system.signs.begin(), system.signs.end(), [what](const auto& one) {
                return one.what == what;
            }));
        found += static_cast<std::size_t>(
            std::count_if(system.lines.begin(), system.lines.end(), [what](const auto& one) {
                return one.what == what;
            }));
        found += static_cast<std::size_t>(
            std::count_if(system.curves.begin(), system.curves.end(), [what](const auto& one) {
                return one.what == what;
            }));
        found += static_cast<std::size_t>(
            std::count_if(system.texts.begin(), system.texts.end(), [what](const auto& one) {
                return one.what == what;
            }));
    }
    return found;
}

/// A figure that two outlines have in common only when they are the same.
double weight(const Outline& outline) {
    double sum = static_cast<double>(outline.holes.size());
    for (const auto& loop : outline.loops) {
        for (std::size_t i = 0; i < loop.size(); ++i) {
            sum += static_cast<double>(loop[i].x) * std::sin(static_cast<double>(i + 1)) +
                   static_cast<double>(loop[i].y) * std::cos(static_cast<double>(i + 1));
        }
    }
    return sum;
}

/// Music with a little of everything, by chance.
Score random_score(unsigned seed, int bars) {
    std::mt19937 random(seed);
    const auto below = [&random](int limit) {
        return static_cast<int>(random() % static_cast<unsigned>(limit));
    };
    const Metre metres[] = {{4, 4, "4", true},
                            {3, 4, "3", false},
                            {6, 8, "6", false},
                            {2, 2, "2", true},
                            {5, 4, "3+2", false}};
    Score score;
    score.title = "By Chance";
    score.name = "Horn";
    score.crook = "Horn in E♭";
    Metre metre;
    for (int bar = 0; bar < bars; ++bar) {
        Bar made;
        if (bar == 0 || below(12) == 0) {
            metre = metres[below(5)];
            made.metre = metre;
        }
        if (below(15) == 0) {
            made.key = below(9) - 4;
        }
        made.ticks = metre.bar_ticks();
        made.number = std::to_string(bar + 1);
        made.repeat_begins = below(14) == 0;
        made.repeat_ends = below(14) == 0;
        made.rests = below(10) == 0 ? 2 + below(200) : 0;
        if (below(12) == 0) {
            score.texts.push_back({bar,
                                   0,
                                   below(2) == 0 ? TextKind::crook : TextKind::tempo,
                                   below(2) == 0 ? "D crook" : "Allegro ma non troppo"});
        }
        score.bars.push_back(made);
        if (made.rests > 0) {
            continue;
        }
        int tick = 0;
        while (tick < made.ticks) {
            static constexpr int kLengths[] = {16, 8, 6, 4, 4, 4, 3, 2, 2, 2, 1, 1};
            const int left = (made.ticks - tick) / (kQuarter / 4);
            const int length = std::min(left, kLengths[below(12)]) * (kQuarter / 4);
            const bool rest = below(6) == 0;
            const int number = 48 + below(37);
            const std::size_t first = score.events.size();
            if (!rest && below(20) == 0) {
                Event grace;
                grace.bar = bar;
                grace.tick = tick;
                grace.grace = true;
                grace.value = {3, 0, 1, 1};
                grace.head = horn::staff_name(horn::usual_spelling(number));
                score.events.push_back(grace);
            }
            for (const Piece& piece :
                 rest ? rest_pieces(tick, length, metre) : note_pieces(tick, length, metre)) {
                Event event;
                event.bar = bar;
                event.tick = piece.tick;
                event.ticks = ticks_of(piece.value);
                event.value = piece.value;
                if (!rest) {
                    event.head = horn::staff_name(horn::usual_spelling(number));
                    event.tie = true;
                }
                score.events.push_back(event);
            }
            if (!rest) {
                score.events.back().tie = false;
                Event& struck = score.events[first];
                static constexpr const char* kSigns[] = {"o", "¼", "½", "¾", "+", "¾+"};
                struck.signs = struck.grace ? "" : kSigns[below(6)];
                struck.staccato = below(8) == 0;
                struck.accent = below(8) == 0;
                struck.trill = below(20) == 0;
                struck.fermata = below(30) == 0;
                struck.tremolo = below(20) == 0 ? 1 + below(3) : 0;
                if (below(5) == 0 && first > 0 && score.events[first - 1].head &&
                    score.events[first - 1].bar == bar) {
                    score.slurs.push_back({first - 1, score.events.size() - 1});
                }
                if (below(6) == 0) {
                    static constexpr const char* kDynamics[] = {"p", "ff", "sfz", "mf", "fp"};
                    score.texts.push_back({bar, tick, TextKind::dynamic, kDynamics[below(5)]});
                }
            }
            tick += length;
        }
        if (below(5) == 0) {
            score.hairpins.push_back({bar, 0, bar, made.ticks, below(2) == 0});
        }
    }
    score.bars.back().last = true;
    return score;
}

} // namespace

TEST_SUITE("engraving/layout") {
    // Bravura 1.392, metadata: glyphBBoxes and engravingDefaults (SMuFL 1.4, W3C Music Notation Community Group).
    TEST_CASE("signs have the proportions of a published music font") {
        struct Listed {
            Sign sign;
            float width;
            float low;
            float high;
        };
        const Listed listed[] = {{Sign::notehead, 1.18F, -0.5F, 0.5F},
                                 {Sign::half_head, 1.18F, -0.5F, 0.5F},
                                 {Sign::whole_head, 1.688F, -0.5F, 0.5F},
                                 {Sign::treble_clef, 2.684F, -2.632F, 4.392F},
                                 {Sign::bass_clef, 2.756F, -2.54F, 1.048F},
                                 {Sign::flat, 0.904F, -0.7F, 1.756F},
                                 {Sign::sharp, 0.996F, -1.392F, 1.4F},
                                 {Sign::natural, 0.672F, -1.34F, 1.364F},
                                 {Sign::double_sharp, 0.988F, -0.5F, 0.508F},
                                 {Sign::double_flat, 1.644F, -0.7F, 1.748F},
                                 {Sign::quarter_rest, 1.076F, -1.5F, 1.492F},
                                 {Sign::eighth_rest, 0.988F, -1.004F, 0.696F},
                                 {Sign::sixteenth_rest, 1.28F, -2.0F, 0.716F},
                                 {Sign::thirty_second_rest, 1.452F, -2.0F, 1.704F},
                                 {Sign::sixty_fourth_rest, 1.692F, -3.012F, 1.72F},
                                 {Sign::figure_0, 1.72F, -1.0F, 1.004F},
                                 {Sign::figure_4, 1.72F, -1.0F, 1.004F},
                                 {Sign::figure_8, 1.584F, -1.036F, 1.036F},
                                 {Sign::common_time, 1.676F, -0.996F, 1.004F},
                                 {Sign::cut_time, 1.672F, -1.436F, 1.444F},
                                 {Sign::fermata, 2.408F, -0.012F, 1.316F},
                                 {Sign::dot, 0.4F, -0.2F, 0.2F},
                                 {Sign::segno, 2.184F, -0.108F, 3.036F}};
        for (const Listed& one : listed) {
            const Outline& outline = outline_of(one.sign);
            CAPTURE(static_cast<int>(one.sign));
            CHECK(std::abs(outline.high.x - outline.low.x - one.width) < 0.37F);
            CHECK(std::abs(outline.low.y - one.low) < 0.32F);
            CHECK(std::abs(outline.high.y - one.high) < 0.32F);
        }
        CHECK(metrics::kStaffLine == 0.13F);
        CHECK(metrics::kStem == 0.12F);
        CHECK(metrics::kBeam == 0.5F);
        CHECK(metrics::kBetweenBeams == 0.25F);
        CHECK(metrics::kLedgerLine == 0.16F);
        CHECK(metrics::kLedgerReach == 0.4F);
        CHECK(metrics::kTieMiddle == 0.22F);
        CHECK(metrics::kThinBarLine == 0.16F);
        CHECK(metrics::kThickBarLine == 0.5F);
        CHECK(metrics::kBetweenBarLines == 0.4F);
        CHECK(metrics::kHairpin == 0.16F);
    }

    TEST_CASE("every sign has an outline of its own") {
        for (int i = 0; i < kSigns; ++i) {
            const Outline& outline = outline_of(static_cast<Sign>(i));
            CHECK_FALSE(outline.loops.empty());
            CHECK(outline.high.x > outline.low.x);
            for (int k = 0; k < i; ++k) {
                CHECK(weight(outline) != weight(outline_of(static_cast<Sign>(k))));
            }
        }
    }

    TEST_CASE("accidentals hold to the end of their bar, for their octave") {
        CHECK(accidentals("F#4 F#4 F4 F4") == "#.n.");
        CHECK(accidentals("F#4 F#5 C4 C4") == "##..");
        CHECK(accidentals("F#4 C4 C4 C4 | F#4 C4 C4 C4") == "#...#...");
        CHECK(accidentals("Bb4 C4 C4 C4 | B4 C4 C4 C4") == "b...n..."); // a reminder
        CHECK(accidentals("C4 C4 C4 Bb4~ | Bb4 C4 C4 Bb4") ==
              "...b...b"); // tied over, then said again
    }

    TEST_CASE("the key needs no accidentals, leaving it does") {
        CHECK(accidentals("F#4 C#5 G4 F4", 2) == "...n");
        CHECK(accidentals("Bb4 Eb5 B4 Bb4", -2) == "..nb");
        CHECK(key_steps(3, Clef::treble) == std::vector<int>{8, 5, 9});
        CHECK(key_steps(-3, Clef::bass) == std::vector<int>{2, 5, 1});
        CHECK(in_key('F', 1) == 1);
        CHECK(in_key('C', 1) == 0);
        CHECK(in_key('B', -1) == -1);
        CHECK(in_key('E', -1) == 0);
    }

    TEST_CASE("every event is drawn once, in order") {
        const Score score = score_of(
            "C4 E4 G4:8 C5:8 - | D4:2 -:2 | E4:1~ | E4:1 | G4:16 A4:16 B4:16 C5:16 D5:4 C5:2");
        const Layout layout = laid_out(score);
        CHECK(count(layout, What::head) == 13);
        CHECK(count(layout, What::rest) == 2);
        CHECK(count(layout, What::tie) == 1);
        CHECK(count(layout, What::flag) == 0);
        CHECK(count(layout, What::beam) == 3); // a pair, and two beams of four
        CHECK(clashes(layout, {100.0F, 150.0F}).empty());
        float x = -1.0F;
        for (const Slot& slot : layout.systems.front().slots) {
            CHECK(slot.x > x);
            x = slot.x;
        }
    }

    TEST_CASE("stems point to the middle of the staff and reach it") {
        const Layout layout = laid_out(score_of("C4 A5 C6 B4 | A3 F5 E4 G5"));
        for (const PlacedLine& line : layout.systems.front().lines) {
            if (line.what != What::stem) {
                continue;
            }
            CHECK(std::abs(line.to.y - line.from.y) >= 2.9F);
            const bool up = line.to.y > line.from.y;
            CHECK((up ? line.to.y >= 2.0F : line.to.y <= 2.0F));
            CHECK((up ? line.from.y < 2.2F : line.from.y > 1.7F));
        }
    }

    TEST_CASE("a tie over the end of a line is drawn in both lines") {
        std::string text = "C5:1";
        for (int i = 0; i < 30; ++i) {
            text += "~ | C5:1";
        }
        const Layout layout = laid_out(score_of(text), 50.0F);
        CHECK(layout.systems.size() > 2);
        CHECK(count(layout, What::tie) == 30 + layout.systems.size() - 1);
    }

    TEST_CASE("lines are as wide as the page, the last may be shorter") {
        const Score score = random_score(5, 60);
        const Layout layout = laid_out(score);
        for (std::size_t i = 0; i + 1 < layout.systems.size(); ++i) {
            CHECK(layout.systems[i].width > 99.0F);
            CHECK(layout.systems[i].width < 100.1F);
        }
        CHECK(layout.systems.back().width < 100.1F);
    }

    TEST_CASE("nothing runs into anything, whatever the music and the width") {
        for (const unsigned seed : {11U, 12U, 13U, 14U, 15U, 16U}) {
            const Score score = random_score(seed, 80);
            std::size_t events = 0;
            for (const float width : {70.0F, 104.0F}) {
                CAPTURE(seed);
                CAPTURE(width);
                PageStyle style;
                style.width = width;
                style.page_height = 160.0F;
                const Layout layout = lay_out(score, style);
                for (const std::string& clash : clashes(layout, style)) {
                    FAIL_CHECK(clash);
                }
                events = count(layout, What::head) + count(layout, What::rest);
                CHECK(events == score.events.size());
                CHECK(count(layout, What::hand) ==
                      static_cast<std::size_t>(std::count_if(
                          score.events.begin(), score.events.end(), [](const Event& event) {
                              return !event.signs.empty();
                          })));
            }
        }
    }

    TEST_CASE("a swell inside a held note is as long as its fading, whatever the bars' widths") {
        Score score = score_of("C4:1~ | C4:2 -:2");
        score.hairpins = {{0, 0, 0, 3 * kQuarter, true}, {0, 3 * kQuarter, 1, 2 * kQuarter, false}};
        for (const bool letter : {false, true}) {
            if (letter) {
                score.texts.push_back({0, 0, TextKind::dynamic, "p"});
            }
            const Layout layout = laid_out(score, 60.0F);
            REQUIRE(layout.systems.size() == 1);
            std::vector<float> lengths;
            for (const PlacedLine& line : layout.systems.front().lines) {
                if (line.what == What::hairpin) {
                    lengths.push_back(line.to.x - line.from.x);
                }
            }
            REQUIRE(lengths.size() == 4); // two strokes each
            CHECK(lengths.front() == doctest::Approx(lengths.back()).epsilon(0.02));
        }
    }

    TEST_CASE("the same music gives the same page") {
        const Score score = random_score(3, 40);
        const Layout one = laid_out(score);
        const Layout other = laid_out(score);
        REQUIRE(one.systems.size() == other.systems.size());
        for (std::size_t i = 0; i < one.systems.size(); ++i) {
            REQUIRE(one.systems[i].signs.size() == other.systems[i].signs.size());
            for (std::size_t k = 0; k < one.systems[i].signs.size(); ++k) {
                CHECK(one.systems[i].signs[k].at.x == other.systems[i].signs[k].at.x);
                CHECK(one.systems[i].signs[k].at.y == other.systems[i].signs[k].at.y);
            }
        }
    }

    TEST_CASE("a bar wider than its line is cut between beams") {
        std::string text = "C5:16";
        for (int i = 1; i < 16; ++i) {
            text += " D5:16";
        }
        const Layout layout = laid_out(score_of(text), 30.0F);
        CHECK(layout.systems.size() > 1);
        CHECK(count(layout, What::head) == 16);
        for (const System& system : layout.systems) {
            CHECK(system.slots.size() % 4 == 0);
        }
    }

    TEST_CASE("a part of 5000 notes has as many heads and lines as it should") {
        const Score score = random_score(21, 1250);
        const Layout layout = laid_out(score);
        CHECK(score.events.size() > 4000);
        CHECK(count(layout, What::head) + count(layout, What::rest) == score.events.size());
        std::size_t systems = 0;
        for (const Page& page : layout.pages) {
            systems += page.systems.size();
        }
        CHECK(systems == layout.systems.size());
    }

    TEST_CASE("an empty score has no lines") {
        CHECK(laid_out(Score{}).systems.empty());
    }
}
