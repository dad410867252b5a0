#pragma once

#include "audio/take_player.h"
#include "core/result.h"
#include "desk/listening_status.h"

#include <filesystem>
#include <memory>

namespace bellhand::desk {

/// Plays one take at a time through the default output.
class TakeListener {
public:
    /// From there on; the same file goes on without being opened again. Errors: no output, no such file.
    [[nodiscard]] Result<void>
    listen(const std::filesystem::path& file, double from_s, double speed);
    void stop();
    [[nodiscard]] ListeningStatus status() const;

private:
    std::unique_ptr<audio::TakePlayer> player_; ///< while a take is listened to
    std::filesystem::path heard_;               ///< its file
};

} // namespace bellhand::desk
