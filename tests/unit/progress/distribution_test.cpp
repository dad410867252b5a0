#include "progress/distribution.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <random>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

logbook::Bins binned(const std::vector<double>& cents, double tolerance_cents) {
    std::map<int, logbook::Bin> bins;
    for (const double value : cents) {
        logbook::Bin& bin = bins[static_cast<int>(std::lround(value))];
        ++bin.notes;
        bin.in_tune += std::abs(value) <= tolerance_cents ? 1 : 0;
    }
    logbook::Bins out;
    for (auto& [at, bin] : bins) {
        bin.cents = at;
        out.push_back(bin);
    }
    return out;
}

} // namespace

TEST_SUITE("progress/distribution") {
    TEST_CASE("quantiles from bins lie within a cent of those of the values") {
        std::mt19937 random(3);
        for (const int count : {1, 2, 7, 100, 5000}) {
            std::normal_distribution<double> normal(-4.0, 9.0);
            std::vector<double> cents(static_cast<std::size_t>(count));
            for (double& value : cents) {
                value = normal(random);
            }
            const auto bins = binned(cents, 5.0);
            std::sort(cents.begin(), cents.end());
            for (const double share : {0.16, 0.5, 0.84}) {
                CAPTURE(count);
                CAPTURE(share);
                // Between two values any is a quantile: the nearer end counts.
                const double at = share * count;
                const auto below =
                    static_cast<std::size_t>(std::clamp(std::ceil(at) - 1.0, 0.0, count - 1.0));
                const auto above =
                    static_cast<std::size_t>(std::clamp(std::floor(at), 0.0, count - 1.0));
                const double got = progress::quantile_cents(bins, share);
                CHECK(got >= cents[below] - 1.0);
                CHECK(got <= cents[above] + 1.0);
            }
        }
    }

    TEST_CASE("figures of a set of notes") {
        const auto figures = progress::figures_of({{-10, 1, 0}, {0, 6, 6}, {3, 2, 2}, {20, 1, 0}});
        CHECK(figures.notes == 10);
        CHECK(figures.right_share == 0.8);
        CHECK(figures.median_cents == doctest::Approx(-0.5 + 4.0 / 6.0));
        CHECK(progress::figures_of({}).notes == 0);
        CHECK(progress::figures_of({}).median_cents == 0.0);
        // Source: the 84th percentile of a normal distribution lies 0.9945 standard deviations above its mean
        // (tables of the normal distribution, e.g. Abramowitz and Stegun 1964, 26.1).
        std::mt19937 random(11);
        std::normal_distribution<double> normal(0.0, 12.0);
        std::vector<double> cents(40000);
        for (double& value : cents) {
            value = normal(random);
        }
        CHECK(progress::figures_of(binned(cents, 10.0)).spread_cents ==
              doctest::Approx(0.9945 * 12.0).epsilon(0.02));
    }

    TEST_CASE("bins of two sets add up") {
        logbook::Bins sum{{-1, 2, 1}, {4, 1, 1}};
        progress::add_bins(sum, {{-3, 1, 0}, {-1, 5, 5}, {9, 1, 0}});
        REQUIRE(sum.size() == 4);
        CHECK(sum[0].cents == -3);
        CHECK(sum[1].notes == 7);
        CHECK(sum[1].in_tune == 6);
        CHECK(sum[3].cents == 9);
    }

    TEST_CASE("a share seen a few times is believed less") {
        // Source: score interval, Wilson 1927; worked by hand for 1 of 1 at z = 1: (1 + 1/2 - sqrt(1/4)) / 2 = 1/2, and
        // for 5 of 10: (0.5 + 0.05 - sqrt(0.025 + 0.0025)) / 1.1 = 0.34924.
        CHECK(progress::cautious_share(1, 1) == doctest::Approx(0.5));
        CHECK(progress::cautious_share(5, 10) == doctest::Approx(0.34924).epsilon(0.0001));
        CHECK(progress::cautious_share(0, 10) == doctest::Approx(0.0));
        CHECK(progress::cautious_share(0, 0) == 0.0);
        CHECK(progress::cautious_share(90, 100) > progress::cautious_share(9, 10));
        CHECK(progress::cautious_share(1, 1) < progress::cautious_share(80, 100));
    }
}
