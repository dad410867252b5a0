#pragma once

#include "trainer/moments.h"

namespace bellhand::trainer {

/// Whether the room rings on between notes, told by how quickly the level can fall: lips let go within some 50 ms, and
/// nothing falls more steeply than the room lets it. Of measured tones tongued with gaps of 50 ms the steepest fall in
/// 60 ms is 50 dB in the open and 12 to 32 dB in rooms that ring for 0.8 to 0.3 s (by image sources; the test of the free
/// player). Who only slurs shows nothing, and nothing is then claimed.
class RoomRing {
public:
    /// One reading later.
    void hear(const Moments& moments) noexcept;
    /// A note that repeats another may drown in what the room leaves of it.
    [[nodiscard]] bool rings() const noexcept;
    /// Something fell more steeply than any such room would let it.
    [[nodiscard]] bool open() const noexcept;

private:
    double loud_db_ = -200.0;  ///< of what was played lately
    double steepest_db_ = 0.0; ///< fall; forgotten slowly, for players move and doors open
};

} // namespace bellhand::trainer
