#include "engraving/note_value.h"

namespace bellhand::engraving {

NoteValue note_value(double quarters) noexcept {
    struct Named {
        double quarters;
        NoteValue value;
    };
    static constexpr Named kValues[] = {
        {6.0, {Head::whole, 1, 0}},
        {4.0, {Head::whole, 0, 0}},
        {3.0, {Head::half, 1, 0}},
        {2.0, {Head::half, 0, 0}},
        {1.5, {Head::filled, 1, 0}},
        {1.0, {Head::filled, 0, 0}},
        {0.75, {Head::filled, 1, 1}},
        {0.5, {Head::filled, 0, 1}},
        {0.375, {Head::filled, 1, 2}},
        {0.25, {Head::filled, 0, 2}},
    };
    if (quarters <= 0.0) {
        return {Head::whole, 0, 0};
    }
    constexpr double kRounding = 1e-6;
    for (const Named& named : kValues) {
        if (quarters + kRounding >= named.quarters) {
            return named.value;
        }
    }
    return {Head::filled, 0, 3};
}

} // namespace bellhand::engraving
