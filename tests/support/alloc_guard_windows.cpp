#include "support/alloc_guard.h"

namespace bellhand::test {

RealTimeScope::RealTimeScope() noexcept = default;
RealTimeScope::~RealTimeScope() = default;

ForbiddenCalls RealTimeScope::calls() const noexcept {
    return {};
}

bool RealTimeScope::available() noexcept {
    return false; // a function of the program does not stand before that of a DLL here
}

} // namespace bellhand::test
