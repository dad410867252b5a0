#include "words/time.h"

#include <cmath>

#include <fmt/format.h>

namespace bellhand::words {

std::string remark(const drill::Remark& remark) {
    using Kind = drill::Remark::Kind;
    const long ms = std::lround(1000.0 * std::fabs(remark.played));
    switch (remark.kind) {
    case Kind::tempo:
        return fmt::format("You play at {:.0f}; written is {:.0f}.", remark.played, remark.written);
    case Kind::behind_click:
        return fmt::format("You come {} ms {} the click, always alike{}.",
                           ms,
                           remark.played > 0.0 ? "behind" : "before",
                           remark.click_heard ? "" : ": the headphones, or you");
    case Kind::drifting:
        return fmt::format("You {} the click: {} ms in {:.0f} beats.",
                           remark.played > 0.0 ? "fall behind" : "run ahead of",
                           ms,
                           remark.written);
    case Kind::another_tune:
        break;
    }
    return "This is not what is asked: its notes are not judged. Another exercise, or another "
           "crook?";
}

} // namespace bellhand::words
