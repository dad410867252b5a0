#include "part/write/annotate.h"

#include "support/scores.h"
#include "support/temporary_folder.h"

#include <cstdlib>
#include <fstream>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::part;
using test::bars_text;
using test::score_text;

namespace {

const char* const kInF = "<transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose>";

std::string signs_in(const std::string& text, const AnnotateOptions& options = {}) {
    const auto score = Score::open(text, "file");
    REQUIRE(score);
    const auto part = read_part(*score, 0);
    REQUIRE(part);
    const auto plan = plan_part(*part, {});
    REQUIRE(plan);
    return annotated(*score, *part, *plan, options).value();
}

std::size_t count(const std::string& text, const std::string& what) {
    std::size_t found = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) {
        ++found;
    }
    return found;
}

std::string without(std::string text, const std::string& what) {
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what)) {
        text.erase(at, what.size());
    }
    return text;
}

} // namespace

TEST_SUITE("part/annotate") {
    TEST_CASE("a sign at every struck note, and everything else as it was") {
        const std::string text = score_text("Horn in F", bars_text("C4 Ab3 B3 -:q | C4:w", kInF));
        const std::string out = signs_in(text);
        CHECK(count(out, "<open-string/>") == 2);
        CHECK(count(out, "<stopped/>") == 1);
        CHECK(count(out, "<fingering placement=\"above\">½</fingering>") == 1);
        std::string plain =
            without(out, "<notations><technical><open-string/></technical></notations>");
        plain = without(plain, "<notations><technical><stopped/></technical></notations>");
        plain = without(plain,
                        "<notations><technical><fingering "
                        "placement=\"above\">½</fingering></technical></notations>");
        CHECK(plain == text);
    }

    TEST_CASE("signs are replaced, never doubled, and other notations stay") {
        std::string text = score_text("Horn in F", bars_text("C4 A3", kInF));
        const std::size_t end = text.find("</note>");
        text.insert(end,
                    "<notations><slur type=\"start\" "
                    "number=\"1\"/><technical><open-string/><tongue/></technical></notations>");
        const std::string once = signs_in(text, {true});
        CHECK(count(once, "<open-string/>") == 1);
        CHECK(count(once, "<tongue/>") == 1);
        CHECK(count(once, "<slur ") == 1);
        CHECK(count(once, ">p4<") == 2);
        CHECK(signs_in(once, {true}) == once);
        CHECK(count(signs_in(once), ">p4<") == 0);
    }

    TEST_CASE("a pin in the file is obeyed; one that cannot be is told") {
        std::string text = score_text("Horn in F", bars_text("A3 C4", kInF));
        text.insert(text.find("</note>"),
                    "<notations><technical><stopped/></technical></notations>");
        CHECK(count(signs_in(text), "<stopped/>") == 1);
        text.insert(text.find("</note>", text.find("</note>") + 1),
                    "<notations><technical><stopped/></technical></notations>");
        const auto score = Score::open(text, "file");
        const auto part = read_part(*score, 0);
        const auto plan = plan_part(*part, {});
        REQUIRE(plan);
        REQUIRE(plan->doubts.size() == 1);
        CHECK(plan->doubts.front().find("bar 1, note 2") != std::string::npos);
    }

    TEST_CASE("of two notes on a staff each gets its player's sign; words stand before both") {
        std::string text = score_text("Corni in F", bars_text("C4 E4", kInF));
        const std::size_t second = text.find("<note>", text.find("<note>") + 1);
        text.insert(second + 6, "<chord/>");
        const auto score = Score::open(text, "file");
        ReadOptions options;
        options.player = 1;
        const auto part = read_part(*score, 0, options);
        REQUIRE(part);
        const auto plan = plan_part(*part, {});
        const std::string out = annotated(*score, *part, *plan, {true}).value();
        CHECK(count(out, "<open-string/>") == 1);
        CHECK(out.find("<open-string/>") > out.find("<chord/>"));
        CHECK(out.find(">p5<") < out.find("<step>C"));
    }

    TEST_CASE("compressed and back; the other files of an archive stay") {
        const auto score = Score::load(test::kept_score("high_horn_in_d.mxl"));
        REQUIRE(score);
        const auto part = read_part(*score, 0);
        REQUIRE(part);
        const auto plan = plan_part(*part, {});
        REQUIRE(plan);
        const std::string text = annotated(*score, *part, *plan).value();
        const auto bytes = compressed(*score, text);
        REQUIRE(bytes);
        const auto again = Score::open(*bytes, "again");
        REQUIRE(again);
        const bool same = again->text() == text;
        CHECK(same);
        const bool same_bytes = compressed(*again, text).value() == *bytes;
        CHECK(same_bytes);
        const auto plain = Score::open(text, "plain");
        const bool same_new = Score::open(compressed(*plain, text).value(), "new")->text() == text;
        CHECK(same_new);
    }

    TEST_CASE("what is written is valid by the published schema of MusicXML 4.0") {
        const std::filesystem::path schema = test::shared_folder("musicxml");
        if (schema.empty() || std::system("xmllint --version > /dev/null 2>&1") != 0) {
            MESSAGE("skipped: no schema or no xmllint here");
            return;
        }
        const test::TemporaryFolder folder;
        // The schema imports two others from the network; here they lie beside it.
        std::ofstream(folder / "catalog.xml")
            << "<catalog xmlns=\"urn:oasis:names:tc:entity:xmlns:xml:catalog\">"
               "<system systemId=\"http://www.musicxml.org/xsd/xml.xsd\" uri=\""
            << (schema / "xml.xsd").string()
            << "\"/><system systemId=\"http://www.musicxml.org/xsd/xlink.xsd\" uri=\""
            << (schema / "xlink.xsd").string() << "\"/></catalog>";
        for (const char* const name : {"high_horn_in_d.mxl", "two_horns_b_flat_alto.mxl"}) {
            const auto score = Score::load(test::kept_score(name));
            REQUIRE(score);
            const auto part = read_part(*score, 0);
            REQUIRE(part);
            const auto plan = plan_part(*part, {});
            const auto file = folder / "annotated.musicxml";
            std::ofstream(file) << annotated(*score, *part, *plan, {true}).value();
            const std::string command = "XML_CATALOG_FILES=" + (folder / "catalog.xml").string() +
                                        " xmllint --nonet --noout --schema " +
                                        (schema / "musicxml.xsd").string() + " " + file.string() +
                                        " 2> " + (folder / "said").string();
            const bool valid = std::system(command.c_str()) == 0;
            std::ifstream said(folder / "said");
            CHECK_MESSAGE(valid, std::string(std::istreambuf_iterator<char>(said), {}));
        }
    }
}
