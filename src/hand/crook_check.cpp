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
}

CrookCheck::Verdict CrookCheck::verdict() const noexcept {
    const std::size_t notes = std::min(count_, kRemembered);
    const auto near = static_cast<std::size_t>(
        std::count(near_.begin(), near_.begin() + static_cast<std::ptrdiff_t>(notes), true));
    if (notes >= kSeveral && 4 * near <= notes) {
        return Verdict::contradicted;
    }
    return near >= kProof ? Verdict::proven : Verdict::unproven;
}

} // namespace bellhand::hand
