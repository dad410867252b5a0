#pragma once

#include "desk/page.h"

namespace bellhand::desk {

/// Free practice: what sounds now. All its keys are the window's.
class PracticePage : public Page {
public:
    [[nodiscard]] KeyTable keys() override { return {}; }
};

} // namespace bellhand::desk
