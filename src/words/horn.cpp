#include "words/horn.h"

#include "core/cents.h"
#include "horn/hand_chart.h"
#include "horn/tube.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace bellhand::words {

namespace {

constexpr double kAsSet_cents =
    25.0; // nearer than this, a name at the pitch that is set needs no other pitch
constexpr double kLongestPull_mm =
    40.0; // further no tuning slide goes (common practice, no source)
constexpr double kRoundPitch_cents = 3.0;
constexpr double kSameRemark_cents = 5.0;
constexpr double kOnlyTwo = 0.8; // of the probability; with less in both there are others

std::string pitch_words(double a4_hz) {
    return fmt::format("A4 = {:g}", a4_hz);
}

std::string sharp_or_flat(double cents) {
    const long size = std::lround(std::fabs(cents));
    return fmt::format(
        "{} {} {}", size, size == 1 ? "cent" : "cents", cents < 0.0 ? "flat" : "sharp");
}

/// The tube as a horn to be set: the nearest crook, at another usual pitch where that brings it home.
horn::Tuning offered(double f1_hz, const horn::Tuning& set) {
    const horn::TubeName name = horn::tube_name(f1_hz, set);
    if (std::fabs(name.off_cents) <= kAsSet_cents) {
        return name.tuning;
    }
    for (const horn::TubeName& other : horn::other_tube_names(f1_hz, name.tuning, 8)) {
        if (other.tuning.crook == name.tuning.crook) {
            return other.tuning;
        }
    }
    horn::Tuning suited = name.tuning;
    suited.a4_hz = horn::suiting_pitch_hz(set.a4_hz, name.off_cents);
    return suited;
}

std::string name_words(const horn::Tuning& named, const horn::Tuning& set) {
    std::string text = named.crook.label;
    if (std::fabs(cents_between(named.a4_hz, set.a4_hz)) > kRoundPitch_cents) {
        text += " at " + pitch_words(named.a4_hz);
    }
    return text;
}

std::string other_names(double f1_hz, const horn::Tuning& named) {
    std::string text;
    for (const horn::TubeName& other : horn::other_tube_names(f1_hz, named)) {
        text += fmt::format("{}{} at {}",
                            text.empty() ? "" : ", or ",
                            other.tuning.crook.label,
                            pitch_words(other.tuning.a4_hz));
    }
    return text.empty() ? text : " (the same tube is " + text + ")";
}

HornRemark better_horn(const hand::HornFit& fit, const horn::Tuning& set) {
    const horn::Tuning offer = offered(fit.best.f1_hz, set);
    return {fmt::format("These notes fit a horn in {} better than one in {}{}.",
                        name_words(offer, set),
                        set.crook.label,
                        other_names(fit.best.f1_hz, offer)),
            offer};
}

/// "These notes fit two horns", or more than two, and the open note that only one of them has.
HornRemark two_horns(const hand::HornFit& fit, const horn::Tuning& set) {
    const auto name_of = [&](double f1_hz) {
        const horn::Tuning named = offered(f1_hz, set);
        const bool is_set =
            std::fabs(cents_between(f1_hz, horn::fundamental_hz(set))) <= hand::kSameHorn_cents;
        return is_set ? std::string(set.crook.label) : name_words(named, set);
    };
    const bool best_decides = fit.deciding_f1_hz == fit.best.f1_hz;
    const std::string has = name_of(fit.deciding_f1_hz);
    const std::string has_not = name_of(best_decides ? fit.rival.f1_hz : fit.best.f1_hz);
    const bool only_two = fit.best.share + fit.rival.share >= kOnlyTwo;
    std::string text = fmt::format("These notes fit {} in {} and one in {}{}.",
                                   only_two ? "a horn" : "several horns: one",
                                   name_of(fit.best.f1_hz),
                                   name_of(fit.rival.f1_hz),
                                   only_two ? "" : " among them");
    if (fit.deciding_partial > 0) {
        text += fmt::format(" An open {} on {} would {}: {} has no open note there.",
                            horn::display_name(horn::nearest_written(fit.deciding_partial)),
                            has,
                            only_two ? "decide" : "tell these two apart",
                            has_not);
    }
    return {text + " Until then nothing is said of hand and lips.", std::nullopt};
}

HornRemark whole_horn_off(const hand::HornFit& fit, const horn::Tuning& set) {
    const double a4_hz = horn::suiting_pitch_hz(set.a4_hz, fit.offset_cents);
    std::string text =
        fmt::format("Everything {}: {}", sharp_or_flat(fit.offset_cents), pitch_words(a4_hz));
    const double out_mm = horn::slide_out_mm(horn::fundamental_hz(set), fit.offset_cents);
    if (std::fabs(out_mm) <= kLongestPull_mm) {
        text += fmt::format(
            ", or the tuning slide {:.0f} mm {}", std::fabs(out_mm), out_mm < 0.0 ? "in" : "out");
    }
    horn::Tuning offer = set;
    offer.a4_hz = a4_hz;
    return {text + ".", offer};
}

} // namespace

HornRemark horn_remark(const hand::HornFit& fit, const horn::Tuning& set) {
    switch (fit.verdict) {
    case hand::HornVerdict::other:
        return better_horn(fit, set);
    case hand::HornVerdict::either:
        return two_horns(fit, set);
    case hand::HornVerdict::doubtful:
        return {fmt::format(
                    "These notes do not lie where a horn in {} has them: see to crook and slide, "
                    "or play some open notes. Until then nothing is said of hand and lips.",
                    set.crook.label),
                std::nullopt};
    case hand::HornVerdict::fits:
        return fit.offset_matters ? whole_horn_off(fit, set) : HornRemark{};
    case hand::HornVerdict::unknown:
        break;
    }
    return {};
}

bool HornWatch::take(const hand::HornFit& fit, const horn::Tuning& set) {
    HornRemark remark = horn_remark(fit, set);
    const bool as_before = fit.verdict == verdict_ && remark.text.empty() == remark_.text.empty() &&
                           std::fabs(cents_between(fit.best.f1_hz, f1_hz_)) < kSameRemark_cents;
    if (as_before) {
        return false;
    }
    verdict_ = fit.verdict;
    f1_hz_ = std::max(fit.best.f1_hz, 1.0);
    const bool changed = remark.text != remark_.text;
    remark_ = std::move(remark);
    return changed;
}

std::string horn_options(const horn::Tuning& offer, const horn::Tuning& set) {
    std::string text;
    if (!(offer.crook == set.crook)) {
        text = fmt::format("--crook {}", offer.crook.id);
    }
    if (offer.a4_hz != set.a4_hz) {
        text += fmt::format("{}--a4 {:g}", text.empty() ? "" : " ", offer.a4_hz);
    }
    return text;
}

std::string horn_remark_to_type(const hand::HornFit& fit, const horn::Tuning& set) {
    const HornRemark remark = horn_remark(fit, set);
    if (!remark.offer || remark.text.empty()) {
        return remark.text;
    }
    return remark.text + " Try " + horn_options(*remark.offer, set) + ".";
}

} // namespace bellhand::words
