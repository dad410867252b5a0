#include "support/heard_sound.h"

#include <algorithm>

namespace bellhand::test {

HeardSound hear_sound(std::span<const float> samples,
                      double rate_hz,
                      const horn::Tuning& tuning,
                      const std::optional<practice::OwnHand>& own) {
    HeardSound heard;
    practice::Analysis analysis(tuning);
    if (own) {
        analysis.set_hand(*own);
    }
    audio::Block block;
    block.sample_rate_hz = rate_hz;
    for (std::size_t at = 0; at < samples.size(); at += block.count) {
        const std::size_t count = std::min(block.samples.size(), samples.size() - at);
        block.first_sample = at;
        block.count = static_cast<decltype(block.count)>(count);
        std::copy_n(
            samples.begin() + static_cast<std::ptrdiff_t>(at), count, block.samples.begin());
        if (!analysis.feed(block, heard)) {
            break;
        }
    }
    analysis.finish(heard);
    return heard;
}

} // namespace bellhand::test
