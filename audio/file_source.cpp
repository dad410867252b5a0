#include "audio/file.h"
#include "audio/file_feed.h"
#include "audio/paced_source.h"

#include <utility>

namespace bellhand::audio {

Result<std::unique_ptr<Source>>
open_file(const std::filesystem::path& path, Pace pace, int channel) {
    auto feed = open_feed(path, channel);
    if (!feed) {
        return tl::unexpected(feed.error());
    }
    const FileFacts& facts = (*feed)->facts();
    SourceStatus about;
    about.name = path.filename().string();
    about.sample_rate_hz = facts.sample_rate_hz;
    about.channels = facts.channels;
    about.channel = channel;
    return std::make_unique<PacedSource>(
        Result<std::unique_ptr<SampleFeed>>(std::move(*feed)), pace, std::move(about));
}

} // namespace bellhand::audio
