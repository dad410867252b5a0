#pragma once

#include "core/result.h"
#include "hand/features.h"
#include "instrument/profile.h"

#include <filesystem>
#include <span>

namespace bellhand::app {

/// An open note as a profile keeps it, and back.
[[nodiscard]] hand::Colour colour_of_note(const instrument::OwnOpenNote& note);
[[nodiscard]] instrument::OwnOpenNote note_of_colour(const hand::Colour& colour);

/// Adds open notes to the profile, which keeps the newest `kMostOwnOpenNotes`, and saves it. Errors: as `load_profile` and
/// `save_profile`.
[[nodiscard]] Result<void> keep_own_notes(const std::filesystem::path& profile,
                                          std::span<const hand::Colour> notes);

} // namespace bellhand::app
