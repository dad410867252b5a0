// Which of the five positions is heard, on modelled players whose seeds no constant was chosen on. All of it is modelled:
// no recording of a half-stopped horn was to be had.
#include "support/hand_trials.h"

#include <cmath>
#include <cstdlib>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

struct Count {
    int all = 0;
    int exact = 0;
    int near = 0; // within one step

    void add(int found, int truth) {
        ++all;
        exact += found == truth ? 1 : 0;
        near += std::abs(found - truth) <= 1 ? 1 : 0;
    }
    [[nodiscard]] double exact_percent() const { return 100.0 * exact / all; }
    [[nodiscard]] double near_percent() const { return 100.0 * near / all; }
};

/// What nobody can beat who knows the falls, the partial and the lips' spread, and hears the pitch alone: the nearest place.
int nearest_place(const test::HandTrial& trial) {
    int best = 0;
    for (int d = 1; d < hand::kDegrees; ++d) {
        if (std::fabs(trial.cents - trial.places[static_cast<std::size_t>(d)]) <
            std::fabs(trial.cents - trial.places[static_cast<std::size_t>(best)])) {
            best = d;
        }
    }
    return best;
}

std::vector<test::HandTrial> hear_players(int players, test::HandTrialPlan plan) {
    const std::uint64_t first = plan.seed;
    std::vector<test::HandTrial> out;
    for (int i = 0; i < players; ++i) {
        plan.seed = first + static_cast<std::uint64_t>(i);
        const auto one = test::hear_modelled_player(plan);
        out.insert(out.end(), one.begin(), one.end());
    }
    return out;
}

Count count(const std::vector<test::HandTrial>& trials, int last_partial = 24) {
    Count out;
    for (const test::HandTrial& trial : trials) {
        if (trial.partial <= last_partial) {
            const int found = static_cast<int>(trial.heard.degree);
            out.add(trial.heard.partial == trial.partial ? found : 99, trial.degree);
        }
    }
    return out;
}

/// Largest distance, in points, between confidence and the share that was right, over tenths of confidence that hold
/// at least `least` notes.
double worst_bin_points(const std::vector<test::HandTrial>& trials, int least) {
    struct Bin {
        int all = 0;
        int right = 0;
        double confidence = 0.0;
    };
    std::array<Bin, 10> bins;
    for (const test::HandTrial& trial : trials) {
        const double confidence = trial.heard.confidence;
        Bin& bin = bins[std::min<std::size_t>(9, static_cast<std::size_t>(10.0 * confidence))];
        ++bin.all;
        bin.confidence += confidence;
        bin.right += trial.heard.partial == trial.partial &&
                             static_cast<int>(trial.heard.degree) == trial.degree
                         ? 1
                         : 0;
    }
    double worst = 0.0;
    for (const Bin& bin : bins) {
        if (bin.all >= least) {
            const double off = 100.0 * (bin.right - bin.confidence) / bin.all;
            MESSAGE("confidence " << 100.0 * bin.confidence / bin.all << " %: right "
                                  << 100.0 * bin.right / bin.all << " % of " << bin.all);
            worst = std::max(worst, std::fabs(off));
        }
    }
    return worst;
}

} // namespace

TEST_SUITE("hand/positions") {
    TEST_CASE(
        "with a calibrated profile the five positions are told apart, and the confidence holds") {
        constexpr int kPlayers = 20;
        const auto trials = hear_players(kPlayers, {});
        const Count all = count(trials);
        const Count to_ten = count(trials, 10);
        Count by_pitch;
        for (const test::HandTrial& trial : trials) {
            by_pitch.add(nearest_place(trial), trial.degree);
        }
        MESSAGE("partials 3 to 12: exact " << all.exact_percent() << " %, within one step "
                                           << all.near_percent() << " % of " << all.all);
        MESSAGE("partials 3 to 10: exact " << to_ten.exact_percent() << " %, within one step "
                                           << to_ten.near_percent() << " %");
        MESSAGE("most that pitch alone allows, 3 to 12: exact "
                << by_pitch.exact_percent() << " %, within one step " << by_pitch.near_percent()
                << " %");
        // Over the partials that a hand is usually played on (common practice) the figures wanted, 85 and 99, are reached;
        // up to the twelfth the falls are so small against lips of 8 cents that pitch alone cannot.
        CHECK(to_ten.exact_percent() >= 87.0);
        CHECK(to_ten.near_percent() >= 99.2);
        CHECK(all.exact_percent() >= 82.0);
        CHECK(all.near_percent() >= 98.2);
        CHECK(all.exact_percent() > by_pitch.exact_percent());
        CHECK(all.near_percent() > by_pitch.near_percent());
        CHECK(worst_bin_points(trials, 150) <= 5.0);
    }

    TEST_CASE("the same on crooks far from F, printed for each") {
        for (const char* crook : {"D", "Bb-basso", "C-alto"}) {
            const auto trials = hear_players(6, {.last_partial = 10, .crook = crook});
            const Count known = count(trials);
            Count by_pitch;
            for (const test::HandTrial& trial : trials) {
                by_pitch.add(nearest_place(trial), trial.degree);
            }
            MESSAGE(std::string(crook)
                    << ", calibrated, partials 3 to 10: exact " << known.exact_percent()
                    << " %, within one step " << known.near_percent() << " % of " << known.all
                    << "; most that pitch alone allows: " << by_pitch.exact_percent() << " and "
                    << by_pitch.near_percent());
            // On C alto the upper falls are so small that pitch tells little; colour must add to it everywhere.
            CHECK(known.exact_percent() > by_pitch.exact_percent());
            // Where pitch alone misses one tone in a thousand, one more is chance.
            CHECK(known.near_percent() > by_pitch.near_percent() - 0.1);
            CHECK(known.near_percent() >= 95.0);
        }
    }

    TEST_CASE("with the modelled hand on horns and hands that differ from it, a wrong answer is "
              "not a sure one") {
        int sure = 0;
        int wrong = 0;
        for (const char* crook : {"F", "D", "Bb-basso", "C-alto"}) {
            const auto trials = hear_players(8,
                                             {.last_partial = 10,
                                              .own_open_notes = 0,
                                              .calibrated = false,
                                              .crook = crook,
                                              .other_bore = true});
            const Count all = count(trials);
            int sure_here = 0;
            for (const test::HandTrial& trial : trials) {
                const int found = static_cast<int>(trial.heard.degree);
                if (trial.heard.confidence >= 0.8) {
                    ++sure_here;
                    wrong +=
                        trial.heard.partial != trial.partial || std::abs(found - trial.degree) > 1
                            ? 1
                            : 0;
                }
            }
            sure += sure_here;
            MESSAGE(std::string(crook)
                    << ", modelled hand, another bore, no open notes before: exact "
                    << all.exact_percent() << " %, within one step " << all.near_percent()
                    << " % of " << all.all << "; sure of " << sure_here);
            CHECK(all.near_percent() >= 80.0);
        }
        MESSAGE("of " << sure << " sure ones (80 % and more) " << wrong
                      << " are off by more than a step");
        CHECK(wrong <= sure / 50);
    }

    TEST_CASE("the file of the modelled colour is what the modelled players give") {
        const auto kept = hand::load_hand_colour();
        REQUIRE(kept.has_value());
        const hand::HandColourModel made = test::learn_hand_colour();
        for (std::size_t d = 0; d < hand::kDegrees; ++d) {
            for (std::size_t t = 0; t < hand::kTraits; ++t) {
                CAPTURE(hand::trait_name(t));
                const auto& a = kept->shift[d][t];
                const auto& b = made.shift[d][t];
                CHECK(std::fabs(a.spread - b.spread) < 0.05);
                for (std::size_t i = 0; i < 3; ++i) {
                    CHECK(std::fabs(a.curve[i] - b.curve[i]) < 0.1);
                }
            }
        }
    }
}
