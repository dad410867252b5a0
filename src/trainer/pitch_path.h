#pragma once

#include <array>
#include <cstddef>

namespace bellhand::trainer {

/// Which of the pitches that were read in a note is the note's: a hidden Markov model over them, followed along its best
/// path (Viterbi 1967).
///
/// A state is a pitch that was read; a reading that lies elsewhere speaks against it by its confidence, half as strongly
/// when the two are a small ratio apart: an octave or twelfth is what an ear mistakes a note for, at attacks and through
/// lost packets. Changing from one state to another costs as much as some hops of contrary readings. A flash costs more
/// to follow than to disbelieve; a note that stays is followed after it has stood for about 50 ms, one in a small ratio
/// to the note before after about 80. Constant memory, no allocation.
class PitchPath {
public:
    void begin() noexcept { count_ = 0; }

    /// One more reading, in cents from any fixed pitch; `confidence` 0 to 1.
    void hear(double cents, double confidence) noexcept;

    /// The best path has arrived within half a semitone of this pitch.
    [[nodiscard]] bool stands_at(double cents) const noexcept;

    /// Where the best path stood for most of its confidence; 0 before any reading.
    [[nodiscard]] double longest_cents() const noexcept;

private:
    static constexpr std::size_t kStates = 6;

    struct State {
        double cents = 0.0;
        double weight = 0.0;                 ///< of the readings that made it
        double score = 0.0;                  ///< of the best path that ends here
        std::array<double, kStates> stood{}; ///< confidence that this path spent in each state
    };

    [[nodiscard]] std::size_t best() const noexcept;
    [[nodiscard]] std::size_t state_at(double cents) noexcept;

    std::array<State, kStates> states_{};
    std::size_t count_ = 0;
};

} // namespace bellhand::trainer
