#include "core/version.h"

namespace bellhand {

const char* version() noexcept {
    return BELLHAND_VERSION;
}

} // namespace bellhand
