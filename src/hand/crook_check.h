#pragma once

#include <array>
#include <cstddef>

namespace bellhand::hand {

/// Whether the notes that sound open lie where this horn has its open notes. When they do not, the crook is another one
/// than the program was told, or the slide is far out; then the pitch names hand positions that nobody took.
///
/// Counts notes whose timbre is surely open, on the partials 3 to 8: above, open partials lie so close that any pitch is
/// near one. A dull stopped note sounds open too, and a player may practise those for long: once two notes have proved the
/// crook, only a long run without a single open note speaks against it (another crook was put in and not told).
class CrookCheck {
public:
    enum class Verdict {
        unproven,     ///< too few notes yet
        proven,       ///< notes that sound open lie on open partials
        contradicted, ///< hardly one of several does
    };

    /// A note that sounds surely open, so far off the nearest open partial.
    void add(double off_open_cents) noexcept;
    [[nodiscard]] Verdict verdict() const noexcept;
    void forget() noexcept {
        count_ = 0;
        proven_ = false;
    }

private:
    static constexpr std::size_t kRemembered = 24;
    [[nodiscard]] std::size_t near_notes() const noexcept;

    std::array<bool, kRemembered> near_{};
    std::size_t count_ = 0;
    bool proven_ = false;
};

} // namespace bellhand::hand
