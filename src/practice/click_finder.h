#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <cstdint>
#include <span>

namespace bellhand::practice {

/// Finds the metronome's clicks in the captured sound, and by them the way from our sample to the captured one.
///
/// The sound is turned down by the two pitches that clicks have and kept in steps of half a millisecond; around each
/// click the shape of its decay is laid over it (matched filter), and where that fits best the click began. The way is
/// the median of those that agree, since a horn or a door may be taken for a click now and then. Nothing allocates.
class ClickFinder {
public:
    static constexpr double kLongestWay_s = 0.3;

    /// A new stream of the microphone, or a hole in it.
    void reset_sound(double sample_rate_hz) noexcept;
    /// The output is another one: what was measured does not hold any more.
    void reset_way() noexcept;

    /// A click was written that would be captured at `written_s` of the session if there were no way at all.
    void expect(double written_s, bool first_of_bar) noexcept;
    /// The next captured samples, which begin at `start_s` of the session.
    void hear(std::span<const float> samples, double start_s) noexcept;

    /// At least three clicks agree within `kAgree_s`.
    [[nodiscard]] bool known() const noexcept { return known_; }
    [[nodiscard]] double way_s() const noexcept { return way_s_; }

    static constexpr double kAgree_s = 0.004;

private:
    static constexpr std::size_t kSteps = 2048; ///< kept: a second
    static constexpr double kStep_s = 0.0005;
    static constexpr std::size_t kExpected = 16;
    static constexpr std::size_t kWays = 9;
    using Complex = std::complex<float>;
    struct Expected {
        double written_s = 0.0;
        bool first_of_bar = false;
    };
    struct Pitch {
        std::complex<double> at{1.0, 0.0};
        std::complex<double> step{1.0, 0.0};
        std::complex<double> sum{};
        std::array<Complex, kSteps> steps{};
    };

    void look(const Expected& click) noexcept;
    void add_way(double way_s) noexcept;

    double rate_hz_ = 0.0;
    std::array<Pitch, 2> pitch_{}; ///< of a beat, of a bar's first
    double step_samples_ = 0.0;    ///< until the next step is full
    std::uint64_t steps_ = 0;      ///< since the stream began
    double began_s_ = 0.0;         ///< session time of the first step
    bool begun_ = false;

    std::array<Expected, kExpected> expected_{};
    std::size_t expected_count_ = 0;
    std::array<double, kWays> ways_{};
    std::size_t ways_count_ = 0;
    std::size_t next_way_ = 0;
    double way_s_ = 0.0;
    bool known_ = false;
};

} // namespace bellhand::practice
