#include "instrument/calibration/calibration_profile.h"

#include "core/cents.h"
#include "horn/tuning.h"
#include "instrument/lengths.h"
#include "instrument/planner/assembly.h"

#include <algorithm>
#include <cmath>

namespace bellhand::instrument {

namespace {

constexpr double kDriftKnown_cents_per_min = 1.0;
constexpr double kSameSlide_m = 0.0005;
constexpr double kLeastSpan_m = 0.3;

const Piece* find_piece(const Profile& profile, const std::string& name) {
    for (const auto* pieces : {&profile.crooks, &profile.couplers, &profile.bits}) {
        for (const Piece& piece : *pieces) {
            if (piece.name == name) {
                return &piece;
            }
        }
    }
    return nullptr;
}

std::vector<std::string> sorted(std::vector<std::string> names) {
    std::sort(names.begin(), names.end());
    return names;
}

/// Entries of `older` whose key is not among those of `newer`, appended to it.
template <typename Entry, typename Same>
void keep_older(std::vector<Entry>& newer, const std::vector<Entry>& older, Same same) {
    const std::size_t fresh = newer.size();
    for (const Entry& entry : older) {
        const auto end = newer.begin() + static_cast<std::ptrdiff_t>(fresh);
        if (std::none_of(newer.begin(), end, [&](const Entry& n) { return same(n, entry); })) {
            newer.push_back(entry);
        }
    }
}

constexpr double kOtherHorn_cents = 30.0;
constexpr double kOtherHorn_sd = 4.0;
constexpr double kFits_sd = 2.5;
constexpr double kAir_cents = 6.0; ///< two degrees that the thermometer may be off

/// How far the notes stand from what a stack should play, and how surely.
struct Distance {
    double cents = 0.0;
    double sd_cents = 0.0;

    [[nodiscard]] bool far() const {
        return std::abs(cents) > kOtherHorn_cents && std::abs(cents) > kOtherHorn_sd * sd_cents;
    }
    [[nodiscard]] bool near() const { return std::abs(cents) < kFits_sd * sd_cents; }
};

Distance distance_to(const HornLengths& horn,
                     const Stack& stack,
                     const PlayedAssembly& played,
                     const PlayedCalibration& open) {
    const double length_m = pushed_in_m(horn, stack) + horn.slide_adds_m(played.slide_pull_m);
    const double should_hz =
        f1_of_length_hz(length_m, speed_of_sound_m_s({played.temperature_c, 0.5}));
    return {cents_between(open.f1_hz, should_hz),
            std::hypot(settled_sd_cents(horn, stack), open.f1_sd_cents, kAir_cents)};
}

/// The stack with fewest pieces that the notes fit: a bare crook, else a crook with one piece.
std::optional<Stack> fitting_stack(const HornLengths& horn,
                                   const PlayedAssembly& played,
                                   const PlayedCalibration& open) {
    std::optional<Stack> best;
    double least_cents = 0.0;
    for (std::size_t with = 0; with <= horn.between.size(); ++with) {
        for (int crook = 0; crook < static_cast<int>(horn.crooks.size()); ++crook) {
            const Stack stack{crook, with == 0 ? 0 : PieceSet{1} << (with - 1)};
            const Distance distance = distance_to(horn, stack, played, open);
            if (fits(horn, stack) && distance.near() &&
                (!best || std::abs(distance.cents) < least_cents)) {
                best = stack;
                least_cents = std::abs(distance.cents);
            }
        }
        if (with == 0 && best) {
            return best;
        }
    }
    return best;
}

} // namespace

Result<void> check_it_was_played(const Profile& profile,
                                 const PlayedAssembly& played,
                                 const PlayedCalibration& open) {
    Profile others = profile;
    if (others.calibration) {
        std::erase_if(others.calibration->assemblies, [&](const AssemblyCalibration& one) {
            return sorted(one.pieces) == sorted(played.pieces);
        });
    }
    const auto horn = settle_lengths(others);
    if (!horn) {
        return tl::unexpected(horn.error());
    }
    const auto stack = stack_of(*horn, played.pieces);
    if (!stack) {
        return tl::unexpected(stack.error());
    }
    const Distance distance = distance_to(*horn, *stack, played, open);
    if (!distance.far()) {
        return {};
    }
    const auto instead = fitting_stack(*horn, played, open);
    const auto whole = [](double cents) { return std::to_string(std::lround(std::abs(cents))); };
    return failure("These notes stand " + whole(distance.cents) + " cents " +
                   (distance.cents > 0.0 ? "above" : "below") + " what " + describe(*horn, *stack) +
                   " plays (known to ± " + whole(2.0 * distance.sd_cents) + "): " +
                   (instead ? "they fit " + describe(*horn, *instead) + "; name that with --piece"
                            : std::string("check pieces, slide and temperature")) +
                   ", or play again. Nothing was written.");
}

void add_closing(AssemblyCalibration& assembly, const MeasuredClosing& closing) {
    assembly.full_stops.push_back({closing.rise_cents, closing.rise_sd_cents, closing.partial});
    constexpr int kPoints = 5;
    for (int i = 0; i < kPoints; ++i) {
        const double share = static_cast<double>(i) / (kPoints - 1);
        const auto at = static_cast<std::size_t>(
            std::lround(share * static_cast<double>(closing.curve.size() - 1)));
        assembly.hand_points.push_back({closing.partial, share, closing.curve[at].cents});
    }
}

AssemblyCalibration assembly_calibration(const PlayedAssembly& played,
                                         const PlayedCalibration& open,
                                         std::span<const MeasuredClosing> closings) {
    AssemblyCalibration out;
    out.pieces = played.pieces;
    out.slide_pull_m = played.slide_pull_m;
    out.temperature_c = played.temperature_c;
    out.f1_hz = open.f1_hz;
    out.f1_sd_cents = open.f1_sd_cents;
    if (played.crook) {
        out.a4_hz = suiting_a4_hz(open.f1_hz, *played.crook);
    }
    if (open.drift_sd_cents_per_min <= kDriftKnown_cents_per_min) {
        out.drift_cents_per_min = open.drift_cents_per_min;
    }
    for (const CalibratedPartial& partial : open.partials) {
        if (partial.notes > 0) {
            out.partials.push_back(
                {partial.partial, partial.offset_cents, partial.sd_cents, partial.notes});
        }
    }
    for (const MeasuredClosing& closing : repeats_joined(closings)) {
        add_closing(out, closing);
    }
    return out;
}

void store_calibration(Profile& profile, AssemblyCalibration found) {
    if (!profile.calibration) {
        profile.calibration.emplace();
    }
    auto& assemblies = profile.calibration->assemblies;
    const auto older =
        std::find_if(assemblies.begin(), assemblies.end(), [&](const AssemblyCalibration& one) {
            return sorted(one.pieces) == sorted(found.pieces) &&
                   std::abs(one.slide_pull_m - found.slide_pull_m) < kSameSlide_m;
        });
    if (older == assemblies.end()) {
        assemblies.push_back(std::move(found));
        return;
    }
    keep_older(found.partials, older->partials, [](const auto& a, const auto& b) {
        return a.partial == b.partial;
    });
    std::sort(found.partials.begin(), found.partials.end(), [](const auto& a, const auto& b) {
        return a.partial < b.partial;
    });
    keep_older(found.full_stops, older->full_stops, [](const auto& a, const auto& b) {
        return a.partial == b.partial;
    });
    keep_older(found.hand_points, older->hand_points, [](const auto& a, const auto& b) {
        return a.partial == b.partial;
    });
    *older = std::move(found);
}

std::vector<MeasuredCrook> measured_crooks(const Profile& profile) {
    std::vector<MeasuredCrook> out;
    if (!profile.calibration) {
        return out;
    }
    for (const AssemblyCalibration& assembly : profile.calibration->assemblies) {
        MeasuredCrook crook;
        crook.tube_length_m = profile.slide.legs * assembly.slide_pull_m;
        bool known = assembly.f1_hz.has_value() && !assembly.pieces.empty();
        for (const std::string& name : assembly.pieces) {
            const Piece* const piece = find_piece(profile, name);
            known = known && piece != nullptr && piece->length_m.has_value();
            crook.tube_length_m += known ? *piece->length_m : 0.0;
            crook.name += (crook.name.empty() ? "" : " + ") + name;
        }
        if (known) {
            crook.f1_hz = *assembly.f1_hz;
            crook.f1_sd_cents = assembly.f1_sd_cents.value_or(1.0);
            crook.temperature_c = assembly.temperature_c;
            out.push_back(std::move(crook));
        }
    }
    return out;
}

std::optional<double> fitted_tube_factor(const FittedTube& fit,
                                         std::span<const MeasuredCrook> crooks) {
    if (crooks.empty()) {
        return std::nullopt;
    }
    const auto [shortest, longest] =
        std::minmax_element(crooks.begin(), crooks.end(), [](const auto& a, const auto& b) {
            return a.tube_length_m < b.tube_length_m;
        });
    const double tape_m = longest->tube_length_m - shortest->tube_length_m;
    if (tape_m < kLeastSpan_m) {
        return std::nullopt;
    }
    constexpr double kAt_c = 20.0;
    const auto high = predict_crook(fit, shortest->tube_length_m, kAt_c);
    const auto low = predict_crook(fit, longest->tube_length_m, kAt_c);
    if (!high || !low) {
        return std::nullopt;
    }
    const double speed = horn::acoustics::keefe_air(kAt_c).speed_m_s;
    return tape_m / (0.5 * speed * (1.0 / low->f1_hz - 1.0 / high->f1_hz));
}

} // namespace bellhand::instrument
