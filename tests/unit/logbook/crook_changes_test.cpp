// What the crook-change drill leaves in the log.
#include "logbook/logbook.h"
#include "support/temporary_folder.h"

#include <doctest/doctest.h>

using namespace bellhand;
using logbook::CrookChangeRecord;
using logbook::Logbook;

namespace {

CrookChangeRecord played() {
    CrookChangeRecord change;
    change.number = 1;
    change.set_list = "An evening";
    change.item = "7";
    change.crook = "Eb";
    change.a4_hz = 430.0;
    change.temperature_c = 24.0;
    change.horn = "a horn";
    change.pieces_before = "long master";
    change.pieces_right = "short master + tone";
    change.slide_m = 0.012;
    change.stands = "wrong";
    change.off_cents = -98.5;
    change.off_sd_cents = 6.5;
    change.change_s = 9.4;
    change.estimate_s = 9.0;
    change.rest_s = 18.0;
    change.verdict = "Not in the key.";
    return change;
}

} // namespace

TEST_SUITE("logbook/crook_changes") {
    TEST_CASE("a change comes back as it was put in; a later one of its number replaces it") {
        const test::TemporaryFolder folder;
        auto log = Logbook::open(folder / "log.sqlite").value();
        const auto session = log->begin_session({}).value();
        CrookChangeRecord first;
        first.crook = "F";
        first.pieces_right = "long master";
        first.pieces_said = "long master";
        first.correct = true;
        REQUIRE(log->put_crook_change(session, first));
        REQUIRE(log->put_crook_change(session, first));
        REQUIRE(log->put_crook_change(session, played()));
        const auto changes = log->crook_changes(session).value();
        REQUIRE(changes.size() == 2);
        CHECK(changes[0].session == session);
        CHECK(changes[0].correct);
        CHECK(changes[0].pieces_said == "long master");
        CHECK_FALSE(changes[0].pieces_before.has_value());
        CHECK_FALSE(changes[0].stands.has_value());
        CHECK_FALSE(changes[0].rest_s.has_value());
        const CrookChangeRecord& second = changes[1];
        CHECK(second.number == 1);
        CHECK(second.set_list == "An evening");
        CHECK(second.item == "7");
        CHECK(second.a4_hz == 430.0);
        CHECK(second.temperature_c == 24.0);
        CHECK(second.horn == "a horn");
        CHECK(second.pieces_before == "long master");
        CHECK_FALSE(second.pieces_said.has_value());
        CHECK(second.slide_m == 0.012);
        CHECK(second.stands == "wrong");
        CHECK(second.off_cents == -98.5);
        CHECK(second.off_sd_cents == 6.5);
        CHECK(second.change_s == 9.4);
        CHECK(second.estimate_s == 9.0);
        CHECK(second.rest_s == 18.0);
        CHECK_FALSE(second.correct);
        CHECK(second.verdict == "Not in the key.");
    }

    TEST_CASE("one that is taken back is gone; those of a deleted drill are not counted") {
        const test::TemporaryFolder folder;
        auto log = Logbook::open(folder / "log.sqlite").value();
        const auto session = log->begin_session({}).value();
        const auto other = log->begin_session({}).value();
        REQUIRE(log->put_crook_change(session, {}));
        REQUIRE(log->put_crook_change(session, played()));
        REQUIRE(log->put_crook_change(other, {}));
        REQUIRE(log->remove_crook_change(session, 1));
        CHECK(log->crook_changes(session).value().size() == 1);
        CHECK(log->all_crook_changes(std::nullopt).value().size() == 2);
        REQUIRE(log->delete_session(other));
        CHECK(log->all_crook_changes(std::nullopt).value().size() == 1);
        CHECK_FALSE(log->crook_changes(other));
        REQUIRE(log->restore_session(other));
        CHECK(log->all_crook_changes(std::nullopt).value().size() == 2);
        CHECK(log->all_crook_changes(logbook::Days{0, 1}).value().empty()); // 1970
    }

    TEST_CASE("a change needs its session") {
        const test::TemporaryFolder folder;
        auto log = Logbook::open(folder / "log.sqlite").value();
        CHECK_FALSE(log->put_crook_change(99, {}));
    }
}
