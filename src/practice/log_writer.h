#pragma once

#include "core/spsc_ring.h"
#include "logbook/logbook.h"
#include "practice/practice.h"

#include <atomic>
#include <chrono>
#include <deque>
#include <map>
#include <memory>
#include <mutex>
#include <thread>
#include <vector>

namespace bellhand::practice {

/// A note on its way to the log, ended or still sounding.
struct LogEntry {
    horn::Tuning tuning;
    trainer::PlayedNote note;
};

/// The thread that writes a session's notes to the log. Whatever the log does (locked, read-only, damaged, disk full),
/// notes are kept in memory and tried again; what still cannot be saved at the end goes to a file of its own.
class LogWriter {
public:
    /// Starts the thread, which opens the log and begins the session.
    LogWriter(std::filesystem::path path, logbook::SessionRecord session);
    ~LogWriter();
    LogWriter(const LogWriter&) = delete;
    LogWriter& operator=(const LogWriter&) = delete;

    /// Analysis thread only. Never waits, never allocates. A finished note must not be lost, so the caller tries again
    /// when the ring is full (false).
    [[nodiscard]] bool offer(const LogEntry& entry) noexcept { return ring_.try_push(entry); }

    /// Any thread but the analysis. May wait for a moment, never for the disk.
    void put(run::Record record);

    /// Saves what is left and ends the session. Idempotent; nothing may be offered afterwards.
    void finish(double duration_s);

    [[nodiscard]] LogStatus status() const;

private:
    void work();
    [[nodiscard]] Result<void> save_record(logbook::Logbook& book, const run::Record& record);
    [[nodiscard]] Result<void> save_mark(logbook::Logbook& book, const run::MarkRecord& mark);
    void collect();
    [[nodiscard]] Result<void> save();
    [[nodiscard]] Result<void> save_to(logbook::Logbook& book);
    void report(const Result<void>& saved);
    void rescue();

    const std::filesystem::path path_;
    const logbook::SessionRecord session_;
    SpscRing<LogEntry> ring_;
    std::atomic<bool> finishing_{false};
    double duration_s_ = 0.0; // written before finishing_ is published

    // the thread's own
    std::unique_ptr<logbook::Logbook> book_;
    std::string notice_; ///< what came back when the log was opened
    std::chrono::steady_clock::time_point notice_until_;
    std::int64_t session_id_ = 0;
    bool ended_ = false;
    std::deque<LogEntry> unsaved_;
    std::deque<run::Record> unsaved_records_;
    std::map<std::uint32_t, logbook::BlockRecord> blocks_; ///< the session's, as they stand

    mutable std::mutex offered_mutex_;
    std::vector<run::Record> offered_;

    mutable std::mutex status_mutex_;
    LogStatus status_;
    std::thread thread_;
};

} // namespace bellhand::practice
