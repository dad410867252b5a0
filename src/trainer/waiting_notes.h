#pragma once

#include "trainer/moments.h"
#include "trainer/played_note.h"
#include "trainer/short_note.h"

namespace bellhand::trainer {

/// Notes that ended, in order, until they are told. A short one waits until what follows has shown that it was no
/// syllable: until a held note comes, or three more short ones, or a while without any sign of speech. Syllables follow
/// each other closely: when one is found out, the short notes just before it go too.
class WaitingNotes {
public:
    /// A note beyond doubt: also frees the short ones before it.
    void add(const PlayedNote& note) noexcept;
    void add_short(const PlayedNote& note) noexcept;

    /// A syllable began: what ended less than `within_s` before it, and is still in doubt, was one as well.
    void drop_before(double syllable_s, double within_s) noexcept;

    /// One reading further; `sounding`: a tone sounds of which it is not known yet what it is.
    void hear(const Moments& moments, bool sounding, const ShortNoteSettings& settings) noexcept;

    /// The oldest that may be told; `all`: whether its time has come or not.
    [[nodiscard]] bool take(bool all, PlayedNote& out) noexcept;

private:
    static constexpr std::size_t kMost = 8;
    struct Waiting {
        PlayedNote note;
        bool sure = false;
        [[nodiscard]] double end_s() const noexcept { return note.start_s + note.duration_s; }
    };
    void put(const Waiting& waiting) noexcept;
    void erase(std::size_t at) noexcept;

    std::array<Waiting, kMost> notes_{}; ///< oldest first
    std::size_t count_ = 0;
};

} // namespace bellhand::trainer
