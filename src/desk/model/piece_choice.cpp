#include "desk/model/piece_choice.h"

#include <cstddef>

namespace bellhand::desk {

int pieces_of(const instrument::HornLengths& horn) noexcept {
    return static_cast<int>(horn.crooks.size() + horn.between.size());
}

const instrument::HornPiece& piece_at(const instrument::HornLengths& horn, int index) noexcept {
    const auto crooks = static_cast<int>(horn.crooks.size());
    return index < crooks ? horn.crooks[static_cast<std::size_t>(index)]
                          : horn.between[static_cast<std::size_t>(index - crooks)];
}

bool mounted_at(const instrument::HornLengths& horn,
                const instrument::Stack& stack,
                int index) noexcept {
    const auto crooks = static_cast<int>(horn.crooks.size());
    return index < crooks ? stack.crook == index : ((stack.between >> (index - crooks)) & 1U) != 0;
}

instrument::Stack
toggled(const instrument::HornLengths& horn, instrument::Stack stack, int index) noexcept {
    const auto crooks = static_cast<int>(horn.crooks.size());
    if (index < crooks) {
        stack.crook = stack.crook == index ? -1 : index;
    } else {
        stack.between ^= instrument::PieceSet{1} << (index - crooks);
    }
    return stack;
}

std::string why_it_does_not_fit(const instrument::HornLengths& horn,
                                const instrument::Stack& stack) {
    if (stack.crook < 0) {
        return "The mouthpiece needs a crook: choose another crook instead.";
    }
    return horn.crooks[static_cast<std::size_t>(stack.crook)].name +
           " takes no couplers: take them off first, or choose a master crook.";
}

} // namespace bellhand::desk
