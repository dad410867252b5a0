#pragma once

#include "horn/acoustics/bore.h"

// An invented horn, not a measured instrument, whose resonances were computed outside this program.
namespace bellhand::testing {

inline horn::acoustics::Bore synthetic_horn() {
    horn::acoustics::Bore bore;
    bore.segments = {{0.008, 0.0085, 0.0085},
                     {0.045, 0.0085, 0.0023},
                     {0.022, 0.0023, 0.0037},
                     {0.500, 0.0037, 0.0056},
                     {0.900, 0.0056, 0.0056},
                     {0.350, 0.0056, 0.0056},
                     {0.600, 0.0056, 0.0080},
                     {0.650, 0.0080, 0.0125}};
    for (const horn::acoustics::Segment& slice :
         horn::acoustics::bell_flare(0.600, 0.140, 0.030786, 0.8, 120)) {
        bore.segments.push_back(slice);
    }
    return bore;
}

} // namespace bellhand::testing
