#include "practice/offline.h"

#include <chrono>
#include <thread>

namespace bellhand::practice {

namespace {

constexpr std::size_t kRingBlocks =
    4096; ///< eleven seconds at 48 kHz, for a device that cannot be held back
constexpr std::chrono::microseconds kWait{200};

} // namespace

Result<audio::SourceStatus> analyse(audio::Source& source,
                                    const horn::Tuning& tuning,
                                    AnalysisSink& sink,
                                    const std::optional<OwnHand>& own,
                                    const std::function<bool(Analysis&)>& go_on) {
    audio::BlockRing ring(kRingBlocks);
    Analysis analysis(tuning);
    if (!analysis.hand()
             .trouble()
             .empty()) { // other figures than usual would pass for the usual ones
        return failure(analysis.hand().trouble());
    }
    if (own) {
        analysis.set_hand(*own);
    }
    if (auto started = source.start(ring); !started) {
        return tl::unexpected(started.error());
    }
    Result<void> fed;
    bool over = false;
    while (fed && !over) {
        // Asked before the ring is emptied: what was delivered before the end is then in the ring.
        const audio::SourceState state = source.status().state;
        over = state == audio::SourceState::ended || state == audio::SourceState::failed;
        bool enough = false;
        for (const audio::Block* block = ring.front(); block && fed && !enough;
             block = ring.front()) {
            fed = analysis.feed(*block, sink);
            ring.release();
            enough = go_on && !go_on(analysis);
        }
        over = over || enough || (go_on && !go_on(analysis));
        if (!over) {
            std::this_thread::sleep_for(kWait);
        }
    }
    source.stop();
    if (!fed) {
        return tl::unexpected(fed.error());
    }
    const audio::SourceStatus status = source.status();
    if (status.state == audio::SourceState::failed) {
        return failure(status.message);
    }
    analysis.finish(sink);
    return status;
}

} // namespace bellhand::practice
