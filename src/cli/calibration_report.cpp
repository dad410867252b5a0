#include "cli/calibration_report.h"

#include "cli/commands.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

using instrument::CalibratedPartial;
using instrument::FittedTube;
using instrument::MeasuredClosing;
using instrument::MeasuredCrook;
using instrument::Piece;
using instrument::PlayedCalibration;
using instrument::PlayedPitch;
using instrument::Profile;
using instrument::Slip;

constexpr double kDriftKnown_cents_per_min = 1.0;

std::string drawn_fall(const MeasuredClosing& closing) {
    constexpr int kColumns = 48;
    std::string text =
        fmt::format("Partial {} closing from {:.1f} to {:.1f} Hz ({:.1f} to {:.1f} s):\n",
                    closing.partial,
                    closing.open_hz,
                    closing.stopped_hz,
                    closing.starts_s,
                    closing.lands_s);
    for (std::size_t i = 0; i < closing.curve.size(); i += 2) {
        const auto at = static_cast<std::size_t>(
            std::lround(kColumns * closing.curve[i].cents / closing.fall_cents));
        text += fmt::format("  {:3.0f} % {:7.1f}  {}*\n",
                            100.0 * closing.curve[i].share,
                            closing.curve[i].cents,
                            std::string(at, ' '));
    }
    for (const Slip& slip : closing.slips) {
        text +=
            fmt::format("  The tone slipped {:.0f} cents at {:.1f} s: close more slowly there.\n",
                        -slip.cents,
                        slip.time_s);
    }
    if (!closing.held_open || !closing.held_stopped) {
        text += "  Hold the open and the stopped note half a second longer for surer figures.\n";
    }
    return text;
}

} // namespace

std::vector<std::vector<std::string>>
finding_rows(const PlayedCalibration& open, const Closings& closings, std::optional<double> a4_hz) {
    std::vector<std::vector<std::string>> rows;
    rows.push_back({"f1_hz",
                    "",
                    fmt::format("{:.4f}", open.f1_hz),
                    fmt::format("{:.2f}", open.f1_sd_cents),
                    ""});
    rows.push_back(
        {"effective_length_m", "", fmt::format("{:.4f}", open.effective_length_m), "", ""});
    if (a4_hz) {
        rows.push_back({"a4_hz",
                        "",
                        fmt::format("{:.2f}", *a4_hz),
                        fmt::format("{:.2f}", open.f1_sd_cents),
                        ""});
    }
    rows.push_back({"drift_cents_per_min",
                    "",
                    fmt::format("{:.2f}", open.drift_cents_per_min),
                    fmt::format("{:.2f}", open.drift_sd_cents_per_min),
                    ""});
    for (const CalibratedPartial& partial : open.partials) {
        if (partial.notes > 0) {
            rows.push_back({"open_partial_cents",
                            std::to_string(partial.partial),
                            fmt::format("{:.1f}", partial.offset_cents),
                            fmt::format("{:.1f}", partial.sd_cents),
                            std::to_string(partial.notes)});
        }
    }
    for (const MeasuredClosing& closing : closings.measured) {
        const std::string partial = std::to_string(closing.partial);
        const std::string sd = fmt::format("{:.1f}", closing.fall_sd_cents);
        rows.push_back(
            {"full_stop_fall_cents", partial, fmt::format("{:.1f}", closing.fall_cents), sd, "1"});
        rows.push_back({"full_stop_rise_cents",
                        partial,
                        fmt::format("{:.1f}", closing.rise_cents),
                        fmt::format("{:.1f}", closing.rise_sd_cents),
                        "1"});
    }
    return rows;
}

std::string calibration_text(const PlayedCalibration& open,
                             const std::vector<PlayedPitch>& notes,
                             const std::vector<std::string>& places,
                             const Closings& closings,
                             const std::optional<horn::Tuning>& tuning,
                             double temperature_c) {
    std::string text = fmt::format("f1 {:.3f} Hz (sd {:.1f} cents), effective length {:.3f} m at "
                                   "{:g} °C; one note wanders {:.1f} "
                                   "cents about its partial.\n",
                                   open.f1_hz,
                                   open.f1_sd_cents,
                                   open.effective_length_m,
                                   temperature_c,
                                   open.spread_cents);
    text += open.repeats > 0
                ? fmt::format("{} {} told how differently you centre the same note.\n",
                              open.repeats,
                              open.repeats == 1 ? "repeat has" : "repeats have")
                : "No note was played twice: how differently you centre the same note is not "
                  "known, so your aim cannot be told from the horn. Play each note two or three "
                  "times.\n";
    if (tuning) {
        text +=
            fmt::format("As a horn in {}, with the slide as it stands, it suits A4 = {:.1f} Hz.\n",
                        tuning->crook.label,
                        instrument::suiting_a4_hz(open.f1_hz, tuning->crook));
    }
    if (open.drift_sd_cents_per_min <= kDriftKnown_cents_per_min) {
        text += fmt::format("Drift {:+.1f} cents a minute (sd {:.1f}), as if the air warmed by "
                            "{:.1f} °C a minute.\n",
                            open.drift_cents_per_min,
                            open.drift_sd_cents_per_min,
                            open.drift_cents_per_min /
                                horn::acoustics::cents_per_degree(temperature_c));
    } else {
        text += "Drift: the notes lie too close together in time to tell.\n";
    }
    if (open.rival_f1_hz) {
        text += fmt::format(
            "Careful: f1 {:.2f} Hz explains these notes nearly as well; name the crook with "
            "--crook or play more partials.\n",
            *open.rival_f1_hz);
    }
    for (std::size_t i = 0; i < open.notes.size(); ++i) {
        if (open.notes[i].weight < 0.5) {
            text += fmt::format("Left out: {:.2f} Hz at {} is no open partial of this horn.\n",
                                notes[i].f0_hz,
                                places[i]);
        }
    }
    for (const std::string& sentence : closings.refused) {
        text += "Closing at " + sentence + "\n";
    }
    text += "\n";
    for (const MeasuredClosing& closing : closings.measured) {
        text += drawn_fall(closing) + "\n";
    }
    return text;
}

std::string prediction_text(const Profile& profile, const FittedTube& fit, double temperature_c) {
    std::string text;
    const auto crooks = instrument::measured_crooks(profile);
    if (crooks.size() >= 3) {
        if (const auto left_out = instrument::left_out_residuals(crooks)) {
            for (std::size_t i = 0; i < crooks.size(); ++i) {
                text += fmt::format(
                    "{}: played {:+.1f} cents from what the other measured ones predict.\n",
                    crooks[i].name,
                    (*left_out)[i]);
            }
        }
    }
    for (const Piece& crook : profile.crooks) {
        const bool measured =
            std::any_of(crooks.begin(), crooks.end(), [&](const MeasuredCrook& one) {
                return one.name == crook.name;
            });
        if (!crook.length_m || measured) {
            continue;
        }
        if (const auto predicted = instrument::predict_crook(fit, *crook.length_m, temperature_c)) {
            text += fmt::format("{}: f1 {:.3f} Hz expected, slide in (sd {:.1f} cents).\n",
                                crook.name,
                                predicted->f1_hz,
                                predicted->sd_cents);
        }
    }
    return text;
}

} // namespace bellhand::cli
