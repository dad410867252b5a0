#pragma once

#include "part/music.h"

#include <cstddef>
#include <vector>

namespace bellhand::part {

/// Puts tuplets right whose durations were rounded to whole divisions: a triplet eighth of 5, 5 and 6 sixteenths of a quarter is
/// a third of it three times. Only lengths that differ from what is printed by less than a division are touched.
class RoundedTuplets {
public:
    /// A note of the bar that is being read, which will have this index. Times in quarters from the beginning of the bar.
    void add(const Note& note, std::size_t index, double start, double length, double divisions);

    /// The bar is over; `end` is where it ends by its durations. Moves its notes and what stands with them, and the end of the bar.
    void settle(Music& music, double end);

private:
    struct Given {
        std::size_t index;
        double start;
        double length;
        double printed; ///< length; the same as `length` where that is no rounded tuplet
    };
    std::vector<Given> bar_;
    bool any_ = false;
};

} // namespace bellhand::part
