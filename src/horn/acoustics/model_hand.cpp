#include "horn/acoustics/model_hand.h"

#include <array>

namespace bellhand::horn::acoustics {

static_assert(kPartials == kModelPartials);

Result<HandResponse> model_hand_response(const Tuning& tuning,
                                         const Air& air,
                                         const HornShape& shape,
                                         const HandHabit& habit) {
    const std::array f1_hz{fundamental_hz(tuning)};
    std::array<double, kHandDegrees> closures{};
    for (std::size_t degree = 0; degree < closures.size(); ++degree) {
        closures[degree] = closure_of(static_cast<Hand>(degree));
    }
    const auto tables = hand_tables(shape, f1_hz, closures, air, habit);
    if (!tables) {
        return tl::unexpected(tables.error());
    }
    const HandTable& table = tables->front();
    HandResponse response;
    response.open_cents = table.open_cents;
    response.hand_out_cents = table.hand_out_cents;
    for (std::size_t n = 0; n < table.open_cents.size(); ++n) {
        for (std::size_t degree = 0; degree < closures.size(); ++degree) {
            response.fall_cents[n][degree] = table.fall_cents[degree][n];
        }
    }
    // The lowest resonance lies far below f1 and is not what a pedal note hangs on: its upper harmonics do, so it sounds
    // f1 whatever the hand does (from memory).
    response.open_cents.front() = 0.0;
    response.hand_out_cents.front() = 0.0;
    response.fall_cents.front().fill(0.0);
    response.source = "transmission-line model of an invented horn, computed, not measured";
    return response;
}

} // namespace bellhand::horn::acoustics
