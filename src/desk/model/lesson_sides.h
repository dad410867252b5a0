#pragma once

#include "desk/model/lesson_note.h"

#include <optional>
#include <vector>

namespace bellhand::desk {

/// How a note follows the same note of the other side: as an echo, or a player who follows closely.
struct Following {
    double late_s = 0.0;
    double louder_db = 0.0; ///< than what it follows, each in its own input
};

/// How the sound of one side comes back in the input of the other: by loudspeaker and room, or over the call. Values are
/// this program's own choice around what calls do.
struct EchoWays {
    double least_late_s = 0.05; ///< 80 ms, less what two starts may be off
    double most_late_s = 0.46;  ///< 400 ms, more the same
    double same_cents = 6.0;    ///< a codec leaves pitch alone
    double same_length_s = 0.09;
    double rings_s = 0.10;  ///< a room goes on after its source
    double softer_db = 6.0; ///< a piece of it is at least so much softer
    double explained = 0.7; ///< share of a piece that must lie where the echo is due
    double as_usual_s = 0.05;
    double as_usual_db = 4.0; ///< louder than usual by more: somebody plays
    /// How this way was lately, when that is known: who follows another is late by ever other times.
    std::optional<Following> usual;
};

/// How the note follows one of the other side that is the same from beginning to end, pitch and length; empty when there
/// is none. `others`: notes of the other side, echoes among them.
[[nodiscard]] std::optional<Following> following(const LessonNote& note,
                                                 const std::vector<const LessonNote*>& others,
                                                 const EchoWays& ways);

/// The note is what the other side just played, coming back: the same pitch, later by as much as calls and rooms are
/// late, as long as its source and not louder than usual; or a piece of that, softer, where something else covered the
/// rest; or either of them, however loud, that comes to the moment when it is due. What is longer than its source, or at
/// another pitch, was played.
[[nodiscard]] bool is_echo(const LessonNote& note,
                           const std::vector<const LessonNote*>& others,
                           const EchoWays& ways = {});

/// How a way was lately, from what followed: most of them agree. Empty: too few, or they do not.
[[nodiscard]] std::optional<Following> usual_of(const std::vector<Following>& seen,
                                                const EchoWays& ways = {});

/// What stands one under the other: a note of each side, or of one alone. Places in the list of notes.
struct LessonColumn {
    std::optional<std::size_t> here;
    std::optional<std::size_t> call;

    [[nodiscard]] std::optional<std::size_t>& of(Side side) noexcept {
        return side == Side::here ? here : call;
    }
    [[nodiscard]] const std::optional<std::size_t>& of(Side side) const noexcept {
        return side == Side::here ? here : call;
    }
};

/// Puts notes that answer each other into one column: a note goes under the first one of the other side's last phrase that
/// has the same name, was not answered yet and does not stand before one answered already. `notes`: in the order of
/// playing.
[[nodiscard]] std::vector<LessonColumn> columns_of(const std::vector<LessonNote>& notes);

} // namespace bellhand::desk
