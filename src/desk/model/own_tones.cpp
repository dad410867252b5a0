#include "desk/model/own_tones.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::desk {

void OwnTones::follow(const audio::ReferenceSound& wanted, double now_s) {
    constexpr double kToldLate_s =
        1.5; // fading, buffers, and the ear, which tells a note when it has ended
    tones_.erase(std::remove_if(tones_.begin(),
                                tones_.end(),
                                [&](const Tone& tone) { return tone.until_s < now_s; }),
                 tones_.end());
    for (const double hz : wanted.drone_hz) {
        sounds(hz, now_s + kToldLate_s);
    }
    if (wanted.note_request != note_request_) {
        note_request_ = wanted.note_request;
        sounds(wanted.note_hz, now_s + wanted.note_s + kToldLate_s);
    }
}

void OwnTones::sounds(double hz, double until_s) {
    if (hz <= 0.0) {
        return;
    }
    const auto known =
        std::find_if(tones_.begin(), tones_.end(), [&](const Tone& tone) { return tone.hz == hz; });
    if (known == tones_.end()) {
        tones_.push_back({hz, until_s});
    } else {
        known->until_s = std::max(known->until_s, until_s);
    }
}

bool OwnTones::may_be(double f0_hz, double now_s) const noexcept {
    constexpr double kSame_cents = 30.0; // a player beside a drone pulls what is heard of it
    return f0_hz > 0.0 && std::any_of(tones_.begin(), tones_.end(), [&](const Tone& tone) {
               const double above_cents = cents_between(tone.hz, f0_hz);
               return tone.until_s >= now_s && (std::fabs(above_cents) <= kSame_cents ||
                                                std::fabs(above_cents - 1200.0) <= kSame_cents);
           });
}

} // namespace bellhand::desk
