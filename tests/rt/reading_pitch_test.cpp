#include "horn/crook_chart.h"
#include "horn/hand_chart.h"
#include "support/alloc_guard.h"

#include <doctest/doctest.h>

using namespace bellhand;

TEST_SUITE("rt/reading_pitch") {
    TEST_CASE("from the first reading on, naming a pitch allocates, locks and opens nothing") {
        if (!test::RealTimeScope::available()) {
            MESSAGE("skipped: a sanitizer counts allocations itself");
            return;
        }
        const horn::Tuning tuning{
            *horn::parse_crook("Eb"), 430.0, *horn::parse_temperament("vallotti")};
        const horn::HandResponse response = horn::hand_response(tuning);
        static_cast<void>(horn::read_pitch(200.0, tuning)); // computes the chart
        double sum = 0.0;
        std::optional<horn::Note> before;
        const test::RealTimeScope scope;
        for (double f0_hz = 20.0; f0_hz < 2000.0; f0_hz *= 1.003) {
            if (const auto reading = horn::read_pitch(f0_hz, tuning, before)) {
                before = reading->written;
                sum += reading->deviation_cents;
            }
            if (const auto reading = horn::read_against(f0_hz, tuning, {67, 0})) {
                sum += reading->deviation_cents;
            }
            sum += horn::response_at(response, 8, f0_hz / 2000.0);
            sum += horn::nearest_closure(
                response, 8, horn::Hand::open, horn::Hand::full, -f0_hz / 10.0);
        }
        const auto calls = scope.calls();
        CHECK(calls.total() == 0);
        CHECK(sum != 0.0);
    }
}
