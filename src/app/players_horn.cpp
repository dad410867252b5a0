#include "app/players_horn.h"

#include "app/own_notes.h"
#include "horn/hand_response.h"
#include "instrument/calibration/calibration_profile.h"
#include "instrument/measured_hand.h"

namespace bellhand::app {

Result<practice::OwnHand> measured_hand(const instrument::Profile& profile,
                                        const horn::Tuning& tuning) {
    if (instrument::calibrated_near(profile, tuning) == nullptr) {
        return failure("The profile \"" + profile.name + "\" has no measured horn near " +
                       tuning.crook.label +
                       " at this pitch: calibrate it first, or leave the profile out.");
    }
    auto measured =
        instrument::measured_hand_response(profile, tuning, horn::hand_response(tuning));
    if (!measured) {
        return tl::unexpected(measured.error());
    }
    return practice::OwnHand{std::move(*measured), hand::calibrated_trust(), {}};
}

Result<PlayersHorn> PlayersHorn::open(const std::filesystem::path& profile, bool own) {
    auto loaded = instrument::load_profile(profile);
    if (!loaded) {
        return tl::unexpected(loaded.error());
    }
    PlayersHorn horn;
    horn.path_ = profile;
    horn.own_ = own;
    horn.profile_ = std::move(*loaded);
    if (own && horn.profile_.calibration) {
        for (const instrument::OwnOpenNote& note : horn.profile_.calibration->own_open_notes) {
            horn.open_notes_.push_back(colour_of_note(note));
        }
    }
    return horn;
}

PlayerHand PlayersHorn::hand_for(const horn::Tuning& tuning) const {
    PlayerHand out;
    if (own_) {
        if (auto measured = measured_hand(profile_, tuning)) {
            out.own = std::move(*measured);
        }
    }
    out.open_notes = open_notes_;
    return out;
}

std::optional<horn::HandResponse> PlayersHorn::response_on(const horn::Tuning& tuning) const {
    auto known = hand_for(tuning).own;
    return known ? std::optional(std::move(known->response)) : std::nullopt;
}

Result<void> PlayersHorn::keep(std::span<const hand::Colour> taught) {
    open_notes_.insert(open_notes_.end(), taught.begin(), taught.end());
    if (open_notes_.size() > instrument::kMostOwnOpenNotes) {
        open_notes_.erase(open_notes_.begin(),
                          open_notes_.end() -
                              static_cast<std::ptrdiff_t>(instrument::kMostOwnOpenNotes));
    }
    return own_ && !taught.empty() ? keep_own_notes(path_, taught) : Result<void>();
}

Result<void> PlayersHorn::forget() {
    open_notes_.clear();
    if (!own_) {
        return {};
    }
    auto fresh = instrument::load_profile(path_);
    if (!fresh) {
        return tl::unexpected(fresh.error());
    }
    if (!fresh->calibration || fresh->calibration->own_open_notes.empty()) {
        return {};
    }
    fresh->calibration->own_open_notes.clear();
    return instrument::save_profile(*fresh, path_);
}

Result<void> PlayersHorn::add_closing(const instrument::MeasuredClosing& closing,
                                      const horn::Tuning& tuning) {
    if (!own_) {
        return usage_error("There is no profile of your own horn: open one with --profile, or drop "
                           "its file on the "
                           "window.");
    }
    auto fresh = instrument::load_profile(path_);
    if (!fresh) {
        return tl::unexpected(fresh.error());
    }
    const instrument::AssemblyCalibration* near = instrument::calibrated_near(*fresh, tuning);
    if (near == nullptr) {
        return usage_error(std::string("The open notes of your horn in ") + tuning.crook.label +
                           " were never measured at this pitch: run bellhand calibrate first.");
    }
    instrument::AssemblyCalibration found = *near;
    found.full_stops.clear();
    found.hand_points.clear();
    instrument::add_closing(found, closing);
    instrument::store_calibration(*fresh, std::move(found));
    if (auto saved = instrument::save_profile(*fresh, path_); !saved) {
        return saved;
    }
    profile_ = std::move(*fresh);
    return {};
}

} // namespace bellhand::app
