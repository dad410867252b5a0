#include "drill/withheld.h"

#include "drill/judge.h"

#include <algorithm>
#include <bit>
#include <utility>

namespace bellhand::drill {

namespace {

// Tried on random melodies played in place of others, and on players with many slips (tests/unit/drill/withheld_test.cpp).
constexpr int kLooked = 9;    ///< notes
constexpr int kMostRight = 3; ///< of them by chance, when another tune is played
constexpr int kFoundAgain = 4;
constexpr std::uint32_t kLookedMask = (1U << 9U) - 1U;
constexpr std::uint32_t kFoundMask = (1U << 4U) - 1U;
constexpr std::uint32_t kTwo = 3U;

} // namespace

void Withheld::count(bool right) noexcept {
    newest_ = (newest_ << 1U) | (right ? 1U : 0U);
    played_ = std::min(played_ + 1, 32);
}

/// Two wrong notes in a row, or a right one among wrong ones.
bool Withheld::doubtful() const noexcept {
    return played_ >= 2 &&
           ((newest_ & kTwo) == 0 || (!waiting_.empty() && (newest_ & kTwo) != kTwo));
}

void Withheld::add(Judgement judgement) {
    const bool played = judgement.played;
    const bool right = played && !judgement.extra && !is_wrong(judgement);
    waiting_.push_back(std::move(judgement));
    if (played) {
        count(right);
    }
    if (astray_) {
        if (!right) {
            waiting_.clear();
        } else if (played_ >= kFoundAgain && (newest_ & kFoundMask) == kFoundMask) {
            astray_ = false;
            release();
        }
        return;
    }
    if (played_ >= kLooked && std::popcount(newest_ & kLookedMask) <= kMostRight) {
        astray_ = to_be_said_ = true;
        waiting_.clear();
        return;
    }
    if (!doubtful()) {
        release();
    }
}

void Withheld::release() {
    if (astray_) {
        waiting_.clear();
        return;
    }
    std::move(waiting_.begin(), waiting_.end(), std::back_inserter(ready_));
    waiting_.clear();
}

bool Withheld::next(Judgement& out) {
    if (ready_.empty()) {
        return false;
    }
    out = std::move(ready_.front());
    ready_.pop_front();
    return true;
}

bool Withheld::another_tune() noexcept {
    return std::exchange(to_be_said_, false);
}

} // namespace bellhand::drill
