#pragma once

#include "horn/crook_chart.h"
#include "horn/scale.h"
#include "horn/tuning.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::chart {

/// All that one hand chart says, before it is printed in one form or another.
struct Sheet {
    horn::Tuning tuning;
    std::string hand_source; ///< whose hand the cents are for
    horn::BassClef bass_clef = horn::BassClef::sounding_octave;
    std::vector<horn::PlayedNote> notes;
    std::optional<horn::Scale> key; ///< written key whose notes stand out
    std::vector<horn::ScaleCount> octaves;
};

[[nodiscard]] Sheet make_sheet(const horn::Tuning& tuning,
                               const horn::HandResponse& response,
                               horn::BassClef bass_clef,
                               const std::optional<horn::Scale>& key);

/// The written key in which a horn on this crook plays a sounding key.
[[nodiscard]] horn::Scale written_key(const horn::Scale& sounding, const horn::Crook& crook);

/// Written notes below G3 stand in the bass clef on the printed chart.
[[nodiscard]] bool stands_in_bass_clef(horn::Note written) noexcept;

/// "o", "½", "¾–+" (the trade's signs).
[[nodiscard]] std::string hand_signs(const horn::HandWay& way);

/// "open", "open, hand drawn out", "half to three-quarters, lipped".
[[nodiscard]] std::string hand_words(const horn::HandWay& way);

/// "equal temperament", "Vallotti on E♭", "Just on F, A held", "Quarter-comma meantone on C with A♭".
[[nodiscard]] std::string temperament_words(const horn::Tuning& tuning);

/// What the anchor does to the key: "With A at 440 Hz the key of F stands 13.7 cents above equal temperament: draw the
/// slide to it." Empty when the key stands where equal temperament has it.
[[nodiscard]] std::string key_words(const horn::Tuning& tuning);

/// "Horn in E♭, A4 = 430 Hz, Vallotti on E♭".
[[nodiscard]] std::string sheet_title(const Sheet& sheet);

} // namespace bellhand::chart
