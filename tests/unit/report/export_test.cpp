#include "report/export.h"

#include "support/practised_week.h"
#include "support/temporary_folder.h"

#include <algorithm>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace bellhand;
using report::Table;

namespace {

struct Log {
    test::TemporaryFolder folder;
    std::unique_ptr<logbook::Logbook> book = logbook::Logbook::open(folder / "log.sqlite").value();
    explicit Log(const std::string& words = "") { test::practise_a_week(*book, words); }

    std::string csv(Table table, std::optional<std::int64_t> session = std::nullopt) {
        std::string out;
        REQUIRE(
            report::export_csv(*book, table, session, [&](std::string_view text) { out += text; }));
        return out;
    }
    nlohmann::json json(std::optional<std::int64_t> session = std::nullopt) {
        std::string out;
        REQUIRE(report::export_json(*book, session, [&](std::string_view text) { out += text; }));
        auto whole = nlohmann::json::parse(out);
        CHECK(whole["format"] == "bellhand-log");
        CHECK(whole["version"] == 2);
        return whole["answer"];
    }
};

std::size_t lines(const std::string& text) {
    return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

std::string first_line(const std::string& text) {
    return text.substr(0, text.find('\n'));
}

} // namespace

TEST_SUITE("report/export") {
    TEST_CASE("the columns are a contract") {
        Log log;
        CHECK(first_line(log.csv(Table::sessions)) ==
              "session,started_at,duration_s,notes,input,crook,a4_hz,temperament,closed,"
              "root,anchor,enharmonic");
        CHECK(
            first_line(log.csv(Table::blocks)) ==
            "session,block,exercise,title,why,crook,a4_hz,temperament,start_s,planned_s,duration_s,"
            "planned_rest_s,rest_s,homework,homework_part,finished,steps,good_steps,root,anchor,"
            "enharmonic");
        CHECK(
            first_line(log.csv(Table::notes)) ==
            "session,note,start_s,duration_s,crook,a4_hz,temperament,written,partial,hand,f0_hz,"
            "target_hz,deviation_cents,spread_cents,attack_cents,level_dbfs,tolerance_cents,in_"
            "tune,"
            "finished,heard_hand,closure,closure_low,closure_high,hand_confidence,advice,hand_"
            "cents,"
            "lips_cents,advice_confidence,match_loudness_db,match_octaves,uneven_db,unsteady_cents,"
            "drift_cents_per_s,tremor_cents,tremor_hz,sway,root,anchor,enharmonic,known_within_"
            "cents");
        CHECK(first_line(log.csv(Table::steps)) ==
              "session,block,number,step,pass,asked,asked_hand,note,held_cents,attack_cents,"
              "tolerance_cents,timing_s,level_db,good,faults,part,extra");
        CHECK(first_line(log.csv(Table::takes)) ==
              "session,take,block,file,start_s,duration_s,bytes,kept,why");
        CHECK(first_line(log.csv(Table::comments)) ==
              "session,comment,take,note,who,at_s,written_at,text");
        CHECK(first_line(log.csv(Table::crook_changes)) ==
              "session,number,set_list,item,crook,a4_hz,temperature_c,horn,pieces_before,"
              "pieces_right,pieces_said,slide_m,stands,off_cents,off_sd_cents,change_s,estimate_s,"
              "rest_s,right,verdict");
    }

    TEST_CASE(
        "CSV and JSON tell the same, without the bin; a row has as many cells as its header") {
        Log log;
        const auto all = log.json();
        CHECK(all["sessions"].size() == 5);
        CHECK(all["notes"].size() == 60 + 160 + 240 + 200 + 180);
        CHECK(all["steps"].size() == all["notes"].size());
        CHECK(all["takes"].size() == 1);
        CHECK(all["comments"].size() == 2);
        for (const Table table : report::all_tables()) {
            CAPTURE(report::table_id(table));
            const std::string csv = log.csv(table);
            const auto& rows = all[report::table_id(table)];
            CHECK(lines(csv) == rows.size() + 1);
            for (const auto& row : rows) {
                REQUIRE(row.size() == report::columns_of(table).size());
            }
        }
        // A cell of each kind, in both.
        const auto& note = all["notes"][0];
        CHECK(note["written"] == "C4");
        CHECK(note["finished"] == true);
        CHECK(note["closure"].is_null());
        CHECK(note["duration_s"] == 1.1);
        CHECK(log.csv(Table::notes).find(",C4,4,open,") != std::string::npos);
        CHECK(all["steps"][3]["faults"].is_string());
    }

    TEST_CASE("one session alone; none that is not there or lies in the bin") {
        Log log;
        CHECK(lines(log.csv(Table::notes, 2)) == 161);
        CHECK(log.json(4)["takes"].size() == 1);
        for (const std::int64_t session : {std::int64_t{6}, std::int64_t{99}}) {
            CHECK_FALSE(
                report::export_csv(*log.book, Table::notes, session, [](std::string_view) {}));
            CHECK_FALSE(report::export_json(*log.book, session, [](std::string_view) {}));
        }
    }

    TEST_CASE("text of any kind survives, and is no formula") {
        Log log(",\"a\"\nb;\xff");
        CHECK(log.csv(Table::comments).find("today.,\"\"a\"\"\nb;\xff\"") != std::string::npos);
        CHECK(log.json()["comments"].size() == 2);
        logbook::CommentRecord comment;
        comment.session = 1;
        comment.text = "=1+1";
        REQUIRE(log.book->add_comment(comment));
        CHECK(log.csv(Table::comments, 1).find(",'=1+1\n") != std::string::npos);
        CHECK(log.json(1)["comments"][0]["text"] == "=1+1");
    }

    TEST_CASE("tables are found by name") {
        for (const Table table : report::all_tables()) {
            CHECK(report::parse_table(report::table_id(table)).value() == table);
        }
        CHECK_FALSE(report::parse_table("everything"));
    }
}
