#include "instrument/horn_lengths.h"

#include "core/cents.h"
#include "horn/tuning.h"
#include "instrument/length_evidence.h"
#include "instrument/lengths.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <set>
#include <utility>

namespace bellhand::instrument {

namespace {

// A lean of the lips that stays through one sitting (common practice, no source): even f1 calibrated over many notes
// stands on another day so far away.
constexpr double kSittingSd_cents = 2.0;
constexpr double kNominalSd = 0.03;
// A wrong note strays by half a closing of the hand, a wrong tape by a sixth of its length.
constexpr double kWrong_cents = 60.0;
constexpr double kWrongTape = 0.15;
constexpr double kWrongTape_m = 0.02;
// The body alone: the 1911 table over the whole-horn figure, less its crooks over the factor of narrow tube, gives 0.941
// to 0.976 (computed from the sources of `kHornTapeOverAcoustic`).
constexpr double kBodyTapeOverAcoustic = 0.963;
constexpr double kBodyTapeSd = 0.018; // half of that range
constexpr double kTapeSd = 0.012;
constexpr double kTapeSd_m = 0.002;
// The bore is not measured well: all tapes are long or short together, as 0.96 to 0.99 (Keefe 1984) allow.
constexpr double kFactorSd = 0.009;
constexpr double kFittedFactorSd = 0.004;

// When a reading is named. It may be honest below these, and is not worth a sentence.
constexpr double kProbablyWrong = 0.5;
constexpr double kPerhapsWrong = 0.15;
constexpr double kWorthNaming_cents = 6.0;
constexpr double kWorthNaming_sd = 1.25;
constexpr double kAsFar = 0.9; ///< of the furthest: either may be it

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
        collect();
        // A piece's own length is told apart from the others' by wide guesses where nothing else does it.
        firm_.push_back(sum_is({0}, 2.5, 6.0));
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            const PieceKind kind = pieces_[i]->kind;
            firm_.push_back(kind == PieceKind::coupler      ? sum_is({i + 1}, 0.4, 4.0)
                            : kind == PieceKind::tuning_bit ? sum_is({i + 1}, 0.05, 1.0)
                                                            : sum_is({i + 1}, 1.2, 15.0));
        }
        const bool fitted = profile_.calibration && profile_.calibration->tube_factor;
        firm_.push_back(sum_is({tape_scale()}, 0.0, fitted ? kFittedFactorSd : kFactorSd));
        weighed_ = weigh_readings(tape_scale() + 1, firm_, readings_);
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            if (!(weighed_.value_m[i + 1] > 0.0)) {
                return failure("The profile \"" + profile_.name + "\" leaves \"" +
                               pieces_[i]->name + "\" without length (" +
                               metres(weighed_.value_m[i + 1]) +
                               "): check the partial and hertz of the pitches measured with it.");
            }
        }
        if (!(weighed_.value_m[0] > 0.0)) {
            return failure("The profile \"" + profile_.name +
                           "\" leaves the body without length: check the measured pitches.");
        }
        return result();
    }

private:
    /// The unknown after the pieces: by how much of itself every tape-measured tube is acoustically longer than thought.
    [[nodiscard]] std::size_t tape_scale() const { return pieces_.size() + 1; }

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
            const double value_m = (*body.length_m + mouthpiece_m) / kBodyTapeOverAcoustic;
            firm_.push_back(sum_is({0}, value_m, kBodyTapeSd * value_m));
        } else if (body.key && body.pitches.empty()) {
            const double value_m = nominal_m(*body.key) - slide_m;
            firm_.push_back(sum_is({0}, value_m, kNominalSd * value_m));
        }
        add_pitches(body.pitches, 0);
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            const Piece& piece = *pieces_[i];
            if (piece.length_m) {
                const double value_m = *piece.length_m / factor_;
                Statement tape = sum_is({i + 1}, value_m, std::hypot(kTapeSd * value_m, kTapeSd_m));
                tape.of.push_back({tape_scale(), -value_m});
                names_.push_back("tape length " + metres(*piece.length_m) + " of \"" + piece.name +
                                 "\"");
                readings_.push_back({std::move(tape), kWrongTape * value_m + kWrongTape_m, 0, 0});
            } else if (piece.pitches.empty() && piece.key) {
                const double total_m = nominal_m(*piece.key);
                firm_.push_back(sum_is({0, i + 1}, total_m - slide_m, kNominalSd * total_m));
            } else if (piece.pitches.empty() && piece.lowers) {
                const double value_m =
                    nominal_m(piece.lowers->on) * (ratio_of_cents(piece.lowers->cents) - 1.0);
                firm_.push_back(sum_is({i + 1}, value_m, kNominalSd * value_m));
            }
            add_pitches(piece.pitches, i + 1);
        }
        if (profile_.calibration) {
            for (const AssemblyCalibration& assembly : profile_.calibration->assemblies) {
                if (assembly.f1_hz) {
                    add_sounding({0,
                                  *assembly.f1_hz,
                                  assembly.temperature_c,
                                  assembly.slide_pull_m,
                                  assembly.pieces},
                                 {},
                                 std::hypot(assembly.f1_sd_cents.value_or(1.0), kSittingSd_cents));
                }
            }
        }
    }

    void add_pitches(const std::vector<PitchMeasurement>& pitches, std::size_t owner) {
        for (const PitchMeasurement& pitch : pitches) {
            add_sounding(pitch, owner, 0.0);
        }
    }

    /// Partial 0: the hertz are f1 itself.
    void
    add_sounding(const PitchMeasurement& pitch, std::optional<std::size_t> owner, double sd_cents) {
        std::set<std::size_t> unknowns{0};
        unknowns.insert(owner.value_or(0));
        for (const std::string& name : pitch.with) {
            if (const auto found = index_.find(name); found != index_.end()) {
                unknowns.insert(found->second);
            }
        }
        const double temperature_c = pitch.temperature_c.value_or(profile_.air.temperature_c);
        const double speed = speed_of_sound_m_s({temperature_c, profile_.air.relative_humidity});
        const double total_m = acoustic_length_m(pitch.hz / std::max(1, pitch.partial), speed);
        LengthReading reading;
        for (const std::size_t unknown : unknowns) {
            reading.sum.of.push_back({unknown, 1.0});
        }
        reading.sum.value = total_m - profile_.slide.legs * pitch.slide_pull_m / factor_;
        reading.sum.sd = total_m * (ratio_of_cents(sd_cents) - 1.0);
        reading.wrong_m = total_m * (ratio_of_cents(kWrong_cents) - 1.0);
        reading.partial = pitch.partial;
        reading.assembly = assemblies_.try_emplace(unknowns, assemblies_.size()).first->second;
        names_.push_back(name_of(pitch, unknowns));
        readings_.push_back(std::move(reading));
        pitch_is_measured_ = true;
    }

    [[nodiscard]] HornLengths result() const {
        HornLengths horn;
        horn.body_m = weighed_.value_m[0];
        horn.couplers = profile_.couplers.size();
        horn.slide = profile_.slide;
        horn.tube_factor = factor_;
        horn.plays_without_crook = profile_.body.plays_without_crook;
        horn.change_times = profile_.change_times;
        horn.most_pieces_between = profile_.most_pieces_between;
        const std::size_t n = pieces_.size() + 1;
        for (std::size_t row = 0; row < n; ++row) {
            const auto begin =
                weighed_.covariance_m2.begin() + static_cast<std::ptrdiff_t>(row * (n + 1));
            horn.covariance_m2.insert(
                horn.covariance_m2.end(), begin, begin + static_cast<std::ptrdiff_t>(n));
        }
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            const Piece& piece = *pieces_[i];
            HornPiece mounted;
            mounted.kind = piece.kind;
            mounted.name = piece.name;
            mounted.acoustic_m = weighed_.value_m[i + 1];
            mounted.tape_m = piece.length_m.value_or(mounted.acoustic_m * factor_);
            mounted.reach_estimated = !piece.reach_m.has_value();
            mounted.reach_m = piece.reach_m.value_or(estimated_reach_m(piece.kind, mounted.tape_m));
            mounted.mass_kg = piece.mass_kg;
            mounted.takes_couplers = piece.takes_couplers;
            (i < profile_.crooks.size() ? horn.crooks : horn.between).push_back(mounted);
        }
        horn.suspects = suspects();
        horn.warnings = warnings(horn.suspects);
        return horn;
    }

    /// Readings that may be wrong, the likeliest first; without one, what stands furthest from all others, if it is worth
    /// a word.
    [[nodiscard]] std::vector<SuspectPitch> suspects() const {
        std::vector<SuspectPitch> named;
        double furthest = kWorthNaming_sd;
        for (std::size_t i = 0; i < readings_.size(); ++i) {
            if (std::fabs(weighed_.off_cents[i]) > kWorthNaming_cents) {
                furthest = std::max(furthest, in_sd(i));
            }
            if (weighed_.wrong[i] >= kPerhapsWrong) {
                named.push_back({names_[i], weighed_.off_cents[i], weighed_.wrong[i]});
            }
        }
        for (std::size_t i = 0; named.empty() && i < readings_.size(); ++i) {
            if (std::fabs(weighed_.off_cents[i]) > kWorthNaming_cents &&
                in_sd(i) > kAsFar * furthest) {
                named.push_back({names_[i], weighed_.off_cents[i], weighed_.wrong[i]});
            }
        }
        std::stable_sort(named.begin(), named.end(), [](const auto& a, const auto& b) {
            return a.wrong > b.wrong;
        });
        return named;
    }

    [[nodiscard]] double in_sd(std::size_t reading) const {
        return std::fabs(weighed_.off_cents[reading]) / weighed_.off_sd_cents[reading];
    }

    /// "partial 8 (465.30 Hz) on "short master"".
    [[nodiscard]] std::string name_of(const PitchMeasurement& pitch,
                                      const std::set<std::size_t>& unknowns) const {
        std::string names;
        for (const std::size_t unknown : unknowns) {
            if (unknown > 0) {
                names += (names.empty() ? "\"" : " + \"") + pieces_[unknown - 1]->name + "\"";
            }
        }
        char hertz[48];
        std::snprintf(hertz, sizeof hertz, "%.2f Hz", pitch.hz);
        return (pitch.partial > 0 ? "partial " + std::to_string(pitch.partial)
                                  : std::string("calibrated f1")) +
               " (" + hertz + ") on " + (names.empty() ? "the body" : names);
    }

    [[nodiscard]] std::vector<std::string>
    warnings(const std::vector<SuspectPitch>& suspects) const {
        std::vector<std::string> sentences;
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            const Piece& piece = *pieces_[i];
            const double tape_m = weighed_.value_m[i + 1] * factor_;
            if (piece.length_m &&
                std::fabs(tape_m - *piece.length_m) > 0.03 * *piece.length_m + 0.01) {
                sentences.push_back("\"" + piece.name + "\" measures " + metres(*piece.length_m) +
                                    " but the pitches say " + metres(tape_m) +
                                    ": the pitches are used; check partial, hertz, temperature "
                                    "and the tape.");
            }
        }
        warn_of_names(sentences);
        warn_of_suspects(suspects, sentences);
        if (!pitch_is_measured_) {
            sentences.emplace_back("No pitch is measured: the body's length is only typical, so "
                                   "every key may lie 40 cents off; play one open partial on any "
                                   "crook and enter it.");
        }
        return sentences;
    }

    void warn_of_names(std::vector<std::string>& sentences) const {
        const double speed = speed_of_sound_m_s({20.0, profile_.air.relative_humidity});
        for (std::size_t i = 0; i < profile_.crooks.size(); ++i) {
            const Piece& crook = profile_.crooks[i];
            if (!crook.key || crook.pitches.empty()) {
                continue;
            }
            const double sounds_hz =
                f1_of_length_hz(weighed_.value_m[0] + weighed_.value_m[i + 1] +
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
    }

    static std::string far_off(const SuspectPitch& suspect) {
        return suspect.what + ", " + rounded(std::fabs(suspect.off_cents)) + " cents " +
               (suspect.off_cents > 0.0 ? "above" : "below") + " what the others say";
    }

    static void warn_of_suspects(const std::vector<SuspectPitch>& suspects,
                                 std::vector<std::string>& sentences) {
        std::string either;
        bool wrong = false;
        for (const SuspectPitch& suspect : suspects) {
            if (suspect.wrong >= kProbablyWrong) {
                sentences.push_back("A measurement is probably wrong and hardly counted: " +
                                    far_off(suspect) + "; check it, or measure it again.");
            } else {
                either += (either.empty() ? "" : "; or ") + far_off(suspect);
                wrong = wrong || suspect.wrong >= kPerhapsWrong;
            }
        }
        if (!either.empty()) {
            sentences.push_back((wrong ? "The measurements contradict each other, so the figures "
                                         "are wide. Suspect: "
                                       : "Furthest from the other measurements: ") +
                                either + ". Measure it again first.");
        }
    }

    const Profile& profile_;
    double factor_;
    std::vector<const Piece*> pieces_;
    std::map<std::string, std::size_t, std::less<>> index_;
    std::vector<Statement> firm_; ///< tapes and names
    std::vector<LengthReading> readings_;
    std::vector<std::string> names_; ///< of the readings, for people
    bool pitch_is_measured_ = false;
    std::map<std::set<std::size_t>, std::size_t> assemblies_;
    WeighedLengths weighed_;
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

int searchable_most_between(const HornLengths& horn, int wanted) noexcept {
    int most = std::clamp(wanted, 0, static_cast<int>(horn.between.size()));
    while (most > 0 && count_stacks(horn, most) > kMostStacks) {
        --most;
    }
    return most;
}

Result<HornLengths> settle_lengths(const Profile& profile) {
    return Settling(profile).settle();
}

} // namespace bellhand::instrument
