// What programs that export scores do carelessly: rounded tuplets, notes that nobody sees, ties that lead back over a repeat.
// Invented data; what it must be read as is common practice, no source.
#include "part/part.h"
#include "support/scores.h"

#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::part;
using test::score_text;

namespace {

std::string note(char step, int octave, const std::string& inside) {
    return std::string("<note><pitch><step>") + step + "</step><octave>" + std::to_string(octave) +
           "</octave></pitch>" + inside + "</note>";
}

std::string triplet_eighths(const std::vector<int>& durations) {
    std::string text;
    for (const int duration : durations) {
        text += note('C',
                     5,
                     "<duration>" + std::to_string(duration) +
                         "</duration><voice>1</voice><type>eighth</type><time-modification>"
                         "<actual-notes>3</actual-notes><normal-notes>2</normal-notes>"
                         "</time-modification>");
    }
    return text;
}

std::string bar(const std::string& number, const std::string& content, int divisions = 0) {
    const std::string first =
        divisions > 0
            ? "<attributes><divisions>" + std::to_string(divisions) +
                  "</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
            : "";
    return "<measure number=\"" + number + "\">" + first + content + "</measure>";
}

Part part_of(const std::string& bars) {
    const auto score = Score::open(score_text("Horn in D", bars), "file");
    REQUIRE(score);
    auto part = read_part(*score, 0);
    REQUIRE(part);
    return *part;
}

const std::string kDotted = note('G', 4, "<duration>6</duration><voice>1</voice><type>half</type>");

} // namespace

TEST_SUITE("part/careless") {
    TEST_CASE("triplets that were rounded to whole divisions are triplets") {
        const Part part = part_of(
            bar("1",
                triplet_eighths({5, 5, 6}) + triplet_eighths({5, 5, 5}) +
                    note('G', 4, "<duration>32</duration><voice>1</voice><type>half</type>"),
                16) +
            bar("2", triplet_eighths({1, 1, 1}) + kDotted, 2));
        REQUIRE(part.attacks.size() == 11);
        for (int i = 0; i < 6; ++i) {
            CAPTURE(i);
            CHECK(part.attacks[static_cast<std::size_t>(i)].at == Place{0, i * kQuarter / 3});
            CHECK(part.attacks[static_cast<std::size_t>(i)].ticks == kQuarter / 3);
        }
        CHECK(part.attacks[6].at == Place{0, 2 * kQuarter});
        CHECK(part.attacks[8].at == Place{1, kQuarter / 3});
        CHECK(part.attacks[10].at == Place{1, kQuarter});
        CHECK(part.music.bars[0].ticks == 4 * kQuarter);
        CHECK(part.music.bars[1].ticks == 4 * kQuarter);
    }

    TEST_CASE("a length that is meant stays as it is, and so do a loud mark and its triplet") {
        const std::string loud =
            "<direction><direction-type><dynamics><ff/></dynamics></direction-type></direction>";
        const Part part = part_of(bar("1",
                                      triplet_eighths({5}) + loud + triplet_eighths({5, 6}) +
                                          note('G', 4, "<duration>47</duration><voice>1</voice>"),
                                      16));
        CHECK(part.attacks[0].dynamic == Dynamic::unsaid);
        CHECK(part.attacks[1].dynamic == Dynamic::ff);
        CHECK(part.attacks[3].ticks == 47 * kQuarter / 16);
    }

    TEST_CASE("notes that are not printed are nobody's, and told") {
        std::string bars = bar("1",
                               note('C', 5, "<duration>4</duration><voice>1</voice>") +
                                   "<backup><duration>4</duration></backup>" +
                                   note('C', 4, "<duration>4</duration><voice>2</voice>"),
                               1);
        const std::size_t hidden = bars.rfind("<note>");
        bars.replace(hidden, 6, "<note print-object=\"no\">");
        const Part part = part_of(bars);
        CHECK(part.players == 1);
        REQUIRE(part.attacks.size() == 1);
        CHECK(part.attacks[0].written.number == 72);
        REQUIRE(part.doubts.size() == 1);
        CHECK(part.doubts[0].find("not printed") != std::string::npos);
    }

    TEST_CASE("the end of a tie that comes from behind a repeat is struck the first time") {
        const std::string tied =
            note('C', 5, "<duration>4</duration><tie type=\"stop\"/><voice>1</voice>");
        const std::string back =
            "<barline location=\"right\"><repeat direction=\"backward\"/></barline>";
        const Part part = part_of(
            bar("1", tied, 1) +
            bar("2",
                note('C', 5, "<duration>4</duration><tie type=\"start\"/><voice>1</voice>") +
                    back) +
            bar("3", tied));
        REQUIRE(part.attacks.size() == 2);
        CHECK(part.attacks[0].at == Place{0, 0});
        CHECK(part.attacks[1].ticks == 8 * kQuarter);
    }

    TEST_CASE("a quarter-tone is rounded, and told") {
        const Part part =
            part_of(bar("1",
                        "<note><pitch><step>B</step><alter>-0.5</alter><octave>4</octave></pitch>"
                        "<duration>4</duration></note>",
                        1));
        REQUIRE(part.doubts.size() == 1);
        CHECK(part.doubts[0].find("quarter-tone") != std::string::npos);
    }
}
