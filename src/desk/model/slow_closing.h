#pragma once

#include "horn/hand_response.h"
#include "instrument/calibration/calibration_closing.h"
#include "trainer/reading.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

inline constexpr double kShortestPace_s = 2.0;
inline constexpr double kLongestPace_s = 8.0;

/// One moment of a closing under way.
struct LivePoint {
    double closure = 0.0; ///< where the mark stood, 0 open to 1 full stop
    double cents = 0.0;   ///< from the open note
};

/// Follows a player who closes the hand slowly on one partial: the note is held open for a second, then a mark travels
/// from open to full stop and the hand goes with it. When the tone ends the whole is measured; the result stays until the
/// next closing that could be measured.
///
/// Closure is the share of an even movement: live the mark's, measured from where the pitch leaves the open note to where
/// it lands. What the pitch itself says of the closure would be no independent figure.
class SlowClosing {
public:
    enum class Phase {
        waiting, ///< no tone
        open,    ///< a tone, held open
        closing, ///< the mark travels
        stopped, ///< the mark has arrived
    };

    SlowClosing();
    /// Of the crook as nominal or calibrated; the response gives the place of the open partials.
    void set_horn(double f1_hz, const horn::HandResponse& response);
    /// Only while its screen is shown; otherwise ordinary playing would be taken for closings.
    void listen(bool yes);
    void add(const trainer::Reading& reading);
    /// No readings come any more.
    void fall_silent();
    /// A new session: the closing under way is lost, the result stays.
    void clear() noexcept;
    /// How long the mark takes, in seconds.
    void set_pace(double pace_s) noexcept;

    [[nodiscard]] Phase phase() const noexcept { return phase_; }
    [[nodiscard]] double pace_s() const noexcept { return pace_s_; }
    /// Where the mark stands, 0 to 1.
    [[nodiscard]] double mark() const noexcept;
    /// Of the closing under way; 0 before it is known.
    [[nodiscard]] int partial() const noexcept { return partial_; }
    [[nodiscard]] const std::vector<LivePoint>& live() const noexcept { return live_; }
    [[nodiscard]] const std::optional<instrument::MeasuredClosing>& result() const noexcept {
        return result_;
    }
    /// Why the last breath could not be measured; empty when it could.
    [[nodiscard]] const std::string& refused() const noexcept { return refused_; }

private:
    void begin(double time_s);
    void finish();

    double f1_hz_ = 0.0;
    horn::HandResponse response_;
    double pace_s_ = 4.0;
    bool listening_ = false;
    Phase phase_ = Phase::waiting;
    std::vector<instrument::ClosingSample> samples_;
    std::vector<LivePoint> live_;
    double began_s_ = 0.0;
    double last_s_ = 0.0;
    int partial_ = 0;
    double open_hz_ = 0.0;
    std::optional<instrument::MeasuredClosing> result_;
    std::string refused_;
};

} // namespace bellhand::desk
