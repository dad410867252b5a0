#pragma once

#include "instrument/calibration/calibration.h"
#include "instrument/least_squares.h"
#include "instrument/planner/assembly.h"
#include "support/horn_coverage.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <random>
#include <stdexcept>

// A horn whose truth is known, and how it was measured.
namespace bellhand::test {

/// Dry air by the square-root law; the estimator uses humid air by another formula.
inline double own_speed_m_s(double temperature_c) {
    return 331.3 * std::sqrt(1.0 + temperature_c / 273.15);
}

class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}

    double between(double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(engine_);
    }
    int whole(int low, int high) { return std::uniform_int_distribution<int>(low, high)(engine_); }
    bool chance(double share) { return between(0.0, 1.0) < share; }
    double normal() { return normal_(engine_); }
    /// Heavier tails than the normal, standard deviation 1.
    double student5() {
        return std::student_t_distribution<double>(5.0)(engine_) / std::sqrt(5.0 / 3.0);
    }

private:
    std::mt19937_64 engine_;
    std::normal_distribution<double> normal_;
};

/// How one horn's partials stray from n f1: two slow waves over the logarithm of frequency and a little of each alone.
class Offsets {
public:
    explicit Offsets(Dice& dice) : rms_cents(dice.between(3.5, 8.5)), dice_(dice) {
        for (Wave& wave : waves_) {
            wave = {dice.between(0.4, 1.6), dice.between(0.0, 6.2831853)};
        }
    }

    double rms_cents;

    /// Of all partials of one assembly; zero on the mean of those that horns are tuned by.
    std::map<int, double> of_assembly(double f1_hz) {
        std::map<int, double> cents;
        double mean = 0.0;
        for (int n = 2; n <= 16; ++n) {
            double sum = 0.0;
            for (const Wave& wave : waves_) {
                sum += std::sin(6.2831853 * wave.per_octave * std::log2(n * f1_hz) + wave.phase);
            }
            cents[n] = rms_cents * (0.85 * sum + 0.53 * 1.7320508 * dice_.between(-1.0, 1.0));
        }
        for (const int n : {4, 5, 6, 8, 9, 10, 12}) {
            mean += cents[n] / 7.0;
        }
        for (auto& [n, value] : cents) {
            value -= mean;
        }
        return cents;
    }

private:
    struct Wave {
        double per_octave = 1.0;
        double phase = 0.0;
    };
    Wave waves_[2];
    Dice& dice_;
};

/// A horn with its truth: acoustic lengths in metres.
class InventedHorn {
public:
    InventedHorn(Measured measured, Dice& dice)
        : dice_(dice),
          measured_(measured),
          offsets_(dice),
          aim_cents_(2.5 * std::exp(0.5 * dice.normal())),
          tube_factor_(dice.between(0.955, 0.99)) {
        make_body();
        make_pieces();
        if (measured != Measured::tape_only) {
            play_all();
        }
        if (measured == Measured::one_wrong) {
            spoil_one();
        }
    }

    instrument::Profile profile;

    [[nodiscard]] double true_m(const instrument::Stack& stack) const {
        double sum_m = body_m_ + crooks_m_.at(static_cast<std::size_t>(stack.crook));
        for (std::size_t i = 0; i < between_m_.size(); ++i) {
            sum_m += ((stack.between >> i) & 1U) != 0 ? between_m_[i] : 0.0;
        }
        return sum_m;
    }

    [[nodiscard]] instrument::Stack random_stack() {
        instrument::Stack stack{dice_.whole(0, static_cast<int>(crooks_m_.size()) - 1), 0};
        for (int i = dice_.whole(0, 3); i > 0; --i) {
            stack.between |= instrument::PieceSet{1}
                             << dice_.whole(0, static_cast<int>(between_m_.size()) - 1);
        }
        return stack;
    }

    /// Generalised least squares with every variance as it was drawn.
    [[nodiscard]] instrument::Settled told() const {
        using instrument::Statement;
        using instrument::sum_is;
        const std::size_t n = 1 + crooks_m_.size() + between_m_.size();
        std::size_t unknowns = n + 1; // the last: how far the tube factor is off its middle
        std::vector<Statement> all{sum_is({n}, 0.0, 0.0101)};
        const double body_m = (*profile.body.length_m + 0.07) / 0.96;
        all.push_back(sum_is({0}, body_m, 0.018 * body_m));
        std::map<std::pair<std::size_t, int>, std::size_t> offsets;
        const auto add_piece = [&](const instrument::Piece& piece, std::size_t unknown) {
            const double tape_m = *piece.length_m / 0.9725;
            Statement tape = sum_is({unknown}, tape_m, std::hypot(0.0115 * tape_m, 0.0017));
            tape.of.push_back({n, -tape_m});
            all.push_back(tape);
        };
        for (std::size_t i = 0; i < crooks_m_.size(); ++i) {
            add_piece(profile.crooks[i], 1 + i);
        }
        for (std::size_t i = 0; i < between_m_.size(); ++i) {
            add_piece(between(i), 1 + crooks_m_.size() + i);
        }
        for (const Heard& heard : heard_) {
            if (heard.wrong) {
                continue;
            }
            const double length_m = own_speed_m_s(heard.told_c) / (2.0 * heard.hz / heard.partial);
            const double per_cent = length_m * 0.6931472 / 1200.0;
            const auto [place, fresh] =
                offsets.try_emplace({heard.assembly, heard.partial}, unknowns);
            if (fresh) {
                all.push_back(sum_is({unknowns++}, 0.0, 0.93 * offsets_.rms_cents));
            }
            Statement statement{{}, length_m, std::hypot(aim_cents_, 0.9) * per_cent};
            for (const std::size_t unknown : heard.of) {
                statement.of.push_back({unknown, 1.0});
            }
            statement.of.push_back({place->second, -per_cent});
            all.push_back(statement);
        }
        return instrument::solve(unknowns, all);
    }

private:
    struct Heard {
        std::vector<std::size_t> of;
        std::size_t assembly = 0;
        int partial = 4;
        double hz = 0.0;
        double told_c = 20.0;
        bool wrong = false;
    };

    [[nodiscard]] const instrument::Piece& between(std::size_t i) const {
        return i < profile.couplers.size() ? profile.couplers[i]
                                           : profile.bits[i - profile.couplers.size()];
    }
    instrument::Piece& between(std::size_t i) {
        return i < profile.couplers.size() ? profile.couplers[i]
                                           : profile.bits[i - profile.couplers.size()];
    }

    void make_body() {
        profile.name = "invented";
        body_m_ = dice_.between(2.35, 2.55);
        profile.body.length_m = body_m_ * dice_.between(0.93, 0.99) - 0.07;
        profile.mouthpiece.length_m = 0.07;
    }

    double taped(double acoustic_m) {
        return acoustic_m * tube_factor_ * (1.0 + dice_.between(-0.02, 0.02)) +
               dice_.between(-0.003, 0.003);
    }

    instrument::Piece make_piece(instrument::PieceKind kind, const std::string& name, double m) {
        instrument::Piece piece;
        piece.kind = kind;
        piece.name = name;
        piece.takes_couplers = kind == instrument::PieceKind::master_crook;
        piece.length_m = taped(m);
        return piece;
    }

    void make_pieces() {
        using instrument::PieceKind;
        for (int i = dice_.whole(2, 4); i > 0; --i) {
            crooks_m_.push_back(dice_.between(0.3, 2.0));
            profile.crooks.push_back(make_piece(
                PieceKind::master_crook, "crook " + std::to_string(i), crooks_m_.back()));
        }
        for (int i = dice_.whole(2, 5); i > 0; --i) {
            between_m_.push_back(dice_.between(0.1, 0.8));
            profile.couplers.push_back(
                make_piece(PieceKind::coupler, "coupler " + std::to_string(i), between_m_.back()));
        }
        for (int i = dice_.whole(0, 2); i > 0; --i) {
            between_m_.push_back(dice_.between(0.02, 0.08));
            profile.bits.push_back(
                make_piece(PieceKind::tuning_bit, "bit " + std::to_string(i), between_m_.back()));
        }
    }

    void play_all() {
        for (std::size_t crook = 0; crook < crooks_m_.size(); ++crook) {
            play({static_cast<int>(crook), 0}, profile.crooks[crook], dice_.whole(1, 3));
        }
        for (std::size_t i = 0; i < between_m_.size(); ++i) {
            if (dice_.chance(0.75)) {
                const int crook = dice_.whole(0, static_cast<int>(crooks_m_.size()) - 1);
                play({crook, instrument::PieceSet{1} << i}, between(i), dice_.whole(1, 2));
            }
        }
    }

    void play(const instrument::Stack& stack, instrument::Piece& owner, int partials) {
        const double temperature_c = dice_.between(15.0, 27.0);
        const double f1_hz = own_speed_m_s(temperature_c) / (2.0 * true_m(stack));
        const auto offsets = offsets_.of_assembly(f1_hz);
        const std::size_t assembly = assemblies_++;
        for (int k = 0; k < partials; ++k) {
            constexpr int kUsual[]{4, 5, 6, 8, 9, 10, 12, 3, 7};
            const int partial =
                kUsual[static_cast<std::size_t>((7 * k + static_cast<int>(assembly) * 4) % 9)];
            const int times = repeated() ? dice_.whole(2, 5) : 1;
            for (int i = 0; i < times; ++i) {
                const double cents = offsets.at(partial) + aim_cents_ * dice_.student5();
                instrument::PitchMeasurement pitch;
                pitch.partial = partial;
                pitch.hz = partial * f1_hz * std::exp2(cents / 1200.0);
                pitch.temperature_c = temperature_c + dice_.between(-0.5, 0.5);
                Heard heard{{0, 1 + static_cast<std::size_t>(stack.crook)},
                            assembly,
                            partial,
                            pitch.hz,
                            *pitch.temperature_c,
                            false};
                for (std::size_t b = 0; b < between_m_.size(); ++b) {
                    if (((stack.between >> b) & 1U) != 0) {
                        heard.of.push_back(1 + crooks_m_.size() + b);
                        pitch.with = {profile.crooks[static_cast<std::size_t>(stack.crook)].name};
                    }
                }
                owners_.push_back({&owner == &profile.crooks[static_cast<std::size_t>(stack.crook)],
                                   owner.name,
                                   owner.pitches.size()});
                owner.pitches.push_back(pitch);
                heard_.push_back(heard);
            }
        }
    }

    [[nodiscard]] bool repeated() {
        if (measured_ == Measured::one_wrong) {
            return wrong_repeats_;
        }
        return measured_ == Measured::repeats;
    }

    void spoil_one() {
        const auto i =
            static_cast<std::size_t>(dice_.whole(0, static_cast<int>(heard_.size()) - 1));
        heard_[i].wrong = true;
        instrument::PitchMeasurement& pitch = pitch_of(owners_[i]);
        if (dice_.chance(0.3)) {
            pitch.partial += pitch.partial == 3 || dice_.chance(0.5) ? 1 : -1;
        } else {
            const double cents = dice_.between(25.0, 130.0) * (dice_.chance(0.7) ? -1.0 : 1.0);
            pitch.hz *= std::exp2(cents / 1200.0);
        }
    }

    struct Owner {
        bool crook = false;
        std::string name;
        std::size_t place = 0;
    };
    instrument::PitchMeasurement& pitch_of(const Owner& owner) {
        for (auto* pieces : {&profile.crooks, &profile.couplers, &profile.bits}) {
            for (instrument::Piece& piece : *pieces) {
                if (piece.name == owner.name) {
                    return piece.pitches[owner.place];
                }
            }
        }
        throw std::logic_error("no such piece");
    }

    Dice& dice_;
    Measured measured_;
    Offsets offsets_;
    double aim_cents_;
    double tube_factor_;
    bool wrong_repeats_ = dice_.chance(0.5);
    double body_m_ = 0.0;
    std::vector<double> crooks_m_;
    std::vector<double> between_m_;
    std::vector<Heard> heard_;
    std::vector<Owner> owners_;
    std::size_t assemblies_ = 0;
};

} // namespace bellhand::test
