#include "desk/model/pitch_thread.h"

namespace bellhand::desk {

void PitchThread::add(const trainer::Reading& reading) noexcept {
    ThreadPoint point;
    point.time_s = reading.frame.time_s;
    point.sounding = reading.has_note;
    point.sure = reading.has_note && !reading.frame.doubtful;
    if (reading.has_note) {
        point.cents = static_cast<float>(reading.note.deviation_cents);
        point.sd_cents = static_cast<float>(reading.frame.f0_sd_cents);
        point.written = reading.note.written;
        point.hand = reading.note.hand;
    }
    points_[count_ % kPoints] = point;
    ++count_;
}

} // namespace bellhand::desk
