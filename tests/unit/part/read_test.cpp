#include "datafile/archive.h"
#include "part/part.h"
#include "support/scores.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::part;
using test::bars_text;
using test::score_text;

namespace {

const char* const kInD = "<transpose><diatonic>-6</diatonic><chromatic>-10</chromatic></transpose>";

Part part_of(const std::string& text, const ReadOptions& options = {}) {
    const auto score = Score::open(text, "file");
    REQUIRE_MESSAGE(score, score.error().message);
    auto part = read_part(*score, 0, options);
    REQUIRE_MESSAGE(part, part.error().message);
    return *part;
}

std::string written(const Part& part) {
    std::string names;
    for (const Attack& attack : part.attacks) {
        names += (names.empty() ? "" : " ") + horn::ascii_name(attack.written);
    }
    return names;
}

std::string words(const std::string& text) {
    return "<direction><direction-type><words>" + text + "</words></direction-type></direction>";
}

/// The text with a piece put before the note number `note` (from 0).
std::string before_note(std::string text, int note, const std::string& piece) {
    std::size_t at = text.find("<note>");
    for (int i = 0; i < note; ++i) {
        at = text.find("<note>", at + 1);
    }
    return text.insert(at, piece);
}

std::string replaced(std::string text, const std::string& what, const std::string& with) {
    const std::size_t at = text.find(what);
    REQUIRE(at != std::string::npos);
    return text.replace(at, what.size(), with);
}

std::string utf16(const std::string& ascii, bool little) {
    std::string bytes = little ? "\xFF\xFE" : "\xFE\xFF";
    for (const char c : ascii) {
        if (little) {
            bytes += c;
            bytes += '\0';
        } else {
            bytes += '\0';
            bytes += c;
        }
    }
    return bytes;
}

} // namespace

TEST_SUITE("part/read") {
    TEST_CASE("the same score in every dress") {
        const std::string plain = score_text("Horn in D", bars_text("C4 G4 -:h | C5:w", kInD));
        const std::string want = "C4 G4 C5";
        CHECK(written(part_of(plain)) == want);
        CHECK(written(part_of("\xEF\xBB\xBF" + plain)) == want);
        CHECK(written(part_of(utf16(plain, true))) == want);
        CHECK(written(part_of(utf16(plain, false))) == want);
        const auto packed = datafile::archive_bytes(
            {{"META-INF/container.xml",
              "<container><rootfiles><rootfile full-path=\"a/b.xml\"/></rootfiles></container>"},
             {"other.xml", "<a/>"},
             {"a/b.xml", plain}});
        CHECK(written(part_of(packed.value())) == want);
        const auto bare = datafile::archive_bytes({{"music.musicxml", plain}});
        CHECK(written(part_of(bare.value())) == want);
        // By bars: the same elements the other way round.
        std::string by_bars = replaced(plain, "score-partwise", "score-timewise");
        by_bars = replaced(by_bars, "</score-partwise", "</score-timewise");
        by_bars = replaced(by_bars,
                           "<part id=\"P1\"><measure number=\"1\">",
                           "<measure number=\"1\"><part id=\"P1\">");
        by_bars = replaced(by_bars,
                           "</measure><measure number=\"2\">",
                           "</part></measure><measure number=\"2\"><part id=\"P1\">");
        by_bars = replaced(by_bars, "</measure></part>", "</part></measure>");
        CHECK(written(part_of(by_bars)) == want);
    }

    TEST_CASE("accidentals of the display name stand in an element of their own") {
        std::string text = score_text("E Horn 1", bars_text("C4 G4"));
        text = replaced(
            text,
            "</part-name>",
            "</part-name><part-name-display><display-text>E</display-text><accidental-text>flat"
            "</accidental-text><display-text> Horn 1</display-text></part-name-display>");
        const Part part = part_of(text);
        CHECK(part.head.name == "E♭ Horn 1");
        CHECK(part.crooks.front().crook.id == std::string("Eb"));
    }

    TEST_CASE("the transposition wins over the heading and the words, and both are told") {
        const std::string octave =
            "<transpose><chromatic>-2</chromatic><octave-change>-1</octave-change></transpose>";
        const Part low = part_of(score_text("Bb Horn 1", bars_text("C4", octave)));
        CHECK(low.crooks.front().crook.id == std::string("Bb-basso"));
        CHECK(low.doubts.empty());
        const Part other = part_of(before_note(
            score_text("Horn in F", bars_text("C4 G4 -:h | C5:w", kInD)), 3, words("muta in E")));
        CHECK(other.crooks.front().crook.id == std::string("D"));
        REQUIRE(other.doubts.size() == 2);
        CHECK(other.doubts[0].find("Horn in F") != std::string::npos);
        CHECK(other.doubts[0].find("--crook F") != std::string::npos);
        CHECK(other.doubts[1].find("muta in E") != std::string::npos);
        CHECK(other.doubts[1].find("--crook 2=E") != std::string::npos);
        const Part bad = part_of(score_text(
            "Horn in F", bars_text("C4", "<transpose><chromatic>5</chromatic></transpose>")));
        CHECK(bad.crooks.front().crook.id == std::string("F"));
        CHECK(bad.doubts.size() == 1);
    }

    TEST_CASE("muta holds from the next entry after a rest, \"in X\" from the next note") {
        const std::string text =
            score_text("Horn in F", bars_text("C4 G4 C5 E5 | C4:h -:h | C5 E5 G5 E5"));
        const Part muta = part_of(before_note(text, 1, words("muta in D")));
        REQUIRE(muta.crooks.size() == 2);
        CHECK(muta.crooks[1].crook.id == std::string("D"));
        CHECK(muta.crooks[1].from == Place{2, 0});
        CHECK(muta.attacks[4].sounding.number == 60 - 7);
        CHECK(muta.attacks[5].sounding.number == 72 - 10);
        const Part in_key = part_of(before_note(text, 2, words("in Es")));
        REQUIRE(in_key.crooks.size() == 2);
        CHECK(in_key.crooks[1].from == Place{0, 2 * kQuarter});
        // "muta" and then "in D" at the entry are one change.
        const Part both =
            part_of(before_note(before_note(text, 6, words("in D")), 1, words("muta in D")));
        CHECK(both.crooks.size() == 2);
        const Part remark = part_of(before_note(text, 6, words("[orig. in E]")));
        CHECK(remark.crooks.size() == 1);
        REQUIRE(remark.doubts.size() == 1);
        CHECK(remark.doubts.front().find("not obeyed") != std::string::npos);
    }

    TEST_CASE("what the player says about the crook") {
        const std::string text =
            score_text("Corni in B", bars_text("C4 G4 C5 E5 | C4:h -:h | C5 E5 G5 E5"));
        CHECK(part_of(text).questions.size() == 1);
        ReadOptions options;
        options.crooks = {{"", *horn::parse_crook("Bb-basso")}, {"3", *horn::parse_crook("Eb")}};
        const Part said = part_of(text, options);
        CHECK(said.questions.empty());
        REQUIRE(said.crooks.size() == 2);
        CHECK(said.crooks[0].crook.id == std::string("Bb-basso"));
        CHECK(said.crooks[1].from == Place{2, 0});
        options.crooks = {{"99", *horn::parse_crook("Eb")}};
        const auto score = Score::open(score_text("Horn in F", bars_text("C4")), "file");
        const auto missing = read_part(*score, 0, options);
        REQUIRE_FALSE(missing);
        CHECK(missing.error().kind == ErrorKind::usage);
    }

    TEST_CASE("nothing says the crook: asked") {
        const Part part = part_of(score_text("Horn", bars_text("C4 G4")));
        REQUIRE(part.questions.size() == 1);
        CHECK(part.questions.front().find("--crook") != std::string::npos);
        CHECK(part_of(score_text("Horn", bars_text("C4 G4")),
                      {std::nullopt, {{"", *horn::parse_crook("F")}}, {}, {}, {}})
                  .questions.empty());
    }

    TEST_CASE("a part exported at sounding pitch is recognised and asked about") {
        // A call for D, as it sounds: D3 A3 D4 F#4 A4 ...
        const std::string notes = "D3 A3 D4 F#4 | A4 F#4 D4 A3 | D4 F#4 A4 D5 | A4 F#4 D4:h";
        const std::string text = score_text("Horn in D", bars_text(notes));
        CHECK(part_of(text).questions.size() == 1);
        ReadOptions options;
        options.notes = Notation::sounding;
        const Part sounding = part_of(text, options);
        CHECK(sounding.questions.empty());
        CHECK(written(sounding).substr(0, 11) == "C4 G4 C5 E5");
        CHECK(sounding.attacks[0].sounding.number == 50);
        options.notes = Notation::written;
        CHECK(part_of(text, options).questions.empty());
        CHECK(part_of(
                  replaced(text, "<part-list>", "<defaults><concert-score/></defaults><part-list>"))
                  .questions.empty());
    }

    TEST_CASE(
        "bass clef: old as soon as a note lies under G2, right with an octave change, else asked") {
        const std::string bass = std::string(kInD) + "<clef><sign>F</sign><line>4</line></clef>";
        const Part old = part_of(score_text("Horn in D", bars_text("C2 G2 C3 E3", bass)));
        CHECK(written(old) == "C3 G3 C4 E4");
        CHECK(old.doubts.size() == 1);
        const Part open = part_of(score_text("Horn in D", bars_text("G2 C3", bass)));
        REQUIRE(open.questions.size() == 1);
        CHECK(open.questions.front().find("--bass-clef") != std::string::npos);
        ReadOptions options;
        options.bass_clef = horn::BassClef::octave_lower;
        CHECK(written(part_of(score_text("Horn in D", bars_text("G2 C3", bass)), options)) ==
              "G3 C4");
        options.bass_clef = horn::BassClef::sounding_octave;
        CHECK(written(part_of(score_text("Horn in D", bars_text("G2 C3", bass)), options)) ==
              "G2 C3");
        const std::string right =
            std::string(kInD) +
            "<clef><sign>F</sign><line>4</line><clef-octave-change>1</clef-octave-change></clef>";
        const Part up = part_of(score_text("Horn in D", bars_text("C3 G3", right)));
        CHECK(written(up) == "C3 G3");
        CHECK(up.questions.empty());
    }

    TEST_CASE("ties are one note, slurs join, dynamics hold") {
        std::string text = score_text("Horn in D", bars_text("C4 C4 G4 E4 | C5:w", kInD));
        text =
            replaced(text, "<duration>2</duration>", "<duration>2</duration><tie type=\"start\"/>");
        std::size_t second = text.find("<duration>", text.find("<tie"));
        text.insert(second + std::string("<duration>2</duration>").size(), "<tie type=\"stop\"/>");
        text = before_note(
            text,
            2,
            "<direction><direction-type><dynamics><pp/></dynamics></direction-type></direction>");
        text = before_note(
            text,
            4,
            "<direction><direction-type><dynamics><sf/></dynamics></direction-type></direction>");
        std::size_t third = text.find("</note>", text.find("<step>G"));
        text.insert(third, "<notations><slur type=\"start\" number=\"1\"/></notations>");
        third = text.find("</note>", text.find("<step>E"));
        text.insert(third, "<notations><slur type=\"stop\" number=\"1\"/></notations>");
        const Part part = part_of(text);
        CHECK(written(part) == "C4 G4 E4 C5");
        CHECK(part.attacks[0].ticks == 2 * kQuarter);
        CHECK(part.attacks[1].in_bar == 2);
        CHECK_FALSE(part.attacks[1].slurred);
        CHECK(part.attacks[2].slurred);
        CHECK_FALSE(part.attacks[3].slurred);
        CHECK(part.attacks[1].dynamic == Dynamic::pp);
        CHECK(part.attacks[2].dynamic == Dynamic::pp);
        CHECK(part.attacks[3].accent);
    }

    TEST_CASE("two players on a staff: by voice, else upper and lower; a single head is for both") {
        std::string chords = score_text("Corni in D", bars_text("C4 E4 G4:h", kInD));
        chords = replaced(chords, "<note><pitch><step>E", "<note><chord/><pitch><step>E");
        CHECK(part_of(chords).questions.size() == 1);
        ReadOptions options;
        options.player = 1;
        CHECK(written(part_of(chords, options)) == "E4 G4");
        options.player = 2;
        CHECK(written(part_of(chords, options)) == "C4 G4");
        std::string voices = score_text("Corni in D", bars_text("C5 E5:h | C4", kInD));
        voices = replaced(
            voices,
            "</measure>",
            "<backup><duration>6</duration></backup><note><rest/><duration>2</duration><voice>2"
            "</voice></note><note><pitch><step>G</step><octave>4</octave></pitch><duration>4"
            "</duration><voice>2</voice></note></measure>");
        options.player = 1;
        CHECK(written(part_of(voices, options)) == "C5 E5 C4");
        options.player = 2;
        CHECK(written(part_of(voices, options)) == "G4 C4");
    }

    TEST_CASE("cues are nobody's, grace notes and tuplets keep their place") {
        std::string text = score_text("Horn in D", bars_text("C4 G4 E4 C5", kInD));
        text = replaced(text, "<note>", "<note><cue/>");
        const std::size_t g = text.find("<pitch><step>G");
        text = text.insert(g, "<grace/>");
        text.erase(text.find("<duration>", g), std::string("<duration>2</duration>").size());
        const Part part = part_of(text);
        CHECK(written(part) == "G4 E4 C5");
        CHECK(part.attacks[0].grace);
        CHECK(part.attacks[1].at == Place{0, kQuarter});
        std::string triplet = score_text("Horn in D", bars_text("C4 G4 E4", kInD));
        triplet = replaced(triplet, "<divisions>2", "<divisions>3");
        const Part three = part_of(triplet);
        CHECK(three.attacks[1].at.tick == 2 * kQuarter / 3);
        CHECK(three.attacks[2].at.tick == 4 * kQuarter / 3);
    }

    TEST_CASE("what stands over the first part of a score alone holds for the horn below it") {
        const std::string tempo =
            "<direction><direction-type><words>Andante</words></direction-type>"
            "<direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>72"
            "</per-minute></metronome></direction-type></direction>"
            "<direction><direction-type><rehearsal>B</rehearsal></direction-type></direction>";
        const std::string fine = "<direction><direction-type><words>D.C. al Fine</words>"
                                 "</direction-type></direction>";
        const std::string bars = test::bars_text("C5 C5 C5 C5 | E5 E5 E5 E5");
        const std::string end = "</measure>";
        std::string top = bars;
        top.insert(top.find("<note"), tempo);
        top.insert(top.rfind(end), fine);
        top.insert(top.find(end), "<sound fine=\"yes\"/>");
        const auto score = Score::open(
            "<score-partwise><part-list><score-part id=\"P1\"><part-name>Flute</part-name>"
            "</score-part><score-part id=\"P2\"><part-name>Horn in D</part-name></score-part>"
            "</part-list><part id=\"P1\">" +
                top + "</part><part id=\"P2\">" + bars + "</part></score-partwise>",
            "test");
        REQUIRE(score);
        const auto horn = read_part(*score, 1, {});
        REQUIRE(horn);
        CHECK(horn->tempo_said);
        CHECK(horn->attacks.front().length_s == doctest::Approx(60.0 / 72.0));
        CHECK(horn->order == std::vector<int>{0, 1, 0});
        std::vector<std::string> words;
        for (const Words& one : horn->music.words) {
            words.push_back(one.text);
        }
        CHECK(words == std::vector<std::string>{"Andante", "B", "D.C. al Fine"});
        // A part with a tempo of its own keeps it.
        std::string own = bars;
        own.insert(own.find("<note"), "<sound tempo=\"100\"/>");
        own.insert(own.find(end), "<sound fine=\"yes\"/>"); // and the D.C. from above
        const auto other = Score::open(
            "<score-partwise><part-list><score-part id=\"P1\"><part-name>Flute</part-name>"
            "</score-part><score-part id=\"P2\"><part-name>Horn in D</part-name></score-part>"
            "</part-list><part id=\"P1\">" +
                top + "</part><part id=\"P2\">" + own + "</part></score-partwise>",
            "test");
        REQUIRE(other);
        const auto faster = read_part(*other, 1, {});
        REQUIRE(faster);
        CHECK(faster->attacks.front().length_s == doctest::Approx(0.6));
        CHECK(faster->order == std::vector<int>{0, 1, 0});
    }

    TEST_CASE("what is not understood is passed over and counted") {
        const Part part = part_of(before_note(
            score_text("Horn in D", bars_text("C4 G4", kInD)), 1, "<sparkle colour=\"red\"/>"));
        CHECK(written(part) == "C4 G4");
        CHECK(part.music.skipped == 1);
    }

    TEST_CASE("parts are named by id, number or name") {
        const auto score = Score::load(test::kept_score("two_horns_b_flat_alto.mxl"));
        REQUIRE(score);
        CHECK(part_named(*score, "P9").value() == 1);
        CHECK(part_named(*score, "2").value() == 1);
        CHECK(part_named(*score, "horn 2").value() == 1);
        CHECK_FALSE(part_named(*score, "horn"));
        CHECK_FALSE(part_named(*score, "P77"));
    }

    TEST_CASE("real parts that stand in the tree") {
        const auto high = Score::load(test::kept_score("high_horn_in_d.mxl"));
        REQUIRE(high);
        const auto part = read_part(*high, 0);
        REQUIRE(part);
        CHECK(part->questions.empty());
        CHECK(part->crooks.front().crook.id == std::string("D"));
        CHECK(part->attacks.size() == 446);
        CHECK(part->tempo_said);
        const auto two = Score::load(test::kept_score("two_horns_b_flat_alto.mxl"));
        REQUIRE(two);
        for (const std::size_t i : {0U, 1U}) {
            const auto horn = read_part(*two, i);
            REQUIRE(horn);
            CHECK(horn->questions.empty());
            CHECK(horn->crooks.front().crook.id == std::string("Bb-alto"));
            // Printed C3 and C2 in old bass clef; the sibling's C2 proves it for both.
            CHECK(horn->attacks.front().written.number == (i == 0 ? 60 : 48));
        }
    }
}
