#pragma once

namespace bellhand::engraving::metrics {

// Thicknesses and distances in staff spaces: the engraving defaults named by the Standard Music Font Layout (SMuFL 1.4,
// W3C Music Notation Community Group, section "engravingDefaults"), with the values of its reference font (Bravura
// 1.392, metadata).
inline constexpr float kStaffLine = 0.13F;
inline constexpr float kStem = 0.12F;
inline constexpr float kBeam = 0.5F;
inline constexpr float kBetweenBeams = 0.25F;
inline constexpr float kLedgerLine = 0.16F;
inline constexpr float kLedgerReach = 0.4F; // beyond the head on either side
inline constexpr float kTieMiddle = 0.22F;
inline constexpr float kThinBarLine = 0.16F;
inline constexpr float kThickBarLine = 0.5F;
inline constexpr float kBetweenBarLines = 0.4F;
inline constexpr float kRepeatDots = 0.16F; // from the bar line to the edge of its dots
inline constexpr float kHairpin = 0.16F;
inline constexpr float kEnding = 0.16F;
inline constexpr float kTupletBracket = 0.16F;
inline constexpr float kTextBox = 0.16F;
inline constexpr float kRestBar = 1.0F; // the broad line of a rest of several bars

// Common practice, no source.
inline constexpr float kStemLength = 3.5F;
inline constexpr float kGraceSize = 0.65F;
inline constexpr float kHandCap = 1.35F; // height of a hand sign
inline constexpr float kPartialCap = 0.85F;
inline constexpr float kTextCap = 1.15F;
inline constexpr float kNumberCap = 0.95F;

} // namespace bellhand::engraving::metrics
