#include "progress/balance.h"

#include "core/calendar.h"

#include <doctest/doctest.h>

using namespace bellhand;
using logbook::BalanceRecord;

namespace {

BalanceRecord tone(const char* day, double wobble_cents, std::uint32_t told, std::uint32_t jolts) {
    BalanceRecord record;
    record.day = calendar::day_in(day).value();
    record.duration_s = 5.0;
    record.wobble_cents = wobble_cents;
    record.moves = record.told = told;
    record.jolts = jolts;
    return record;
}

} // namespace

TEST_SUITE("progress/balance") {
    TEST_CASE(
        "weeks begin on Monday: the median of their wobble, jolts among the changes that tell") {
        const auto weeks = progress::balance_weeks({tone("2026-11-29", 3.0, 4, 2), // a Sunday
                                                    tone("2026-11-30", 1.0, 2, 1),
                                                    tone("2026-12-01", 2.0, 0, 0),
                                                    tone("2026-12-06", 9.0, 1, 0)});
        REQUIRE(weeks.size() == 2);
        CHECK(calendar::iso_day(weeks[0].monday) == "2026-11-23");
        CHECK(weeks[0].tones == 1);
        CHECK(weeks[0].jolts == 2);
        CHECK(calendar::iso_day(weeks[1].monday) == "2026-11-30");
        CHECK(weeks[1].tones == 3);
        CHECK(weeks[1].wobble_cents == 2.0);
        CHECK(weeks[1].told == 3);
        CHECK(weeks[1].jolts == 1);
        CHECK(progress::balance_weeks({}).empty());
    }

    TEST_CASE("the player's own quiet tone: the median of long ones without a change of the hand") {
        const char* const day = "2026-11-30";
        CHECK_FALSE(progress::quiet_wobble({tone(day, 1.0, 0, 0), tone(day, 1.2, 0, 0)}));
        std::vector<BalanceRecord> records{
            tone(day, 1.0, 0, 0), tone(day, 9.0, 2, 0), tone(day, 1.4, 0, 0), tone(day, 1.2, 0, 0)};
        CHECK(progress::quiet_wobble(records).value_or(0.0) == 1.2);
        records[0].duration_s = 2.0; // no long tone
        CHECK_FALSE(progress::quiet_wobble(records));
    }
}
