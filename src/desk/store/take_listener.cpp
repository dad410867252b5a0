#include "desk/store/take_listener.h"

#include <utility>

namespace bellhand::desk {

Result<void> TakeListener::listen(const std::filesystem::path& file, double from_s, double speed) {
    if (!player_ || heard_ != file) {
        auto opened = audio::open_take(file, {});
        if (!opened) {
            return tl::unexpected(opened.error());
        }
        player_ = std::move(*opened);
        heard_ = file;
    }
    player_->set_speed(speed);
    player_->seek(from_s);
    player_->play();
    return {};
}

void TakeListener::stop() {
    player_.reset();
}

ListeningStatus TakeListener::status() const {
    ListeningStatus status;
    if (player_) {
        const audio::TakeStatus take = player_->status();
        status.sounding = take.playing;
        status.at_s = take.position_s;
        status.speed = take.speed;
        status.problem = take.message;
    }
    return status;
}

} // namespace bellhand::desk
