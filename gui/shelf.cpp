#include "gui/shelf.h"

#include "app/today.h"
#include "audio/take_player.h"
#include "drill/library.h"
#include "logbook/logbook.h"
#include "practice/skill_log.h"
#include "progress/calendar.h"

#include <ctime>
#include <utility>

namespace bellhand::gui {

namespace {

constexpr const char* kNoLog =
    "Nothing is logged: start Bellhand with --log PATH to keep what is played.";

class RealShelf final : public Shelf {
public:
    explicit RealShelf(std::optional<std::filesystem::path> log_path)
        : log_path_(std::move(log_path)) {}

    Result<skill::DayPlan> plan(const horn::Tuning& tuning, double minutes) override {
        skill::PlanWishes wishes;
        wishes.minutes = minutes;
        wishes.usual = tuning.crook;
        if (!log_path_) {
            wishes.now_s = static_cast<std::int64_t>(std::time(nullptr));
            return skill::plan_day({}, wishes);
        }
        auto today = app::today(*log_path_, std::move(wishes));
        if (!today) {
            return tl::unexpected(today.error());
        }
        return std::move(today->plan);
    }

    Result<skill::Skills> skills() override {
        return log_path_ ? practice::skills_in(*log_path_) : skill::Skills{};
    }

    Result<std::vector<drill::Exercise>> exercises() override {
        return drill::built_in_exercises();
    }

    Result<std::vector<logbook::SessionRecord>> sessions() override {
        if (!log_exists()) {
            return std::vector<logbook::SessionRecord>{};
        }
        return with_log([](logbook::Logbook& log) { return log.sessions(); });
    }

    Result<SessionContents> session(std::int64_t id) override {
        return with_log([id](logbook::Logbook& log) -> Result<SessionContents> {
            auto blocks = log.blocks(id);
            auto notes = log.notes(id);
            auto takes = log.takes(id);
            auto comments = log.comments(id);
            for (const Error* error :
                 {error_of(blocks), error_of(notes), error_of(takes), error_of(comments)}) {
                if (error != nullptr) {
                    return tl::unexpected(*error);
                }
            }
            return SessionContents{
                std::move(*blocks), std::move(*notes), std::move(*takes), std::move(*comments)};
        });
    }

    Result<void> delete_session(std::int64_t id) override {
        return with_log([id](logbook::Logbook& log) { return log.delete_session(id); });
    }
    Result<void> restore_session(std::int64_t id) override {
        return with_log([id](logbook::Logbook& log) { return log.restore_session(id); });
    }
    Result<void> keep_take(const logbook::TakeRecord& take, bool kept) override {
        return with_log([&](logbook::Logbook& log) -> Result<void> {
            logbook::TakeRecord changed = take;
            changed.kept = kept;
            const auto put = log.put_take(changed);
            return put ? Result<void>{} : tl::unexpected(put.error());
        });
    }
    Result<void> remove_take(std::int64_t id) override {
        return with_log([id](logbook::Logbook& log) { return log.remove_take(id); });
    }
    Result<void> add_comment(const logbook::CommentRecord& comment) override {
        return with_log([&](logbook::Logbook& log) -> Result<void> {
            const auto added = log.add_comment(comment);
            return added ? Result<void>{} : tl::unexpected(added.error());
        });
    }

    Result<progress::Progress> look_back(progress::Range range) override {
        if (!log_exists()) {
            progress::Progress nothing;
            nothing.range = range;
            return nothing;
        }
        return with_log([range](logbook::Logbook& log) {
            return progress::look_back(log, range, progress::today());
        });
    }
    Result<std::vector<progress::TrendPoint>> trend(progress::Range range,
                                                    const std::string& crook) override {
        return with_log([&](logbook::Logbook& log) {
            return progress::trend(log, range, progress::today(), crook);
        });
    }

    Result<void> listen(const logbook::TakeRecord& take, double from_s, double speed) override {
        if (!log_path_) {
            return failure(kNoLog);
        }
        if (!player_ || heard_ != take.file) {
            auto opened = audio::open_take(logbook::takes_folder(*log_path_) / take.file, {});
            if (!opened) {
                return tl::unexpected(opened.error());
            }
            player_ = std::move(*opened);
            heard_ = take.file;
        }
        player_->set_speed(speed);
        player_->seek(from_s);
        player_->play();
        return {};
    }

    void stop_listening() override { player_.reset(); }

    ListeningStatus listening() override {
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

private:
    template <class Value>
    [[nodiscard]] static const Error* error_of(const Result<Value>& result) {
        return result ? nullptr : &result.error();
    }

    [[nodiscard]] bool log_exists() const {
        std::error_code ignored;
        return log_path_ && std::filesystem::exists(*log_path_, ignored);
    }

    /// The log is opened for each question: a running session writes to it through a connection of its own.
    template <class Ask>
    [[nodiscard]] auto with_log(const Ask& ask)
        -> decltype(ask(std::declval<logbook::Logbook&>())) {
        if (!log_path_) {
            return failure(kNoLog);
        }
        auto log = logbook::Logbook::open(*log_path_);
        if (!log) {
            return tl::unexpected(log.error());
        }
        return ask(**log);
    }

    std::optional<std::filesystem::path> log_path_;
    std::unique_ptr<audio::TakePlayer> player_; ///< while a take is listened to
    std::string heard_;                         ///< its file
};

} // namespace

std::shared_ptr<Shelf> real_shelf(const std::optional<std::filesystem::path>& log_path) {
    return std::make_shared<RealShelf>(log_path);
}

} // namespace bellhand::gui
