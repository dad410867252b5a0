#pragma once

#include <array>

namespace bellhand::pitch {

/// Keeps a speaking voice from being shown as notes.
///
/// A voice repeats like a horn, but its pitch hardly ever rests: a syllable slides through 80 cents and is over in less
/// than half a second without having stood still. A new pitch is therefore shown only once it stands still for a few
/// hops, and after two sliding syllables only once it has stood still for a sixth of a second, until a steady note, short
/// firm ones or two seconds without a syllable have passed.
class SpeechGuard {
public:
    explicit SpeechGuard(double hop_s) : hop_s_(hop_s) {}

    /// A pitch begins to be followed: out of nothing, or (`slurred`) straight out of the one before.
    void begin(bool slurred) noexcept;

    /// One hop further at `cents` above any fixed pitch; `repeats` is the share of the sound that repeats with it,
    /// `slope_cents_per_s` how fast it moves by the sound that is known of it already. True when the pitch may be shown.
    bool follow(double cents, double repeats, double slope_cents_per_s) noexcept;

    /// The pitch is no longer followed.
    void end() noexcept;

    /// One hop without any pitch.
    void rest() noexcept { quiet_s_ += hop_s_; }

private:
    void weigh() noexcept;

    double hop_s_;
    double age_s_ = 0.0;
    double steady_s_ = 0.0;
    double longest_steady_s_ = 0.0; // since the pitch began
    double firm_s_ = 0.0;           // the same, as firmly as only an instrument stands
    double longest_firm_s_ = 0.0;
    double quiet_s_ = 0.0;
    double low_ = 0.0; // range since the pitch began, its first moments left out
    double high_ = 0.0;
    double anchor_ = 0.0; // where the pitch last began to stand still
    double firm_anchor_ = 0.0;
    std::array<double, 5> recent_{};
    int syllables_ = 0;
    int broken_hops_ = 0;
    bool shown_ = false;
};

} // namespace bellhand::pitch
