#include "desk/store/homework_shelf.h"

#include "core/calendar.h"
#include "core/files.h"
#include "core/platform.h"
#include "desk/store/log_access.h"
#include "desk/store/take_listener.h"
#include "homework/teacher.h"
#include "instrument/profile.h"
#include "logbook/logbook.h"
#include "takes/entering.h"

#include <algorithm>
#include <ctime>
#include <system_error>
#include <utility>

namespace bellhand::desk {

namespace {

namespace fs = std::filesystem;

constexpr const char* kNoLog =
    "Homework is kept beside the log: start Bellhand with --log PATH to have one.";

const std::string kWordsKey = "homework_words:"; // followed by its id

std::string date_of_today() {
    return calendar::iso_day(calendar::local_day(static_cast<std::int64_t>(std::time(nullptr))));
}

class RealHomeworkShelf final : public HomeworkShelf {
public:
    RealHomeworkShelf(const std::optional<fs::path>& log_path, fs::path documents)
        : log_(log_path, kNoLog), documents_(std::move(documents)) {}
    ~RealHomeworkShelf() override { forget_sound(); }
    RealHomeworkShelf(const RealHomeworkShelf&) = delete;
    RealHomeworkShelf& operator=(const RealHomeworkShelf&) = delete;

    Result<OpenedHomework> take_file(const fs::path& file) override {
        const auto package = homework::Package::load(file);
        if (!package) {
            return tl::unexpected(package.error());
        }
        return log_.ask([&](logbook::Logbook& log) -> Result<OpenedHomework> {
            OpenedHomework opened;
            opened.id = package->homework().id;
            const auto known = log.homework();
            if (!known) {
                return tl::unexpected(known.error());
            }
            opened.known = std::any_of(known->begin(), known->end(), [&](const auto& record) {
                return record.id == opened.id;
            });
            if (package->homework().returned && !opened.known) {
                auto filed = homework::file_returned(*package, homework::set_folder(*log_.path()));
                if (!filed) {
                    return tl::unexpected(filed.error());
                }
                opened.as = OpenedHomework::As::returned;
                opened.file = std::move(*filed);
                return opened;
            }
            if (const auto wrong = homework::problems(package->homework()); !wrong.empty()) {
                return failure(file.string() + " cannot be worked on: " + wrong.front());
            }
            const auto taken = homework::take_in(*package, calendar::now_utc(), log);
            if (!taken) {
                return tl::unexpected(taken.error());
            }
            opened.as = package->homework().returned ? OpenedHomework::As::answered
                                                     : OpenedHomework::As::given;
            opened.comments = taken->comments;
            return opened;
        });
    }

    std::string today() const override { return date_of_today(); }
    std::string now() const override { return calendar::now_utc(); }

    Result<std::vector<homework::Given>> given() override {
        if (!log_.exists()) {
            return std::vector<homework::Given>{};
        }
        return log_.ask([](logbook::Logbook& log) { return homework::given(log); });
    }
    Result<std::vector<homework::WorkTake>> takes(const std::string& id) override {
        return log_.ask([&](logbook::Logbook& log) { return homework::work_takes(id, log); });
    }
    std::vector<skill::PlannedBlock> work(const homework::Given& given,
                                          const horn::Crook& usual) override {
        return skill::homework_blocks(homework::still_to_do(today(), given), usual);
    }
    Result<std::string> words(const std::string& id) override {
        return log_.ask([&](logbook::Logbook& log) -> Result<std::string> {
            auto kept = log.setting(kWordsKey + id);
            if (!kept) {
                return tl::unexpected(kept.error());
            }
            return kept->value_or(std::string());
        });
    }
    Result<void> keep_words(const std::string& id, const std::string& words) override {
        return log_.ask(
            [&](logbook::Logbook& log) { return log.put_setting(kWordsKey + id, words); });
    }
    Result<fs::path> give_back(const std::string& id,
                               const std::string& words,
                               const std::vector<std::int64_t>& takes) override {
        return log_.ask([&](logbook::Logbook& log) -> Result<fs::path> {
            // What is still a journal belongs to the work as well; one that cannot be finished now stays for later.
            (void)takes::finish_abandoned_takes(logbook::takes_folder(*log_.path()), log);
            homework::ReturnWishes wishes;
            wishes.returned_at = calendar::now_utc();
            wishes.words = words;
            wishes.takes = takes;
            if (profile_) {
                auto profile = instrument::load_profile(*profile_);
                if (!profile) {
                    return tl::unexpected(profile.error());
                }
                wishes.profile = std::move(*profile);
            }
            const auto package =
                homework::returned(id, wishes, logbook::takes_folder(*log_.path()), log);
            if (!package) {
                return tl::unexpected(package.error());
            }
            const fs::path folder = homework::returned_folder(*log_.path());
            if (auto made = make_folder(folder); !made) {
                return tl::unexpected(made.error());
            }
            const fs::path file = folder / platform::path_of(id + homework::kEnding);
            if (auto saved = package->save(file); !saved) {
                return tl::unexpected(saved.error());
            }
            if (auto told = homework::mark_returned(id, wishes.returned_at, log); !told) {
                return tl::unexpected(told.error());
            }
            return file;
        });
    }
    Result<logbook::HomeworkRecord> remove_given(const std::string& id) override {
        return log_.ask([&](logbook::Logbook& log) -> Result<logbook::HomeworkRecord> {
            auto records = log.homework();
            if (!records) {
                return tl::unexpected(records.error());
            }
            const auto it = std::find_if(records->begin(), records->end(), [&](const auto& record) {
                return record.id == id;
            });
            if (it == records->end()) {
                return usage_error("The homework is no longer in the log.");
            }
            if (auto removed = log.remove_homework(id); !removed) {
                return tl::unexpected(removed.error());
            }
            return std::move(*it);
        });
    }
    Result<void> restore_given(const logbook::HomeworkRecord& record) override {
        return log_.ask([&](logbook::Logbook& log) { return log.put_homework(record); });
    }
    void use_profile(std::optional<fs::path> profile) override { profile_ = std::move(profile); }

    std::vector<homework::Filed> filed() override {
        return log_.path() ? homework::files_in(homework::set_folder(*log_.path()))
                           : std::vector<homework::Filed>{};
    }
    Result<fs::path> set(const homework::Homework& homework) override {
        if (!log_.path()) {
            return failure(kNoLog);
        }
        return homework::file_set(homework, homework::set_folder(*log_.path()), today());
    }
    Result<std::optional<homework::Homework>> draft() override {
        if (!log_.path()) {
            return std::optional<homework::Homework>();
        }
        const fs::path folder = homework::set_folder(*log_.path());
        auto draft = homework::load_draft(folder);
        if (!draft) {
            const fs::path aside = folder / "draft-damaged.json";
            if (move(homework::draft_file(folder), aside)) {
                return failure(draft.error().message + " It was put aside as " + aside.string() +
                               ".");
            }
        }
        return draft;
    }
    Result<void> keep_draft(const std::optional<homework::Homework>& draft) override {
        if (!log_.path()) {
            return failure(kNoLog);
        }
        return homework::keep_draft(draft, homework::set_folder(*log_.path()));
    }
    Result<void> put_comments(const fs::path& file,
                              const std::vector<homework::Comment>& comments) override {
        auto package = homework::Package::load(file);
        if (!package) {
            return tl::unexpected(package.error());
        }
        package->homework().comments = comments;
        return package->save(file);
    }
    Result<void> remove_file(const fs::path& file) override {
        const fs::path bin = bin_of(file);
        if (auto made = make_folder(bin); !made) {
            return made;
        }
        return move(file, bin / file.filename());
    }
    Result<void> restore_file(const fs::path& file) override {
        return move(bin_of(file) / file.filename(), file);
    }

    Result<fs::path> hand_out(const fs::path& file) override {
        if (documents_.empty()) {
            return file;
        }
        if (auto made = make_folder(documents_); !made) {
            return tl::unexpected(made.error());
        }
        const fs::path copy = documents_ / file.filename();
        const fs::path beside = documents_ / platform::path_of("." + file.filename().string());
        std::error_code cannot;
        fs::copy_file(file, beside, fs::copy_options::overwrite_existing, cannot);
        if (!cannot) {
            fs::rename(beside, copy, cannot);
        }
        if (cannot) {
            return failure("A copy cannot be put into " + documents_.string() + ": " +
                           cannot.message() + ". The file itself is " + file.string() + ".");
        }
        return copy;
    }

    Result<void>
    listen(const fs::path& file, std::size_t take, double from_s, double speed) override {
        if (heard_file_ != file || heard_take_ != take) {
            forget_sound();
            const auto package = homework::Package::load(file);
            if (!package) {
                return tl::unexpected(package.error());
            }
            const auto sound = package->sound(take);
            if (!sound) {
                return tl::unexpected(sound.error());
            }
            // The player reads files; packed sound gets one of its own for as long as it is listened to.
            sound_ = fs::temp_directory_path() /
                     platform::path_of("bellhand-" + std::to_string(platform::process_number()) +
                                       "-take.flac");
            if (auto written = write_file_in_one_step(sound_, *sound); !written) {
                return written;
            }
            heard_file_ = file;
            heard_take_ = take;
        }
        return listener_.listen(sound_, from_s, speed);
    }
    void stop_listening() override { forget_sound(); }
    ListeningStatus listening() override { return listener_.status(); }

private:
    [[nodiscard]] static fs::path bin_of(const fs::path& file) {
        return file.parent_path() / "bin";
    }
    [[nodiscard]] static Result<void> move(const fs::path& from, const fs::path& to) {
        std::error_code cannot;
        fs::rename(from, to, cannot);
        if (cannot) {
            return failure(from.string() + " cannot be moved: " + cannot.message() + ".");
        }
        return {};
    }
    void forget_sound() {
        listener_.stop();
        if (!sound_.empty()) {
            std::error_code ignored;
            fs::remove(sound_, ignored);
            sound_.clear();
        }
        heard_file_.clear();
    }
    LogAccess log_;
    fs::path documents_; ///< empty: none
    std::optional<fs::path> profile_;
    TakeListener listener_;
    fs::path sound_; ///< of the take that is listened to
    fs::path heard_file_;
    std::size_t heard_take_ = 0;
};

} // namespace

std::unique_ptr<HomeworkShelf> real_homework_shelf(const std::optional<fs::path>& log_path,
                                                   const fs::path& documents) {
    return std::make_unique<RealHomeworkShelf>(log_path, documents);
}

} // namespace bellhand::desk
