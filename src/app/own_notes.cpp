#include "app/own_notes.h"

namespace bellhand::app {

static_assert(hand::kGroups == 4, "a profile keeps four groups of harmonics");

hand::Colour colour_of_note(const instrument::OwnOpenNote& note) {
    hand::Colour colour;
    colour.known = true;
    colour.f0_hz = note.hz;
    colour.level_dba = note.level_dba;
    colour.bandwidth_hz = note.bandwidth_hz;
    for (std::size_t g = 0; g < note.group_db.size(); ++g) {
        colour.group_known[g] = note.group_db[g].has_value();
        colour.group_db[g] = note.group_db[g].value_or(0.0);
    }
    colour.centroid_harmonic = note.centroid_harmonic;
    colour.slope_known = note.slope_db_per_octave.has_value();
    colour.slope_db_per_octave = note.slope_db_per_octave.value_or(0.0);
    colour.bands_known = note.high_minus_low_db.has_value();
    colour.high_minus_low_db = note.high_minus_low_db.value_or(0.0);
    return colour;
}

instrument::OwnOpenNote note_of_colour(const hand::Colour& colour) {
    instrument::OwnOpenNote note;
    note.hz = colour.f0_hz;
    note.level_dba = colour.level_dba;
    note.bandwidth_hz = colour.bandwidth_hz;
    for (std::size_t g = 0; g < note.group_db.size(); ++g) {
        if (colour.group_known[g]) {
            note.group_db[g] = colour.group_db[g];
        }
    }
    note.centroid_harmonic = colour.centroid_harmonic;
    if (colour.slope_known) {
        note.slope_db_per_octave = colour.slope_db_per_octave;
    }
    if (colour.bands_known) {
        note.high_minus_low_db = colour.high_minus_low_db;
    }
    return note;
}

Result<void> keep_own_notes(const std::filesystem::path& profile,
                            std::span<const hand::Colour> notes) {
    auto loaded = instrument::load_profile(profile);
    if (!loaded) {
        return tl::unexpected(loaded.error());
    }
    if (!loaded->calibration) {
        loaded->calibration.emplace();
    }
    auto& kept = loaded->calibration->own_open_notes;
    for (const hand::Colour& note : notes) {
        kept.push_back(note_of_colour(note));
    }
    if (kept.size() > instrument::kMostOwnOpenNotes) {
        kept.erase(kept.begin(),
                   kept.end() - static_cast<std::ptrdiff_t>(instrument::kMostOwnOpenNotes));
    }
    return instrument::save_profile(*loaded, profile);
}

} // namespace bellhand::app
