#pragma once

#include <string>

namespace bellhand::desk {

/// How listening to a take goes.
struct ListeningStatus {
    bool sounding = false;
    double at_s = 0.0;   ///< in the take
    double speed = 1.0;  ///< 0.5 at half speed, same pitch
    std::string problem; ///< one sentence, or empty
};

} // namespace bellhand::desk
