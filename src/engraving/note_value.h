#pragma once

namespace bellhand::engraving {

enum class Head { whole, half, filled };

/// How a length is written.
struct NoteValue {
    Head head = Head::filled;
    int dots = 0;
    int flags = 0;

    friend bool operator==(const NoteValue&, const NoteValue&) = default;
};

/// The note value of a length in quarter notes, the next shorter one when no value has exactly that length. 0 (as long
/// as the player likes) is written as a whole note.
[[nodiscard]] NoteValue note_value(double quarters) noexcept;

} // namespace bellhand::engraving
