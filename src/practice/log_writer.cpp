#include "practice/log_writer.h"

#include "logbook/rescue.h"

#include <algorithm>
#include <cmath>

namespace bellhand::practice {

namespace {

constexpr std::size_t kRingEntries = 1024;
constexpr std::chrono::milliseconds kRest{20};
constexpr std::chrono::milliseconds kTryAgain{1000};
constexpr std::chrono::seconds kNotice{20};

} // namespace

LogWriter::LogWriter(std::filesystem::path path, logbook::SessionRecord session)
    : path_(std::move(path)),
      session_(std::move(session)),
      ring_(kRingEntries),
      thread_([this] { work(); }) {}

LogWriter::~LogWriter() {
    finish(0.0);
}

void LogWriter::put(run::Record record) {
    const std::scoped_lock lock(offered_mutex_);
    offered_.push_back(std::move(record));
}

void LogWriter::finish(double duration_s) {
    if (thread_.joinable()) {
        duration_s_ = duration_s;
        finishing_.store(true, std::memory_order_release);
        thread_.join();
    }
}

LogStatus LogWriter::status() const {
    const std::scoped_lock lock(offered_mutex_, status_mutex_);
    LogStatus status = status_;
    status.unsaved_records += offered_.size();
    return status;
}

void LogWriter::work() {
    auto next_try = std::chrono::steady_clock::now();
    for (bool last = false; !last;) {
        last = finishing_.load(std::memory_order_acquire);
        collect();
        const bool work_to_do =
            last || book_ == nullptr || !unsaved_.empty() || !unsaved_records_.empty();
        if (work_to_do && (last || std::chrono::steady_clock::now() >= next_try)) {
            const Result<void> saved = save();
            report(saved);
            next_try = std::chrono::steady_clock::now() +
                       (saved ? std::chrono::milliseconds(0) : kTryAgain);
        }
        if (!last) {
            std::this_thread::sleep_for(kRest);
        }
    }
    if (!ended_) {
        rescue();
    }
    book_.reset();
}

/// Takes what was offered. A sounding note is replaced by its later self.
void LogWriter::collect() {
    LogEntry entry;
    while (ring_.try_pop(entry)) {
        if (!unsaved_.empty() && unsaved_.back().note.index == entry.note.index) {
            unsaved_.back() = entry;
        } else {
            unsaved_.push_back(entry);
        }
    }
    // Both at once, so that no record is missing from the count while it changes hands.
    const std::scoped_lock lock(offered_mutex_, status_mutex_);
    for (run::Record& record : offered_) {
        if (const auto* block = std::get_if<logbook::BlockRecord>(&record)) {
            blocks_[block->number] = *block;
        }
        unsaved_records_.push_back(std::move(record));
    }
    offered_.clear();
    status_.unsaved_notes = unsaved_.size();
    status_.unsaved_records = unsaved_records_.size();
}

Result<void> LogWriter::save() {
    if (book_ == nullptr) {
        auto book = logbook::Logbook::open(path_);
        if (!book) {
            return tl::unexpected(book.error());
        }
        book_ = std::move(*book);
        const std::vector<std::string> back = logbook::bring_back(path_, *book_);
        notice_.clear();
        for (const std::string& sentence : back) {
            notice_ += (notice_.empty() ? "" : " ") + sentence;
        }
        notice_until_ = std::chrono::steady_clock::now() + kNotice;
    }
    return save_to(*book_);
}

Result<void> LogWriter::save_to(logbook::Logbook& book) {
    if (session_id_ == 0) {
        const auto id = book.begin_session(session_);
        if (!id) {
            return tl::unexpected(id.error());
        }
        session_id_ = *id;
    }
    while (!unsaved_.empty()) {
        const LogEntry& entry = unsaved_.front();
        if (auto put = book.put_note(session_id_, entry.tuning, entry.note); !put) {
            return put;
        }
        unsaved_.pop_front();
    }
    while (!unsaved_records_.empty()) {
        const run::Record& record = unsaved_records_.front();
        if (auto put = book.together([&] { return save_record(book, record); }); !put) {
            return put;
        }
        unsaved_records_.pop_front();
    }
    if (finishing_.load(std::memory_order_acquire)) {
        if (auto end = book.end_session(session_id_, duration_s_); !end) {
            return end;
        }
        ended_ = true;
    }
    return {};
}

Result<void> LogWriter::save_record(logbook::Logbook& book, const run::Record& record) {
    if (const auto* block = std::get_if<logbook::BlockRecord>(&record)) {
        return book.put_block(session_id_, *block);
    }
    if (const auto* mark = std::get_if<run::MarkRecord>(&record)) {
        return save_mark(book, *mark);
    }
    const run::StepRecord& step = std::get<run::StepRecord>(record);
    if (auto put = book.put_step(session_id_, step.block, step.step); !put) {
        return put;
    }
    return book.put_skill(step.skills);
}

/// A mark is a teacher's comment on the place; one that stands there already is replaced.
Result<void> LogWriter::save_mark(logbook::Logbook& book, const run::MarkRecord& mark) {
    const auto comments = book.comments(session_id_);
    if (!comments) {
        return tl::unexpected(comments.error());
    }
    for (const logbook::CommentRecord& each : *comments) {
        const bool same_place = each.note == mark.note && std::fabs(each.at_s - mark.at_s) < 1e-6;
        if (same_place && !each.take && each.text.rfind(run::kMarked, 0) == 0) {
            if (auto removed = book.remove_comment(each.id); !removed) {
                return removed;
            }
        }
    }
    if (mark.words.empty()) {
        return {};
    }
    logbook::CommentRecord comment;
    comment.session = session_id_;
    comment.note = mark.note;
    comment.who = logbook::Who::teacher;
    comment.at_s = mark.at_s;
    comment.text = run::kMarked + mark.words;
    auto added = book.add_comment(comment);
    if (!added && comment.note && added.error().kind == ErrorKind::usage) {
        comment.note
            .reset(); // the note went elsewhere, when the log refused it: the place still stands
        added = book.add_comment(comment);
    }
    return added ? Result<void>{} : tl::unexpected(added.error());
}

void LogWriter::report(const Result<void>& saved) {
    const std::scoped_lock lock(status_mutex_);
    status_.saving = saved.has_value();
    const bool notice = !notice_.empty() && std::chrono::steady_clock::now() < notice_until_;
    status_.message = !saved ? saved.error().message : notice ? notice_ : std::string();
    status_.unsaved_notes = unsaved_.size();
    status_.unsaved_records = unsaved_records_.size();
    status_.session = session_id_;
}

/// The log refused to the end: the notes it does not have go to a log of their own.
void LogWriter::rescue() {
    if (unsaved_.empty() && unsaved_records_.empty()) {
        return;
    }
    const std::string why = status().message;
    // Steps need their blocks, which the log may have got while it still could.
    for (auto block = blocks_.rbegin(); block != blocks_.rend(); ++block) {
        unsaved_records_.emplace_front(block->second);
    }
    std::error_code ignored;
    const std::filesystem::path folders[] = {path_.parent_path(),
                                             std::filesystem::temp_directory_path(ignored)};
    for (const std::filesystem::path& folder : folders) {
        const std::filesystem::path path = logbook::rescue_path(path_, folder, session_.started_at);
        auto book = logbook::open_rescue(path_, folder, session_.started_at);
        if (!book) {
            continue;
        }
        session_id_ = 0;
        if (save_to(**book)) {
            const std::scoped_lock lock(status_mutex_);
            status_.message = why + " The notes were saved in " + path.string() +
                              " instead; they come back at the next start.";
            status_.unsaved_notes = 0;
            status_.unsaved_records = 0;
            return;
        }
    }
    const std::scoped_lock lock(status_mutex_);
    status_.message =
        why + " " + std::to_string(unsaved_.size()) + " notes could not be saved anywhere.";
}

} // namespace bellhand::practice
