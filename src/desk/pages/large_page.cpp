#include "desk/pages/large_page.h"

#include <algorithm>

namespace bellhand::desk {

void LargePage::change_hold(double step_s) {
    hold_s_ = std::clamp(hold_s_ + step_s, kShortestHold_s, kLongestHold_s);
    session_.view().set_large_hold(hold_s_);
    changed_at_s_ = session_.wall_s();
}

} // namespace bellhand::desk
