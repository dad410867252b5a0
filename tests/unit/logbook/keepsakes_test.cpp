#include "logbook/logbook.h"
#include "support/temporary_folder.h"

#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using logbook::Logbook;

TEST_SUITE("logbook/keepsakes") {
    TEST_CASE("skill rows: notes and transitions, replaced in place") {
        const test::TemporaryFolder folder;
        const auto log = Logbook::open(folder / "log.sqlite").value();
        logbook::SkillRow note;
        note.crook = -7;
        note.written = 70;
        note.hand = horn::Hand::half;
        note.values = {1.5, -2.25, 0, 0, 0, 0, 0, 9};
        note.updated_s = 1.7e9;
        logbook::SkillRow transition = note;
        transition.from_written = 67;
        transition.from_hand = horn::Hand::open;
        const std::vector<logbook::SkillRow> rows{note, transition};
        REQUIRE(log->put_skill(rows));
        transition.values[0] = 7.0;
        REQUIRE(log->put_skill(std::vector{transition}));
        const auto got = log->skill().value();
        REQUIRE(got.size() == 2);
        CHECK_FALSE(got[0].from_written.has_value());
        CHECK(got[0].values == note.values);
        CHECK(got[0].hand == horn::Hand::half);
        CHECK(got[1].from_written == 67);
        CHECK(got[1].values[0] == 7.0);
        CHECK(got[1].updated_s == 1.7e9);
    }

    TEST_CASE("homework and settings") {
        const test::TemporaryFolder folder;
        const auto log = Logbook::open(folder / "log.sqlite").value();
        logbook::HomeworkRecord homework;
        homework.id = "week-7";
        homework.title = "Stopped notes";
        homework.file_hash = "abc";
        homework.due_on = "2026-12-01";
        homework.content = "{}";
        REQUIRE(log->put_homework(homework));
        homework.returned_at = "2026-11-26T10:00:00Z";
        REQUIRE(log->put_homework(homework));
        const auto all = log->homework().value();
        REQUIRE(all.size() == 1);
        CHECK(all[0].title == "Stopped notes");
        CHECK(all[0].received_at.size() == 20);
        CHECK(all[0].returned_at == homework.returned_at);
        CHECK(all[0].content == "{}");
        REQUIRE(log->remove_homework("week-7"));
        CHECK(log->homework().value().empty());

        CHECK_FALSE(log->setting("takes_budget_bytes").value().has_value());
        REQUIRE(log->put_setting("takes_budget_bytes", "1000000"));
        REQUIRE(log->put_setting("takes_budget_bytes", "2000000"));
        CHECK(log->setting("takes_budget_bytes").value() == "2000000");
    }
}
