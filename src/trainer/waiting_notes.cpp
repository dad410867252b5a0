#include "trainer/waiting_notes.h"

#include <algorithm>

namespace bellhand::trainer {

namespace {

constexpr std::size_t kRow = 3; // short notes that follow each other make music

} // namespace

void WaitingNotes::put(const Waiting& waiting) noexcept {
    if (count_ == kMost) { // nobody took them: the oldest makes room
        erase(0);
    }
    notes_[count_++] = waiting;
}

void WaitingNotes::erase(std::size_t at) noexcept {
    std::move(notes_.begin() + static_cast<std::ptrdiff_t>(at) + 1,
              notes_.begin() + static_cast<std::ptrdiff_t>(count_),
              notes_.begin() + static_cast<std::ptrdiff_t>(at));
    --count_;
}

void WaitingNotes::add(const PlayedNote& note) noexcept {
    for (std::size_t i = 0; i < count_; ++i) {
        notes_[i].sure = true;
    }
    put({note, true});
}

void WaitingNotes::add_short(const PlayedNote& note) noexcept {
    put({note, false});
}

void WaitingNotes::drop_before(double syllable_s, double within_s) noexcept {
    for (std::size_t i = count_; i-- > 0;) {
        if (!notes_[i].sure && notes_[i].end_s() >= syllable_s - within_s) {
            syllable_s = notes_[i].note.start_s;
            erase(i);
        }
    }
}

void WaitingNotes::hear(const Moments& moments,
                        bool sounding,
                        const ShortNoteSettings& settings) noexcept {
    if (count_ == 0 || notes_[count_ - 1].sure) {
        return;
    }
    const double since_s = notes_[count_ - 1].end_s();
    const double until_s = since_s + settings.after_s;
    const double withheld = withheld_s(moments, since_s, until_s);
    const double shown = shown_s(moments, since_s, until_s);
    if (withheld > settings.withheld_after_s + settings.withheld_share * shown) {
        drop_before(since_s, settings.after_s);
    } else if (moments.recent(0).time_s > until_s && !sounding) {
        for (std::size_t i = 0; i < count_; ++i) {
            notes_[i].sure = true;
        }
    } else if (count_ > kRow) {
        notes_[count_ - 1 - kRow].sure = true;
    }
}

bool WaitingNotes::take(bool all, PlayedNote& out) noexcept {
    if (count_ == 0 || !(all || notes_[0].sure)) {
        return false;
    }
    out = notes_[0].note;
    erase(0);
    return true;
}

} // namespace bellhand::trainer
