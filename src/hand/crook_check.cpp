#include "hand/crook_check.h"

#include <algorithm>
#include <cmath>

namespace bellhand::hand {

namespace {

// Common practice, no source: open notes lie within this of n * f1 once the horn's own offset is taken out.
constexpr double kNear_cents = 30.0;
constexpr std::size_t kProof = 2;
constexpr std::size_t kSeveral = 4;

} // namespace

void CrookCheck::add(double off_open_cents) noexcept {
    near_[count_++ % kRemembered] = std::fabs(off_open_cents) <= kNear_cents;
    if (near_notes() >= kProof && verdict() != Verdict::contradicted) {
        proven_ = true;
    } else if (count_ >= kRemembered && near_notes() == 0) {
        proven_ = false;
    }
}

std::size_t CrookCheck::near_notes() const noexcept {
    const std::size_t notes = std::min(count_, kRemembered);
    return static_cast<std::size_t>(
        std::count(near_.begin(), near_.begin() + static_cast<std::ptrdiff_t>(notes), true));
}

CrookCheck::Verdict CrookCheck::verdict() const noexcept {
    if (proven_) {
        return Verdict::proven;
    }
    const std::size_t notes = std::min(count_, kRemembered);
    return notes >= kSeveral && 4 * near_notes() <= notes ? Verdict::contradicted
                                                          : Verdict::unproven;
}

} // namespace bellhand::hand
