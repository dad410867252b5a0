#include "instrument/calibration/calibration_profile.h"

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

} // namespace

void add_closing(AssemblyCalibration& assembly, const MeasuredClosing& closing) {
    assembly.full_stops.push_back({closing.rise_cents, closing.fall_sd_cents, closing.partial});
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
    for (const MeasuredClosing& closing : closings) {
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
