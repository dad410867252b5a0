#include "audio/stream_end.h"

#include <chrono>
#include <thread>

namespace bellhand::audio {

bool StreamEnd::exchange(const float* heard,
                         float* to_play,
                         std::size_t frames,
                         bool trouble) noexcept {
    // Either this thread sees `revoked_`, or `revoke` sees `inside_` and waits: both sides write, then read the other's
    // flag, in one total order.
    inside_.store(true, std::memory_order_seq_cst);
    const bool wanted = !revoked_.load(std::memory_order_seq_cst);
    if (wanted) {
        calls_.fetch_add(1, std::memory_order_relaxed);
        run(heard, to_play, frames, trouble);
    } else if (to_play != nullptr) {
        hush(to_play, frames);
    }
    inside_.store(false, std::memory_order_release);
    return wanted;
}

void StreamEnd::revoke() noexcept {
    revoked_.store(true, std::memory_order_seq_cst);
    while (inside_.load(std::memory_order_seq_cst)) { // as long as it takes to copy one buffer
        std::this_thread::sleep_for(std::chrono::microseconds(50));
    }
}

} // namespace bellhand::audio
