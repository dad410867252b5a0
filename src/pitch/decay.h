#pragma once

#include <array>
#include <cstddef>

namespace bellhand::pitch {

/// Tells what may be only the end of a note that the room draws out.
///
/// While the sound falls, or lies far below what was loud a moment ago, the lines of the last note beat and cross, and a
/// short look at them finds pitches that nobody played. A new pitch is believed there only after longer looks have found
/// it as well. A note that begins inside a decay ends the fall, and is shown at once although it is softer.
class Decay {
public:
    explicit Decay(double hop_s) noexcept;

    /// One hop further; mean square of its samples.
    void hear(double power) noexcept;

    /// A pitch that `agreed` longer looks have confirmed must wait.
    [[nodiscard]] bool hides(int agreed) const noexcept;

    /// Well below what was loud a moment ago.
    [[nodiscard]] bool soft() const noexcept;

    void forget() noexcept;

private:
    static constexpr std::size_t kHops = 12;
    static constexpr std::size_t kMean = 4; // hops that make a level: 21 ms

    [[nodiscard]] double mean(std::size_t back) const noexcept;

    double fade_;
    std::array<double, kHops> recent_{}; // newest first
    double loud_ = 0.0;                  // level of the last while, forgotten slowly
};

} // namespace bellhand::pitch
