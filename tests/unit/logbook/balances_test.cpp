// What the log keeps of how quietly the horn stayed.
#include "logbook/balances.h"

#include "logbook/logbook.h"
#include "support/temporary_folder.h"

#include <doctest/doctest.h>

using namespace bellhand;
using logbook::BalanceRecord;
using logbook::Logbook;

TEST_SUITE("logbook/balances") {
    TEST_CASE("a tone comes back as it was put in; a later one of its number replaces it; the bin "
              "hides it") {
        const test::TemporaryFolder folder;
        const auto log = Logbook::open(folder / "log.sqlite").value();
        CHECK_FALSE(logbook::put_balance(*log, 7, {}));
        const auto session = log->begin_session({}).value();
        BalanceRecord tone;
        tone.number = 3;
        tone.start_s = 12.5;
        tone.duration_s = 6.25;
        tone.crook = "Eb";
        tone.wobble_cents = 1.25;
        tone.drift_cents_per_s = -0.5;
        tone.moves = 3;
        tone.told = 2;
        tone.jolts = 1;
        tone.worst_cents = 7.5;
        REQUIRE(logbook::put_balance(*log, session, tone));
        tone.moves = 4;
        REQUIRE(logbook::put_balance(*log, session, tone));
        const auto all = logbook::balances(*log).value();
        REQUIRE(all.size() == 1);
        CHECK(all[0].session == session);
        CHECK(all[0].number == 3);
        CHECK(all[0].start_s == 12.5);
        CHECK(all[0].duration_s == 6.25);
        CHECK(all[0].crook == "Eb");
        CHECK(all[0].wobble_cents == 1.25);
        CHECK(all[0].drift_cents_per_s == -0.5);
        CHECK(all[0].moves == 4);
        CHECK(all[0].told == 2);
        CHECK(all[0].jolts == 1);
        CHECK(all[0].worst_cents == 7.5);
        REQUIRE(log->delete_session(session));
        CHECK(logbook::balances(*log).value().empty());
        REQUIRE(log->restore_session(session));
        CHECK(logbook::balances(*log).value().size() == 1);
    }
}
