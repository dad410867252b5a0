#include "desk/store/shelf.h"

#include "app/today.h"
#include "audio/file.h"
#include "core/calendar.h"
#include "core/files.h"
#include "core/platform.h"
#include "desk/store/log_access.h"
#include "desk/store/take_listener.h"
#include "drill/library.h"
#include "logbook/rescue.h"
#include "report/report.h"
#include "run/part_blocks.h"
#include "run/skill_log.h"
#include "takes/budget.h"

#include <ctime>
#include <utility>

namespace bellhand::desk {

namespace {

constexpr const char* kNoLog =
    "Nothing is logged: start Bellhand with --log PATH to keep what is played.";

class RealShelf final : public Shelf {
public:
    ~RealShelf() override { RealShelf::stop_listening(); }
    RealShelf(const std::optional<std::filesystem::path>& log_path,
              const std::filesystem::path& documents)
        : log_(log_path, kNoLog),
          documents_(documents),
          homework_(real_homework_shelf(log_path, documents)) {}

    std::vector<std::string> bring_back() override {
        if (!log_.path() || logbook::rescued_for(*log_.path()).empty()) {
            return {};
        }
        using Sentences = std::vector<std::string>;
        const auto back = log_.ask([&](logbook::Logbook& log) -> Result<Sentences> {
            return logbook::bring_back(*log_.path(), log);
        });
        return back ? *back : Sentences{back.error().message};
    }

    Result<skill::DayPlan> plan(const horn::Tuning& tuning, double minutes) override {
        skill::PlanWishes wishes;
        wishes.minutes = minutes;
        wishes.usual = tuning.crook;
        if (!log_.path()) {
            wishes.now_s = static_cast<std::int64_t>(std::time(nullptr));
            return skill::plan_day({}, wishes);
        }
        auto today = app::today(*log_.path(), std::move(wishes));
        if (!today) {
            return tl::unexpected(today.error());
        }
        return std::move(today->plan);
    }

    Result<skill::Skills> skills() override {
        return log_.path() ? run::skills_in(*log_.path()) : skill::Skills{};
    }

    Result<std::vector<drill::Exercise>> exercises() override {
        return drill::built_in_exercises();
    }

    Result<drill::BarResults> bars_of(const part::Part& part, const part::Plan& plan) override {
        if (!log_.exists()) {
            return drill::BarResults{};
        }
        return log_.ask([&](logbook::Logbook& log) { return run::part_results(part, plan, log); });
    }

    Result<std::vector<logbook::SessionRecord>> sessions() override {
        if (!log_.exists()) {
            return std::vector<logbook::SessionRecord>{};
        }
        return log_.ask([](logbook::Logbook& log) { return log.sessions(); });
    }

    Result<SessionContents> session(std::int64_t id) override {
        return log_.ask([id](logbook::Logbook& log) -> Result<SessionContents> {
            auto blocks = log.blocks(id);
            auto notes = log.notes(id);
            auto takes = log.takes(id);
            auto comments = log.comments(id);
            auto changes = log.crook_changes(id);
            for (const Error* error : {error_of(blocks),
                                       error_of(notes),
                                       error_of(takes),
                                       error_of(comments),
                                       error_of(changes)}) {
                if (error != nullptr) {
                    return tl::unexpected(*error);
                }
            }
            return SessionContents{std::move(*blocks),
                                   std::move(*notes),
                                   std::move(*takes),
                                   std::move(*comments),
                                   std::move(*changes)};
        });
    }

    Result<void> delete_session(std::int64_t id) override {
        return log_.ask([id](logbook::Logbook& log) { return log.delete_session(id); });
    }
    Result<void> restore_session(std::int64_t id) override {
        return log_.ask([id](logbook::Logbook& log) { return log.restore_session(id); });
    }
    Result<void> keep_take(const logbook::TakeRecord& take, bool kept) override {
        return log_.ask([&](logbook::Logbook& log) -> Result<void> {
            logbook::TakeRecord changed = take;
            changed.kept = kept;
            const auto put = log.put_take(changed);
            return put ? Result<void>{} : tl::unexpected(put.error());
        });
    }
    Result<void> remove_take(std::int64_t id) override {
        return log_.ask([id](logbook::Logbook& log) { return log.remove_take(id); });
    }
    Result<TakesRoom> takes_room() override {
        return log_.ask([](logbook::Logbook& log) -> Result<TakesRoom> {
            const auto used = log.takes_bytes();
            const auto budget = takes::budget(log);
            if (!used || !budget) {
                return tl::unexpected(used ? budget.error() : used.error());
            }
            return TakesRoom{*used, *budget};
        });
    }
    Result<std::string> set_takes_budget(std::int64_t bytes) override {
        return log_.ask([bytes](logbook::Logbook& log) -> Result<std::string> {
            if (const auto set = takes::set_budget(log, bytes); !set) {
                return tl::unexpected(set.error());
            }
            return takes::keep_within_budget(log);
        });
    }
    Result<void> add_comment(const logbook::CommentRecord& comment) override {
        return log_.ask([&](logbook::Logbook& log) -> Result<void> {
            const auto added = log.add_comment(comment);
            return added ? Result<void>{} : tl::unexpected(added.error());
        });
    }

    Result<void> keep_balance(std::int64_t session,
                              const logbook::BalanceRecord& balance) override {
        return log_.ask(
            [&](logbook::Logbook& log) { return logbook::put_balance(log, session, balance); });
    }
    Result<std::vector<logbook::BalanceRecord>> balances() override {
        if (!log_.exists()) {
            return std::vector<logbook::BalanceRecord>{};
        }
        return log_.ask([](logbook::Logbook& log) { return logbook::balances(log); });
    }

    Result<progress::Progress> look_back(progress::Range range) override {
        if (!log_.exists()) {
            progress::Progress nothing;
            nothing.range = range;
            return nothing;
        }
        return log_.ask([range](logbook::Logbook& log) {
            return progress::look_back(log, range, calendar::today());
        });
    }
    Result<std::vector<progress::TrendPoint>> trend(progress::Range range,
                                                    const std::string& crook) override {
        return log_.ask([&](logbook::Logbook& log) {
            return progress::trend(log, range, calendar::today(), crook);
        });
    }

    Result<std::int64_t> keep_drill(const app::KeptDrill& drill) override {
        return log_.ask([&](logbook::Logbook& log) { return app::keep_drill(log, drill); });
    }

    Result<std::filesystem::path> write_report(progress::Range range) override {
        return log_.ask([&](logbook::Logbook& log) -> Result<std::filesystem::path> {
            const std::int64_t today = calendar::today();
            const auto gathered = report::gather(log, range, today, {});
            if (!gathered) {
                return tl::unexpected(gathered.error());
            }
            const std::filesystem::path folder =
                !documents_.empty()
                    ? documents_
                    : log_.path()->parent_path() /
                          platform::path_of(log_.path()->stem().string() + "-reports");
            if (auto made = make_folder(folder); !made) {
                return tl::unexpected(made.error());
            }
            const std::filesystem::path file =
                folder / platform::path_of("practice-" + std::string(progress::range_id(range)) +
                                           "-" + calendar::iso_day(today) + ".html");
            if (auto written = write_file_in_one_step(file, report::html_page(*gathered));
                !written) {
                return tl::unexpected(written.error());
            }
            return file;
        });
    }

    Result<void> listen(const logbook::TakeRecord& take, double from_s, double speed) override {
        if (!log_.path()) {
            return failure(kNoLog);
        }
        return listener_.listen(
            logbook::takes_folder(*log_.path()) / platform::path_of(take.file), from_s, speed);
    }
    Result<void> listen(const HeardSound& sound, double from_s, double speed) override {
        stop_listening(); // its file may be the one that is written now
        std::error_code error;
        const std::filesystem::path folder = std::filesystem::temp_directory_path(error);
        if (error) {
            return failure(
                "There is no temporary folder to play the sound from; set TMPDIR to one.");
        }
        heard_file_ =
            folder / platform::path_of("bellhand-heard-" +
                                       std::to_string(platform::process_number()) + ".wav");
        if (auto written = audio::write_file(heard_file_, sound.samples, sound.rate_hz); !written) {
            return written;
        }
        return listener_.listen(heard_file_, from_s, speed);
    }
    void stop_listening() override {
        listener_.stop();
        if (!heard_file_.empty()) {
            std::error_code ignored;
            std::filesystem::remove(heard_file_, ignored);
            heard_file_.clear();
        }
    }
    ListeningStatus listening() override { return listener_.status(); }

    HomeworkShelf& homework() override { return *homework_; }

private:
    template <class Value>
    [[nodiscard]] static const Error* error_of(const Result<Value>& result) {
        return result ? nullptr : &result.error();
    }

    LogAccess log_;
    std::filesystem::path documents_; ///< empty: none
    TakeListener listener_;
    std::filesystem::path heard_file_; ///< while what was heard a moment ago is listened to
    std::unique_ptr<HomeworkShelf> homework_;
};

} // namespace

std::shared_ptr<Shelf> real_shelf(const std::optional<std::filesystem::path>& log_path,
                                  const std::filesystem::path& documents) {
    return std::make_shared<RealShelf>(log_path, documents);
}

} // namespace bellhand::desk
