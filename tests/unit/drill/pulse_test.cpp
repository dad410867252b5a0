#include "drill/pulse.h"

#include "drill/click.h"

#include <cmath>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::drill;

namespace {

constexpr double kSlack_s = 0.08;

/// Quarters at these times; what is said of each.
std::vector<std::optional<double>> follow(Pulse& pulse, const std::vector<double>& starts_s) {
    std::vector<std::optional<double>> late;
    pulse.resume({0.0, starts_s[0]});
    for (std::size_t i = 1; i < starts_s.size(); ++i) {
        std::optional<Pulse::Onset> next;
        if (i + 1 < starts_s.size()) {
            next = Pulse::Onset{static_cast<double>(i + 1), starts_s[i + 1]};
        }
        late.push_back(pulse.follow({static_cast<double>(i), starts_s[i]}, next, kSlack_s));
    }
    return late;
}

int named(const std::vector<std::optional<double>>& late) {
    int count = 0;
    for (const auto& each : late) {
        count += each && std::fabs(*each) > kSlack_s ? 1 : 0;
    }
    return count;
}

Click counted_in() {
    Click click;
    for (int beat = 0; beat < 4; ++beat) {
        click.beat(0.6 * beat, false);
    }
    return click;
}

} // namespace

TEST_SUITE("drill/pulse") {
    TEST_CASE("another tempo than written is found and blames no note") {
        for (const double quarter_s : {0.42, 0.5, 0.6, 0.72, 0.85}) {
            Pulse pulse(0.6);
            std::vector<double> starts;
            for (int i = 0; i < 12; ++i) {
                starts.push_back(2.0 + i * quarter_s);
            }
            CHECK(named(follow(pulse, starts)) == 0);
            CHECK(pulse.quarter_s() == doctest::Approx(quarter_s).epsilon(0.02));
            CHECK(pulse.mean_quarter_s() == doctest::Approx(quarter_s).epsilon(0.01));
        }
    }

    TEST_CASE("one late note is one late note, whether the pulse goes on as before or from there") {
        for (const bool comes_back : {true, false}) {
            Pulse pulse(0.6);
            std::vector<double> starts;
            for (int i = 0; i < 12; ++i) {
                starts.push_back(i * 0.6 + (i == 6 || (i > 6 && !comes_back) ? 0.15 : 0.0));
            }
            const auto late = follow(pulse, starts);
            CHECK(named(late) == 1);
            REQUIRE(late[5]);
            CHECK(*late[5] == doctest::Approx(0.15).epsilon(0.05));
        }
    }

    TEST_CASE("a ritardando is no row of late notes") {
        Pulse pulse(0.6);
        std::vector<double> starts{0.0};
        for (int i = 0; i < 16; ++i) {
            starts.push_back(starts.back() + 0.6 * (i < 8 ? 1.0 : 1.0 + 0.05 * (i - 7)));
        }
        CHECK(named(follow(pulse, starts)) == 0);
    }

    TEST_CASE("after a stop the next note sets the phase and is not late") {
        Pulse pulse(0.6);
        (void)follow(pulse, {0.0, 0.6, 1.2, 1.8});
        CHECK_FALSE(pulse.follow({4.0, 7.0}, std::nullopt, kSlack_s));
        const auto late = pulse.follow({5.0, 7.6}, std::nullopt, kSlack_s);
        REQUIRE(late);
        CHECK(std::fabs(*late) < 0.01);
    }
}

TEST_SUITE("drill/pulse in a room") {
    TEST_CASE("a start that only the pitch told is passed over") {
        Pulse pulse(0.6);
        pulse.resume({0.0, 1.0});
        for (int i = 1; i < 12; ++i) {
            const bool unsure = i == 4;
            const auto late = pulse.follow(
                {static_cast<double>(i), 1.0 + 0.6 * i + (unsure ? 0.2 : 0.0), true, unsure},
                std::nullopt,
                kSlack_s);
            CHECK(late.has_value() == !unsure);
            CHECK(std::fabs(late.value_or(0.0)) < 0.01);
        }
        CHECK(pulse.mean_quarter_s() == doctest::Approx(0.6).epsilon(0.001));
    }

    TEST_CASE("a pulse that is lost says nothing until a note is in time") {
        // The first beginnings were misheard: a tempo was learnt that nobody plays.
        Pulse pulse(0.6);
        std::vector<double> starts{1.0, 1.35, 1.7, 2.05};
        for (int i = 1; i < 14; ++i) {
            starts.push_back(2.05 + 0.6 * i);
        }
        CHECK(named(follow(pulse, starts)) <= 1);
        CHECK(pulse.quarter_s() == doctest::Approx(0.6).epsilon(0.05));
        CHECK(pulse.known());
    }
}

TEST_SUITE("drill/click") {
    TEST_CASE("a constant lag is said once and then belongs to the player's own place") {
        for (const double lag_s : {0.12, 0.30, -0.09}) {
            Click click = counted_in();
            int said = 0;
            double behind_s = 0.0;
            for (int i = 0; i < 16; ++i) {
                behind_s = click.hear(i, 0.6 * (4 + i) + lag_s, 0.6, 4, i > 0);
                if (const auto remark = click.remark()) {
                    ++said;
                    CHECK(remark->kind == Remark::Kind::behind_click);
                    CHECK(remark->played == doctest::Approx(lag_s).epsilon(0.05));
                }
            }
            CHECK(said == 1);
            CHECK(std::fabs(behind_s) < 0.01);
        }
    }

    TEST_CASE("drifting away is another thing than a lag, and near the click nothing is said") {
        Click drifting = counted_in();
        Click near = counted_in();
        int said = 0;
        for (int i = 0; i < 16; ++i) {
            (void)drifting.hear(i, 0.6 * (4 + i) + 0.02 * i, 0.6, 4, i > 0);
            (void)near.hear(i, 0.6 * (4 + i) + 0.03, 0.6, 4, i > 0);
            CHECK_FALSE(near.remark());
            if (const auto remark = drifting.remark()) {
                ++said;
                CHECK(remark->kind == Remark::Kind::drifting);
                CHECK(remark->played > 0.0);
            }
        }
        CHECK(said == 1);
    }
}
