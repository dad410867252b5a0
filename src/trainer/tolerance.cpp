#include "trainer/tolerance.h"

namespace bellhand::trainer {

double tolerance_cents(horn::Hand hand) noexcept {
    constexpr double kOpen = 5.0;
    constexpr double kPartly = 10.0;
    constexpr double kStopped = 15.0;
    switch (hand) {
    case horn::Hand::open:
        return kOpen;
    case horn::Hand::full:
        return kStopped;
    default:
        return kPartly;
    }
}

} // namespace bellhand::trainer
