#include "support/hand_trials.h"

#include "horn/crook.h"

#include <algorithm>
#include <cmath>

namespace bellhand::test {

namespace {

constexpr double kHop_s = 256.0 / 48000.0;
constexpr int kHops = 56; // 0.3 s
constexpr std::array<double, 3> kLevel_dbfs{-38.0, -28.0, -20.0};

/// A hand that closes to other gaps than the invented one, a little deeper or shallower, ever narrower all the same.
horn::acoustics::HandHabit some_hand(Random& random) {
    horn::acoustics::HandHabit habit;
    const double all = std::exp(0.10 * random.gauss());
    double wider = 1.0;
    for (double& gap_m : habit.gap_radius_m) {
        gap_m = std::min(gap_m * all * std::exp(0.06 * random.gauss()), 0.9 * wider);
        wider = gap_m;
    }
    habit.depth_m += 0.012 * random.gauss();
    habit.length_m += 0.010 * random.gauss();
    return habit;
}

horn::Tuning some_crook(Random& random, const char* chosen) {
    constexpr std::array<const char*, 6> kCrooks{"D", "Eb", "E", "F", "G", "A"};
    const char* const drawn = kCrooks[random.below(kCrooks.size())];
    horn::Tuning tuning;
    tuning.crook = *horn::parse_crook(chosen != nullptr ? chosen : drawn);
    return tuning;
}

/// A horn that is not the one of the program's table; its body a little short, so that it carries C alto.
horn::acoustics::HornShape some_horn(Random& random) {
    horn::acoustics::HornShape shape;
    shape.body_length_m -= 0.1;
    shape.bell_exponent += 0.06 * random.gauss();
    shape.rim_radius_m *= std::exp(0.03 * random.gauss());
    const double tube = std::exp(0.02 * random.gauss());
    shape.tube_radius_m *= tube;
    shape.first_cone_end_radius_m *= tube * tube;
    shape.throat_of_bell_radius_m *= tube * tube * tube;
    return shape;
}

Microphone some_microphone(Random& random) {
    Microphone out;
    out.tilt_db_per_octave = random.gauss();
    out.low_corner_hz = random.between(30.0, 140.0);
    out.bump_hz = std::exp(random.between(std::log(250.0), std::log(3000.0)));
    out.bump_db = 3.0 * random.gauss();
    return out;
}

/// Plays to one ear, note after note.
class Stage {
public:
    Stage(const ModelledPlayer& player,
          const horn::Tuning& tuning,
          const Microphone& microphone,
          hand::HandEar& ear)
        : player_(player),
          f1_hz_(horn::fundamental_hz(tuning)),
          tuning_(tuning),
          microphone_(microphone),
          ear_(ear) {}

    /// What was heard, with the note's traits against the open notes before it.
    struct Played {
        hand::NoteHand note;
        hand::OwnColour own;
        double f0_hz = 0.0;
    };
    Played play(int partial, double closure, double lip_cents, Blown blown, Random& random) {
        const auto tone = player_.play(partial, closure, lip_cents, blown, microphone_);
        time_s_ += 1.0; // a rest: no slur leads over
        const double start_s = time_s_;
        const double level = kLevel_dbfs[static_cast<std::size_t>(blown)] + 2.0 * random.gauss();
        hand::Colour colour;
        for (int i = 0; i < kHops; ++i) {
            time_s_ += kHop_s;
            auto frame = frame_of(tone, time_s_, level);
            frame.onset = i == 0;
            (void)ear_.hear(frame);
            colour = hand::colour_of(frame, {});
        }
        last_cents_ = 1200.0 * std::log2(tone.f0_hz / f1_hz_);
        const horn::Note written =
            closure == 0.0 ? horn::nearest_written(partial) : nearest(last_cents_);
        const double target_hz = horn::target_hz(written, tuning_);
        const hand::OwnColour own = ear_.reference().own_colour(colour, model_);
        return {ear_.note({start_s,
                           time_s_ - start_s,
                           tone.f0_hz,
                           1200.0 * std::log2(tone.f0_hz / target_hz),
                           target_hz,
                           8.0,
                           written}),
                own,
                tone.f0_hz};
    }
    [[nodiscard]] double last_cents() const { return last_cents_; }

private:
    static horn::Note nearest(double cents) {
        return horn::usual_spelling(horn::nearest_written(1).number +
                                    static_cast<int>(std::lround(cents / 100.0)));
    }

    const ModelledPlayer& player_;
    double f1_hz_;
    horn::Tuning tuning_;
    Microphone microphone_;
    hand::HandEar& ear_;
    double time_s_ = 0.0;
    double last_cents_ = 0.0;
    hand::TimbreModel model_ = *hand::load_timbre_model();
};

/// Cramer's rule.
std::array<double, 3> solved(const std::array<std::array<double, 3>, 3>& m,
                             const std::array<double, 3>& right) {
    const auto determinant = [](const std::array<std::array<double, 3>, 3>& a) {
        return a[0][0] * (a[1][1] * a[2][2] - a[1][2] * a[2][1]) -
               a[0][1] * (a[1][0] * a[2][2] - a[1][2] * a[2][0]) +
               a[0][2] * (a[1][0] * a[2][1] - a[1][1] * a[2][0]);
    };
    std::array<double, 3> out{};
    for (std::size_t column = 0; column < 3; ++column) {
        auto replaced = m;
        for (std::size_t row = 0; row < 3; ++row) {
            replaced[row][column] = right[row];
        }
        out[column] = determinant(replaced) / determinant(m);
    }
    return out;
}

} // namespace

std::vector<HandTrial> hear_modelled_player(const HandTrialPlan& plan) {
    Random random(plan.seed);
    const horn::Tuning tuning = some_crook(random, plan.crook);
    const auto hand = some_hand(random);
    const ModelledPlayer player(
        tuning, hand, plan.other_bore ? some_horn(random) : horn::acoustics::HornShape{});
    const auto place = [&](int partial, int degree) {
        return 1200.0 * std::log2(partial) +
               horn::response_at(player.response(), partial, 0.25 * degree);
    };
    std::vector<HandTrial> out;
    for (int microphone = 0; microphone < 2; ++microphone) {
        hand::HandEar ear;
        ear.set_horn(plan.calibrated ? player.response() : horn::hand_response(tuning),
                     plan.calibrated ? hand::calibrated_trust() : hand::modelled_trust(),
                     horn::fundamental_hz(tuning));
        Stage stage(player, tuning, some_microphone(random), ear);
        for (int i = 0; i < plan.own_open_notes; ++i) {
            const int partial = 2 + static_cast<int>(random.below(11));
            const auto blown = static_cast<Blown>(random.below(3));
            (void)stage.play(partial, 0.0, plan.lip_sd_cents * random.gauss(), blown, random);
        }
        for (int partial = plan.first_partial; partial <= plan.last_partial; ++partial) {
            for (int degree = 0; degree < hand::kDegrees; ++degree) {
                for (const Blown blown : {Blown::soft, Blown::middling, Blown::loud}) {
                    const double lip_cents = plan.lip_sd_cents * random.gauss();
                    const auto played =
                        stage.play(partial, 0.25 * degree, lip_cents, blown, random);
                    HandTrial trial{partial,
                                    degree,
                                    blown,
                                    stage.last_cents(),
                                    {},
                                    played.note.estimate.position,
                                    played.f0_hz,
                                    played.own};
                    for (int d = 0; d < hand::kDegrees; ++d) {
                        trial.places[static_cast<std::size_t>(d)] = place(partial, d);
                    }
                    out.push_back(trial);
                }
            }
        }
    }
    return out;
}

hand::HandColourModel learn_hand_colour() {
    constexpr std::uint64_t kPlayers = 12;
    struct Sums {
        std::array<std::array<double, 3>, 3> matrix{};
        std::array<double, 3> right{};
        double square = 0.0;
        int count = 0;
    };
    hand::HandColourModel model;
    std::array<std::array<Sums, hand::kTraits>, hand::kDegrees> sums{};
    for (std::uint64_t player = 0; player < kPlayers; ++player) {
        for (const HandTrial& trial : hear_modelled_player({.seed = kTuningSeed + player})) {
            const double o = std::log2(trial.f0_hz / model.reference_hz);
            const std::array<double, 3> x{1.0, o, o * o};
            for (std::size_t t = 0; t < hand::kTraits; ++t) {
                if (!trial.own.known[t]) {
                    continue;
                }
                Sums& s = sums[static_cast<std::size_t>(trial.degree)][t];
                ++s.count;
                s.square += trial.own.off[t] * trial.own.off[t];
                for (std::size_t i = 0; i < 3; ++i) {
                    s.right[i] += x[i] * trial.own.off[t];
                    for (std::size_t j = 0; j < 3; ++j) {
                        s.matrix[i][j] += x[i] * x[j];
                    }
                }
            }
        }
    }
    for (std::size_t d = 0; d < hand::kDegrees; ++d) {
        for (std::size_t t = 0; t < hand::kTraits; ++t) {
            const Sums& s = sums[d][t];
            auto& shift = model.shift[d][t];
            shift.curve = solved(s.matrix, s.right);
            double explained = 0.0;
            for (std::size_t i = 0; i < 3; ++i) {
                explained += shift.curve[i] * s.right[i];
            }
            shift.spread = std::sqrt(std::max(0.01, (s.square - explained) / s.count));
        }
    }
    return model;
}

} // namespace bellhand::test
