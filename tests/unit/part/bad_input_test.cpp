// Files from anybody: one sentence that names the file, or a part with what could be read.
#include "datafile/archive.h"
#include "part/part.h"
#include "part/plan/plan.h"
#include "support/scores.h"

#include <chrono>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::part;
using test::bars_text;
using test::score_text;

namespace {

/// The sentence for a file that cannot be opened or whose first part cannot be read; empty when both can.
std::string sentence_for(const std::string& bytes) {
    const auto score = Score::open(bytes, "file");
    const auto part = score ? read_part(*score, 0) : Result<Part>(tl::unexpected(score.error()));
    return part ? "" : part.error().message;
}

void refused(const std::string& bytes, const std::string& because) {
    const auto before = std::chrono::steady_clock::now();
    const std::string sentence = sentence_for(bytes);
    CAPTURE(sentence);
    CHECK(sentence.rfind("file", 0) == 0);
    CHECK(sentence.find(because) != std::string::npos);
    CHECK((!sentence.empty() && sentence.back() == '.'));
    CHECK(sentence.find('\n') == std::string::npos);
    CHECK(sentence.size() < 400);
    // Far from what is promised, so that a busy machine does not matter; tests/e2e/part_command.py measures.
    CHECK(std::chrono::steady_clock::now() - before < std::chrono::seconds(20));
}

std::string with(std::string text, const std::string& what, const std::string& instead) {
    const std::size_t at = text.find(what);
    REQUIRE(at != std::string::npos);
    return text.replace(at, what.size(), instead);
}

const char* const kInD = "<transpose><chromatic>-10</chromatic></transpose>";

} // namespace

TEST_SUITE("part/bad_input") {
    TEST_CASE("what is no score") {
        refused("", "no music");
        refused("hello", "no music");
        refused(std::string("\xFF\xFE"
                            "4\0<\0",
                            6),
                "no music"); // UTF-16, but not from its beginning
        refused("<html><body/></html>", "no MusicXML");
        refused("<score-partwise><part-list>", "line 1");
        refused("<score-partwise/>", "no part");
        refused(score_text("Horn in D", ""), "no notes");
        refused(score_text("Horn in D", bars_text("-:w | -:w", kInD)), "no notes");
        refused(with(score_text("Horn in D", bars_text("C4", kInD)),
                     "<part id=\"P1\">",
                     "<part id=\"P2\">"),
                "no music for it");
    }

    TEST_CASE("traps of XML") {
        std::string bomb = "<?xml version=\"1.0\"?><!DOCTYPE score-partwise [<!ENTITY a \"ha\">";
        for (char c = 'b'; c < 'k'; ++c) {
            bomb += std::string("<!ENTITY ") + c + " \"";
            for (int i = 0; i < 10; ++i) {
                bomb += std::string("&") + static_cast<char>(c - 1) + ";";
            }
            bomb += "\">";
        }
        refused(bomb + "]><score-partwise>&j;</score-partwise>", "entities");
        std::string nested;
        for (int i = 0; i < 100'000; ++i) {
            nested += "<measure>";
        }
        refused(score_text("Horn in D", nested), "line");
        for (int i = 0; i < 100'000; ++i) {
            nested += "</measure>";
        }
        refused(score_text("Horn in D", nested), "no notes");
        std::string flood;
        for (int i = 0; i < 3'000'000; ++i) {
            flood += "<a/>";
        }
        refused(score_text("Horn in D", flood), "elements");
        refused(std::string(41'000'000, ' '), "40 million");
    }

    TEST_CASE("times that make no sense") {
        const std::string good = score_text("Horn in D", bars_text("C4 G4 | C5:w", kInD));
        REQUIRE(sentence_for(good).empty());
        for (const char* const divisions : {"0", "-1", "1e300", "abc", "", "99999999", "nan"}) {
            CAPTURE(divisions);
            refused(with(good, "<divisions>2", std::string("<divisions>") + divisions), "bar 1");
        }
        for (const char* const duration : {"-2", "abc", "1e300", "inf", "999999999"}) {
            CAPTURE(duration);
            refused(with(good, "<duration>8", std::string("<duration>") + duration), "bar 2");
        }
        refused(with(good, "</measure>", "<backup><duration>100</duration></backup></measure>"),
                "bar 1");
        std::string long_bar;
        for (int i = 0; i < 20; ++i) {
            long_bar += "<forward><duration>8000</duration></forward>";
        }
        refused(with(good, "</measure>", long_bar + "</measure>"), "longer");
    }

    TEST_CASE("odd values are taken as far as they make sense") {
        const std::string good = score_text("Horn in D", bars_text("C4 G4 | C5:w", kInD));
        for (const auto& [what, instead] : std::vector<std::pair<std::string, std::string>>{
                 {"<octave>4", "<octave>99"},
                 {"<octave>4", "<octave>x"},
                 {"<step>C", "<step>?"},
                 {"<chromatic>-10", "<chromatic>-99999999999"},
                 {"<voice>1", "<voice>-7"},
                 {"<type>quarter", "<type>nothing"},
                 {"</attributes>",
                  "<time><beats>0</beats><beat-type>0</beat-type></time></attributes>"},
                 {"</attributes>",
                  "<time><beats>999999999+9</beats><beat-type>4</beat-type></time></attributes>"},
                 {"</attributes>",
                  "<clef><sign>X</sign><line>99</line><clef-octave-change>999</"
                  "clef-octave-change></clef></attributes>"},
                 {"</attributes>",
                  "<measure-style><multiple-rest>1000000000</multiple-rest></measure-style></"
                  "attributes>"},
                 {"</measure>",
                  "<barline><repeat direction=\"backward\" "
                  "times=\"1000000000\"/></barline></measure>"},
                 {"</measure>",
                  "<barline><ending number=\"7\" type=\"start\"/></barline></measure>"},
                 {"<measure number=\"1\"", "<measure number=\"\x1b[31m\""}}) {
            CAPTURE(instead);
            const auto score = Score::open(with(good, what, instead), "file");
            if (!score) { // the terminal code is no XML
                continue;
            }
            const auto part = read_part(*score, 0);
            REQUIRE(part);
            CHECK_FALSE(part->attacks.empty());
            if (part->questions.empty()) {
                CHECK(plan_part(*part, {}));
            }
        }
    }

    TEST_CASE("compressed scores that are none") {
        const auto packed = [](const std::string& name, const std::string& bytes) {
            return datafile::archive_bytes({{name, bytes}}).value();
        };
        refused(packed("a.txt", "x"), "without a score");
        refused(packed("../a.xml", "<a/>"), "outside its own folder");
        refused(packed("/a.xml", "<a/>"), "outside its own folder");
        refused(packed("a.xml", std::string(30'000'000, ' ')), "no honest file");
        refused(datafile::archive_bytes({{"META-INF/container.xml",
                                          "<container><rootfiles><rootfile full-path=\"../b.xml\"/>"
                                          "</rootfiles></container>"},
                                         {"a.xml", "<a/>"}})
                    .value(),
                "lacks");
        const std::string whole = packed("a.xml", score_text("Horn in D", bars_text("C4", kInD)));
        for (std::size_t i = 2; i < whole.size(); i += 3) {
            CHECK_FALSE(sentence_for(whole.substr(0, i)).empty());
        }
    }

    TEST_CASE("a text cut anywhere does no harm") {
        const std::string whole = score_text("Horn in D", bars_text("C4 G4 | C5:w", kInD));
        for (std::size_t i = 0; i < whole.size() - 20; ++i) {
            refused(whole.substr(0, i), "");
        }
    }
}
