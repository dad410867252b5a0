#include "chart/text.h"

#include <cmath>
#include <set>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace bellhand;

namespace {

chart::Sheet sheet_for(const char* crook,
                       double a4_hz,
                       const char* temperament = "equal",
                       horn::BassClef clef = horn::BassClef::sounding_octave,
                       const char* key = nullptr) {
    const horn::Tuning tuning{
        *horn::parse_crook(crook), a4_hz, *horn::parse_temperament(temperament)};
    std::optional<horn::Scale> scale;
    if (key != nullptr) {
        scale = *horn::parse_scale(key);
    }
    return chart::make_sheet(tuning, horn::hand_response(tuning), clef, scale);
}

std::size_t column(const chart::Table& table, const char* name) {
    for (std::size_t i = 0; i < table.headings.size(); ++i) {
        if (std::string(table.headings[i].name) == name) {
            return i;
        }
    }
    FAIL("no column " << name);
    return 0;
}

} // namespace

TEST_SUITE("chart/text") {
    TEST_CASE("every way of every note is one row, every cell is there") {
        const auto sheet = sheet_for("D", 430);
        std::size_t ways = 0;
        for (const auto& note : sheet.notes) {
            ways += note.ways.size();
        }
        for (const chart::Table& table : {chart::full_table(sheet), chart::terminal_table(sheet)}) {
            CHECK(table.rows.size() == ways);
            for (const auto& row : table.rows) {
                CHECK(row.size() == table.headings.size());
            }
        }
    }

    TEST_CASE("target frequencies on the D crook at 430") {
        // Source: computed, f1 = 35.874 Hz (printed to 0.001), C4 is its fourth partial; written G5 sounds A4.
        const auto table = chart::full_table(sheet_for("D", 430));
        const std::size_t written = column(table, "written");
        const std::size_t target = column(table, "target_hz");
        for (const auto& row : table.rows) {
            if (row[written] == "G5") {
                CHECK(row[target] == "430.000");
            }
            if (row[written] == "C4") {
                CHECK(std::fabs(std::stod(row[target]) - 4 * 35.874) < 0.0025);
            }
        }
    }

    TEST_CASE("exactly one way a note is the usual one") {
        const auto table = chart::full_table(sheet_for("Bb-basso", 415, "vallotti"));
        std::multiset<std::string> usual;
        for (const auto& row : table.rows) {
            if (row[column(table, "usual")] == "yes") {
                usual.insert(row[column(table, "written")]);
            }
        }
        CHECK(usual.size() == horn::hand_chart().size());
        CHECK(std::set<std::string>(usual.begin(), usual.end()).size() == usual.size());
    }

    TEST_CASE("old notation moves the bass clef down an octave and leaves the treble clef alone") {
        const auto old_sheet =
            chart::full_table(sheet_for("F", 440, "equal", horn::BassClef::octave_lower));
        for (const auto& row : old_sheet.rows) {
            const auto written = *horn::parse_note(row[column(old_sheet, "written")]);
            const std::string& bass = row[column(old_sheet, "bass_clef")];
            if (written.number < 55) {
                CHECK(horn::parse_note(bass)->number == written.number - 12);
            } else {
                CHECK(bass.empty());
            }
        }
    }

    TEST_CASE("a sounding key becomes the key the player reads") {
        // Source: common practice, no source (D major on a horn in D is written C major).
        const auto written = [](const char* key, const char* crook) {
            return horn::scale_label(
                chart::written_key(*horn::parse_scale(key), *horn::parse_crook(crook)));
        };
        CHECK(written("D-major", "D") == "C major");
        CHECK(written("A-major", "D") == "G major");
        CHECK(written("G-minor", "Bb-alto") == "A minor");
        CHECK(written("F", "C-basso") == "F major");
        CHECK(written("Bb", "F") == "F major");
    }

    TEST_CASE("the JSON says the same as the table") {
        const auto sheet =
            sheet_for("Eb", 415, "werckmeister-3", horn::BassClef::octave_lower, "F-major");
        const auto json = nlohmann::json::parse(chart::sheet_json(sheet));
        CHECK(json["key_from_equal_cents"] == 0.0);
        CHECK(json["bass_clef"] == "old");
        CHECK(json["key"]["written"] == "F major");
        CHECK(json["key"]["octaves"].size() == sheet.octaves.size());
        REQUIRE(json["notes"].size() == sheet.notes.size());
        const auto table = chart::full_table(sheet);
        std::size_t row = 0;
        for (const auto& note : json["notes"]) {
            for (const auto& way : note["ways"]) {
                const auto& cells = table.rows[row++];
                CHECK(cells[column(table, "written")] == note["written"].get<std::string>());
                CHECK(cells[column(table, "partial")] == std::to_string(way["partial"].get<int>()));
                CHECK(cells[column(table, "hand")] == way["hand"].get<std::string>());
                CHECK(std::stod(cells[column(table, "lips_cents")]) ==
                      doctest::Approx(way["lips_cents"].get<double>()).epsilon(1e-9));
            }
        }
        CHECK(row == table.rows.size());
    }

    TEST_CASE("cents for people carry a sign, zero carries none") {
        CHECK(chart::signed_cents(13.7) == "+14");
        CHECK(chart::signed_cents(-101.96) == "−102");
        CHECK(chart::signed_cents(-0.4) == "0");
    }

    TEST_CASE("hand signs and words") {
        const auto usual = [](const char* name) {
            return horn::chart_entry(*horn::parse_note(name))->usual();
        };
        CHECK(chart::hand_signs(usual("A3")) == "¾–+");
        CHECK(chart::hand_signs(usual("C4")) == "o");
        CHECK(chart::hand_words(usual("Bb4")) == "open, hand drawn out");
        CHECK(chart::hand_words(usual("D3")) == "three-quarters to full stop, lipped, poor");
        CHECK(chart::sheet_title(sheet_for("Eb", 430.5, "vallotti")) ==
              "Horn in E♭, A4 = 430.5 Hz, Vallotti on E♭");
        CHECK(chart::sheet_title(sheet_for("F", 440)) ==
              "Horn in F, A4 = 440 Hz, equal temperament");
    }
}
