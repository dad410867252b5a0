#pragma once

#include "hand/hand_ear.h"
#include "pitch/motion.h"
#include "trainer/note_tracker.h"

#include <span>
#include <string>
#include <vector>

namespace bellhand::words {

/// What is heard of the hand, as a player says it: "quarter", "open to half". UTF-8, as everything here.
[[nodiscard]] std::string heard_words(const hand::HandEstimate& estimate);

/// What must be said with it, or nothing: call audio, another partial than asked for, hand and lips not to be told apart.
[[nodiscard]] std::string heard_remark(const hand::HandEstimate& estimate,
                                       const hand::Intent& asked);

/// Advice on the held part: a sentence, "as meant" for a note in tune, empty when the confidence is too low.
[[nodiscard]] std::string held_advice(const trainer::PlayedNote& note);
/// The same for the attack; empty also when the attack was as the held part.
[[nodiscard]] std::string attack_advice(const trainer::PlayedNote& note);

/// One figure of a note, for people.
struct Figure {
    const char* name;
    std::string value; ///< with its unit
};

/// What a figure says, and which band is usual by what source.
struct FigureMeaning {
    const char* group; ///< heading, the same for those that belong together
    const char* name;
    const char* meaning;
};
/// Of every figure that the three lists below can hold, in their order.
[[nodiscard]] std::span<const FigureMeaning> figure_meanings() noexcept;

/// Loudness and colour against the note before; empty unless one was open, the other stopped, and both were heard.
[[nodiscard]] std::vector<Figure> match_figures(const hand::NoteHand& heard);
/// How quietly the note was held, the figure first, then its parts; empty when the note was too short.
[[nodiscard]] std::vector<Figure> steadiness_figures(const hand::NoteHand& heard,
                                                     const pitch::PitchMotion& motion);
/// How the hand went from the note before to this one; empty when no slur led across.
[[nodiscard]] std::vector<Figure> change_figures(const hand::NoteHand& heard);

/// How a held note moved, for a player who looks up for a moment: "sinks by 7 cents; vibrato of 8 cents", "held still".
/// Empty when it was too short to tell.
[[nodiscard]] std::string motion_words(const pitch::PitchMotion& motion);

/// Where a regular swing comes from, in words; empty when there is none.
[[nodiscard]] std::string sway_words(const hand::Steadiness& steadiness);

/// The same in two lines, for terminals: what the hand did, then how the note was held, changed to and matched. Empty
/// when the note was too short to hear the hand.
[[nodiscard]] std::vector<std::string> note_lines(const trainer::PlayedNote& note,
                                                  const pitch::PitchMotion& motion);

/// The range of closure along the five signs, `width` cells (at least 21): the signs stand where they belong, the range
/// between brackets.
[[nodiscard]] std::string range_bar(const hand::Position& position, int width);

/// What was learnt of the player's open notes, in a sentence.
[[nodiscard]] std::string learnt_words(const hand::OpenReference& learnt);

} // namespace bellhand::words
