#pragma once

#include "instrument/profile.h"

#include <cstddef>
#include <string>
#include <vector>

namespace bellhand::instrument {

/// A piece as the planner sees it: its acoustic length settled from everything the profile says.
struct HornPiece {
    PieceKind kind = PieceKind::coupler;
    std::string name;
    double acoustic_m = 0.0;
    double tape_m = 0.0; ///< measured, else from the acoustic length
    double reach_m = 0.0;
    bool reach_estimated = false; ///< the profile does not say; see `estimated_reach_m`
    std::optional<double> mass_kg;
    bool takes_couplers = false; ///< crooks only
};

/// A measured pitch that does not agree with the others.
struct SuspectPitch {
    std::string what;       ///< "partial 8 (465.30 Hz) on "short master""
    double off_cents = 0.0; ///< above (+) what the other measurements say
    double wrong = 0.0;     ///< probability that it is another note altogether
};

/// A profile turned into lengths. Couplers come first among the pieces between, then bits.
struct HornLengths {
    double body_m = 0.0; ///< acoustic, mouthpiece included, slide pushed in
    std::vector<HornPiece> crooks;
    std::vector<HornPiece> between;
    std::size_t couplers = 0; ///< how many of `between` are couplers
    TuningSlide slide;
    double tube_factor = 1.0;
    bool plays_without_crook = false;
    ChangeTimes change_times;
    int most_pieces_between = 6;
    std::vector<std::string> warnings;  ///< one sentence each: what disagrees, what is weakly known
    std::vector<SuspectPitch> suspects; ///< the likeliest first

    /// Covariance of [body, crooks, between] in square metres, row by row.
    std::vector<double> covariance_m2;

    /// Acoustic length that pulling the slide adds.
    [[nodiscard]] double slide_adds_m(double pull_m) const noexcept {
        return slide.legs * pull_m / tube_factor;
    }
};

/// More stacks than this are not searched: a profile from somebody else must not keep the program busy for minutes.
inline constexpr double kMostStacks = 30e6;

/// How many different stacks can be put together with at most so many couplers and bits.
[[nodiscard]] double count_stacks(const HornLengths& horn, int most_between) noexcept;

/// The longest stacks that can all be searched: at most `wanted` couplers and bits, fewer when there are more than
/// `kMostStacks` of them. Whoever searches fewer than asked must say so.
[[nodiscard]] int searchable_most_between(const HornLengths& horn, int wanted) noexcept;

/// Settles every length of a profile at once.
///
/// A measured pitch tells the acoustic length of the whole assembly that sounded (c(t)/(2 f), f = Hz over partial
/// number), within the player's aim and the partial's own offset (`weigh_readings`); a tape length tells its piece
/// within 1.2 % and 2 mm, all tapes together within 0.9 %, the body within 1.8 %, for the bell's and mouthpiece's share
/// is only typical; a nominal key or interval, used only when there is nothing better, within 3 %. All are linear in
/// the lengths, so weighted least squares gives lengths and their covariance. Readings that contradict the others widen
/// the result and are named. Errors: a piece comes out without length.
[[nodiscard]] Result<HornLengths> settle_lengths(const Profile& profile);

/// Axial room of a piece whose reach the profile does not give: a bit is as long as its tube; a coiled crook takes
/// about 12 cm, a coupler 8 cm (common practice, no source).
[[nodiscard]] double estimated_reach_m(PieceKind kind, double tape_m) noexcept;

} // namespace bellhand::instrument
