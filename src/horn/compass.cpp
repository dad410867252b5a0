#include "horn/compass.h"

#include <algorithm>
#include <array>

namespace bellhand::horn {

Compass usual_compass(const Crook& crook) noexcept {
    constexpr bool kPrinted = true;
    constexpr std::array<Compass, 17> kByTransposition{{
        {2, 10, false},    // C alto
        {2, 10, false},    // B alto
        {2, 10, kPrinted}, // B flat alto
        {2, 10, kPrinted}, // A
        {2, 10, kPrinted}, // A flat
        {2, 12, kPrinted}, // G
        {2, 12, false},    // F sharp
        {2, 16, kPrinted}, // F
        {2, 16, kPrinted}, // E
        {2, 16, kPrinted}, // E flat
        {2, 16, kPrinted}, // D
        {3, 16, false},    // D flat
        {3, 16, kPrinted}, // C basso
        {3, 16, false},    // B basso
        {3, 16, kPrinted}, // B flat basso
        {3, 16, false},    // A basso
        {3, 16, false},    // A flat basso
    }};
    return kByTransposition[static_cast<std::size_t>(std::clamp(-crook.transposition, 0, 16))];
}

bool is_rare(const Crook& crook) noexcept {
    constexpr std::array kRare{0, -1, -6, -11, -13, -15, -16};
    return std::find(kRare.begin(), kRare.end(), crook.transposition) != kRare.end();
}

} // namespace bellhand::horn
