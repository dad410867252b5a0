#pragma once

#include "core/result.h"
#include "horn/tuning.h"
#include "trainer/note_tracker.h"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

namespace bellhand::logbook {

/// One practice session, from start to stop.
struct SessionRecord {
    std::int64_t id = 0;
    std::string started_at; ///< UTC, ISO 8601
    double duration_s = 0.0;
    std::string input; ///< what was listened to
    std::string crook; ///< ids as at the start; each note carries its own
    double a4_hz = 440.0;
    std::string temperament;
    std::int64_t notes = 0;
    bool closed = false; ///< false: the program did not get to say goodbye
};

struct NoteRecord {
    std::int64_t id = 0;
    std::string crook;
    double a4_hz = 440.0;
    std::string temperament;
    trainer::PlayedNote note;
};

/// `$XDG_DATA_HOME/bellhand/log.sqlite`, else `~/.local/share/...`.
[[nodiscard]] std::filesystem::path default_path();

/// The log: one SQLite file in WAL mode. All calls may wait for the disk: never from the sound or analysis thread.
/// Each write is a transaction of its own, so that a killed program loses only what it had not yet been told.
class Logbook {
public:
    /// Creates the file and its folder when they are not there; brings older files up to date. Errors: locked by
    /// another program, read-only, not a log, damaged, disk full: each its own sentence.
    [[nodiscard]] static Result<std::unique_ptr<Logbook>> open(const std::filesystem::path& path);
    /// For looking only: the file must exist.
    [[nodiscard]] static Result<std::unique_ptr<Logbook>>
    open_for_reading(const std::filesystem::path& path);
    virtual ~Logbook() = default;

    [[nodiscard]] virtual Result<std::int64_t> begin_session(const SessionRecord& session) = 0;
    /// Inserts the note, or replaces the one of the same index (a long note is saved while it sounds).
    [[nodiscard]] virtual Result<void>
    put_note(std::int64_t session, const horn::Tuning& tuning, const trainer::PlayedNote& note) = 0;
    [[nodiscard]] virtual Result<void> end_session(std::int64_t session, double duration_s) = 0;

    [[nodiscard]] virtual Result<std::vector<SessionRecord>> sessions() = 0; ///< newest first
    [[nodiscard]] virtual Result<std::vector<NoteRecord>> notes(std::int64_t session) = 0;
};

} // namespace bellhand::logbook
