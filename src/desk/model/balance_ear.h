#pragma once

#include "hand/balance.h"
#include "trainer/reading.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace bellhand::desk {

/// One tone that was listened to for the balance of hand and horn.
struct BalanceTone {
    std::uint32_t number = 0; ///< in the session, from 0
    double start_s = 0.0;
    double duration_s = 0.0;
    hand::Balance balance;
};

/// Collects the pitch of long tones while it listens, and weighs each when it has ended. A tone goes on while its pitch does,
/// through whatever written notes the closing hand makes of it.
class BalanceEar {
public:
    BalanceEar();
    /// Only while somebody wants to know: its page is shown, or an exercise for it is played.
    void listen(bool yes);
    /// Wobble of the player's own quiet long tones; 0: not known.
    void set_quiet(double wobble_cents) noexcept { quiet_cents_ = wobble_cents; }
    [[nodiscard]] double quiet_cents() const noexcept { return quiet_cents_; }

    void add(const trainer::Reading& reading);
    /// No readings come any more.
    void fall_silent() { finish(); }
    /// Begins anew: no tone, none counted.
    void clear();

    /// The newest tone that was long enough; empty before the first.
    [[nodiscard]] const std::optional<BalanceTone>& tone() const noexcept { return tone_; }
    /// How many there were since the last clear().
    [[nodiscard]] std::uint32_t tones() const noexcept { return tones_; }
    /// Of the tone that sounds.
    [[nodiscard]] const std::vector<pitch::PitchPoint>& live() const noexcept { return points_; }

private:
    void finish();

    bool listening_ = false;
    double quiet_cents_ = 0.0;
    double first_hz_ = 0.0; ///< cents are counted from it
    std::vector<pitch::PitchPoint> points_;
    std::optional<BalanceTone> tone_;
    std::uint32_t tones_ = 0;
};

} // namespace bellhand::desk
