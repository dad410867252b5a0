#include "instrument/horn_lengths.h"

#include "core/cents.h"
#include "horn/tuning.h"
#include "instrument/least_squares.h"
#include "instrument/lengths.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <utility>

namespace bellhand::instrument {

namespace {

constexpr double kPitchSd_cents = 0.2;
constexpr double kNominalSd = 0.03;
constexpr double kBodyTapeSd = 0.04;
constexpr double kTapeSd = 0.02;
constexpr double kTapeSd_m = 0.002;
constexpr double kDisagreement_cents = 6.0;

std::string metres(double value_m) {
    char text[32];
    std::snprintf(text, sizeof text, "%.3f m", value_m);
    return text;
}

std::string rounded(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%.0f", value);
    return text;
}

/// The unknowns are the body, then crooks, couplers and bits in the profile's order.
class Settling {
public:
    explicit Settling(const Profile& profile)
        : profile_(profile), factor_(tube_factor_of(profile)) {
        for (const auto* pieces : {&profile.crooks, &profile.couplers, &profile.bits}) {
            for (const Piece& piece : *pieces) {
                index_[piece.name] = pieces_.size() + 1;
                pieces_.push_back(&piece);
            }
        }
    }

    Result<HornLengths> settle() {
        LeastSquares squares(pieces_.size() + 1);
        for (const Statement& prior : priors()) {
            squares.add(prior);
        }
        collect();
        for (const Statement& statement : tapes_) {
            squares.add(statement);
        }
        for (const Statement& statement : pitches_) {
            squares.add(statement);
        }
        const Settled settled = squares.solve();
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            if (!(settled.value_m[i + 1] > 0.0)) {
                return failure("The profile \"" + profile_.name + "\" leaves \"" +
                               pieces_[i]->name + "\" without length (" +
                               metres(settled.value_m[i + 1]) +
                               "): check the partial and hertz of the pitches measured with it.");
            }
        }
        if (!(settled.value_m[0] > 0.0)) {
            return failure("The profile \"" + profile_.name +
                           "\" leaves the body without length: check the measured pitches.");
        }
        return result(settled);
    }

private:
    /// Wide guesses that matter only where the profile says nothing that tells two pieces apart.
    [[nodiscard]] std::vector<Statement> priors() const {
        std::vector<Statement> priors{{{0}, 2.5, 6.0}};
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            const PieceKind kind = pieces_[i]->kind;
            priors.push_back(kind == PieceKind::coupler      ? Statement{{i + 1}, 0.4, 4.0}
                             : kind == PieceKind::tuning_bit ? Statement{{i + 1}, 0.05, 1.0}
                                                             : Statement{{i + 1}, 1.2, 15.0});
        }
        return priors;
    }

    void collect() {
        // Nominal keys speak of 20 degrees C, the temperature of tuning standards (ISO 16:1975).
        const double nominal_speed = speed_of_sound_m_s({20.0, profile_.air.relative_humidity});
        const auto nominal_m = [&](const horn::Crook& key) {
            return acoustic_length_m(horn::fundamental_hz({key, profile_.made_for_a4_hz, {}}),
                                     nominal_speed);
        };
        const double slide_m = profile_.slide.legs * profile_.slide.usual_pull_m / factor_;
        const Body& body = profile_.body;
        if (body.length_m) {
            const double mouthpiece_m =
                profile_.mouthpiece.length_m.value_or(kMouthpieceAllowance_m);
            const double value_m = (*body.length_m + mouthpiece_m) / kHornTapeOverAcoustic;
            tapes_.push_back({{0}, value_m, kBodyTapeSd * value_m});
        } else if (body.key && body.pitches.empty()) {
            const double value_m = nominal_m(*body.key) - slide_m;
            tapes_.push_back({{0}, value_m, kNominalSd * value_m});
        }
        add_pitches(body.pitches, 0);
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            const Piece& piece = *pieces_[i];
            if (piece.length_m) {
                const double value_m = *piece.length_m / factor_;
                tapes_.push_back({{i + 1}, value_m, kTapeSd * value_m + kTapeSd_m});
            } else if (piece.pitches.empty() && piece.key) {
                const double total_m = nominal_m(*piece.key);
                tapes_.push_back({{0, i + 1}, total_m - slide_m, kNominalSd * total_m});
            } else if (piece.pitches.empty() && piece.lowers) {
                const double value_m =
                    nominal_m(piece.lowers->on) * (ratio_of_cents(piece.lowers->cents) - 1.0);
                tapes_.push_back({{i + 1}, value_m, kNominalSd * value_m});
            }
            add_pitches(piece.pitches, i + 1);
        }
        if (profile_.calibration) {
            for (const AssemblyCalibration& assembly : profile_.calibration->assemblies) {
                if (assembly.f1_hz) {
                    add_sounding(*assembly.f1_hz,
                                 assembly.temperature_c,
                                 assembly.slide_pull_m,
                                 assembly.pieces,
                                 {});
                }
            }
        }
    }

    void add_pitches(const std::vector<PitchMeasurement>& pitches, std::size_t owner) {
        for (const PitchMeasurement& pitch : pitches) {
            add_sounding(pitch.hz / pitch.partial,
                         pitch.temperature_c.value_or(profile_.air.temperature_c),
                         pitch.slide_pull_m,
                         pitch.with,
                         owner);
        }
    }

    void add_sounding(double f1_hz,
                      double temperature_c,
                      double pull_m,
                      const std::vector<std::string>& names,
                      std::optional<std::size_t> owner) {
        Statement statement;
        statement.of.push_back(0);
        if (owner && *owner != 0) {
            statement.of.push_back(*owner);
        }
        for (const std::string& name : names) {
            if (const auto found = index_.find(name); found != index_.end()) {
                statement.of.push_back(found->second);
            }
        }
        const double speed = speed_of_sound_m_s({temperature_c, profile_.air.relative_humidity});
        const double total_m = acoustic_length_m(f1_hz, speed);
        statement.value_m = total_m - profile_.slide.legs * pull_m / factor_;
        statement.sd_m = total_m * (ratio_of_cents(kPitchSd_cents) - 1.0);
        pitches_.push_back(std::move(statement));
    }

    [[nodiscard]] HornLengths result(const Settled& settled) const {
        HornLengths horn;
        horn.body_m = settled.value_m[0];
        horn.couplers = profile_.couplers.size();
        horn.slide = profile_.slide;
        horn.tube_factor = factor_;
        horn.plays_without_crook = profile_.body.plays_without_crook;
        horn.change_times = profile_.change_times;
        horn.most_pieces_between = profile_.most_pieces_between;
        horn.covariance_m2 = settled.covariance_m2;
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            const Piece& piece = *pieces_[i];
            HornPiece mounted;
            mounted.kind = piece.kind;
            mounted.name = piece.name;
            mounted.acoustic_m = settled.value_m[i + 1];
            mounted.tape_m = piece.length_m.value_or(mounted.acoustic_m * factor_);
            mounted.reach_estimated = !piece.reach_m.has_value();
            mounted.reach_m = piece.reach_m.value_or(estimated_reach_m(piece.kind, mounted.tape_m));
            mounted.mass_kg = piece.mass_kg;
            mounted.takes_couplers = piece.takes_couplers;
            (i < profile_.crooks.size() ? horn.crooks : horn.between).push_back(mounted);
        }
        horn.warnings = warnings(settled);
        return horn;
    }

    [[nodiscard]] std::vector<std::string> warnings(const Settled& settled) const {
        std::vector<std::string> sentences;
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            const Piece& piece = *pieces_[i];
            const double tape_m = settled.value_m[i + 1] * factor_;
            if (piece.length_m &&
                std::fabs(tape_m - *piece.length_m) > 0.03 * *piece.length_m + 0.01) {
                sentences.push_back("\"" + piece.name + "\" measures " + metres(*piece.length_m) +
                                    " but the pitches say " + metres(tape_m) +
                                    ": the pitches are used; check partial, hertz, temperature "
                                    "and the tape.");
            }
        }
        const double speed = speed_of_sound_m_s({20.0, profile_.air.relative_humidity});
        for (std::size_t i = 0; i < profile_.crooks.size(); ++i) {
            const Piece& crook = profile_.crooks[i];
            if (!crook.key || crook.pitches.empty()) {
                continue;
            }
            const double sounds_hz =
                f1_of_length_hz(settled.value_m[0] + settled.value_m[i + 1] +
                                    profile_.slide.legs * profile_.slide.usual_pull_m / factor_,
                                speed);
            const double named_hz = horn::fundamental_hz({*crook.key, profile_.made_for_a4_hz, {}});
            const double off_cents = cents_between(sounds_hz, named_hz);
            if (std::fabs(off_cents) > 60.0) {
                sentences.push_back("\"" + crook.name + "\" is called " + crook.key->label +
                                    " but sounds " + rounded(std::fabs(off_cents)) + " cents " +
                                    (off_cents > 0 ? "above" : "below") +
                                    " it at A = " + rounded(profile_.made_for_a4_hz) +
                                    " Hz: the pitch is used; check key and made_for_a4_hz.");
            }
        }
        for (const Statement& statement : pitches_) {
            double sum_m = 0.0;
            for (const std::size_t i : statement.of) {
                sum_m += settled.value_m[i];
            }
            const double off_cents = cents_between(sum_m, statement.value_m);
            if (std::fabs(off_cents) > kDisagreement_cents) {
                sentences.push_back(
                    "A pitch measured on " + names_of(statement) + " lies " +
                    rounded(std::fabs(off_cents)) +
                    " cents from what the other measurements say: measure it again.");
            }
        }
        if (pitches_.empty()) {
            sentences.emplace_back("No pitch is measured: the body's length is only typical, so "
                                   "every key may lie 40 cents off; play one open partial on any "
                                   "crook and enter it.");
        }
        return sentences;
    }

    [[nodiscard]] std::string names_of(const Statement& statement) const {
        std::string names;
        for (const std::size_t i : statement.of) {
            if (i > 0) {
                names += (names.empty() ? "\"" : " + \"") + pieces_[i - 1]->name + "\"";
            }
        }
        return names.empty() ? "the body" : names;
    }

    const Profile& profile_;
    double factor_;
    std::vector<const Piece*> pieces_;
    std::map<std::string, std::size_t, std::less<>> index_;
    std::vector<Statement> tapes_;
    std::vector<Statement> pitches_;
};

} // namespace

double estimated_reach_m(PieceKind kind, double tape_m) noexcept {
    switch (kind) {
    case PieceKind::tuning_bit:
        return tape_m;
    case PieceKind::coupler:
        return 0.08;
    case PieceKind::terminal_crook:
    case PieceKind::master_crook:
        break;
    }
    return 0.12;
}

double count_stacks(const HornLengths& horn, int most_between) noexcept {
    const auto subsets = [&](std::size_t pieces) {
        double total = 0.0;
        double choose = 1.0;
        for (std::size_t k = 0; k <= pieces && static_cast<int>(k) <= most_between; ++k) {
            total += choose;
            choose *= static_cast<double>(pieces - k) / static_cast<double>(k + 1);
        }
        return total;
    };
    const double all = subsets(horn.between.size());
    const double bits = subsets(horn.between.size() - horn.couplers);
    double stacks = horn.plays_without_crook ? bits : 0.0;
    for (const HornPiece& crook : horn.crooks) {
        stacks += crook.takes_couplers ? all : bits;
    }
    return stacks;
}

Result<int> checked_most_between(const HornLengths& horn, int most_between) {
    if (most_between < 0 || count_stacks(horn, most_between) > kMostStacks) {
        return usage_error("With up to " + std::to_string(most_between) +
                           " pieces between crook and body there are more stacks than can be "
                           "searched: allow fewer (most_pieces_between in the profile, "
                           "--most-between on the command line).");
    }
    return most_between;
}

Result<HornLengths> settle_lengths(const Profile& profile) {
    return Settling(profile).settle().and_then([&](HornLengths horn) -> Result<HornLengths> {
        const auto most = checked_most_between(horn, horn.most_pieces_between);
        if (!most) {
            return failure("The profile \"" + profile.name + "\": " + most.error().message);
        }
        return horn;
    });
}

} // namespace bellhand::instrument
