#include "takes/entering.h"

#include "core/platform.h"
#include "logbook/logbook.h"

#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <system_error>

namespace bellhand::takes {

namespace fs = std::filesystem;

Result<void> finish_take(Journal& journal, logbook::Logbook& book, std::int64_t session) {
    if (journal.samples() > 0) {
        const auto bytes = journal.write_flac();
        if (!bytes) {
            return tl::unexpected(bytes.error());
        }
        const JournalHead& head = journal.head();
        const auto put =
            book.put_take({.session = session,
                           .block = head.block,
                           .file = journal.take_name(),
                           .start_s = head.start_s,
                           .duration_s = static_cast<double>(journal.samples()) / head.rate_hz,
                           .bytes = *bytes,
                           .kept = head.kept,
                           .why = head.why});
        if (!put) {
            return tl::unexpected(put.error());
        }
    }
    journal.remove();
    return {};
}

Result<std::int64_t> session_of(const JournalHead& head, logbook::Logbook& book) {
    for (const bool binned : {false, true}) {
        const auto sessions = binned ? book.bin() : book.sessions();
        if (!sessions) {
            return tl::unexpected(sessions.error());
        }
        const auto found =
            std::find_if(sessions->begin(), sessions->end(), [&](const auto& session) {
                return session.started_at == head.session.started_at &&
                       (head.session.id == 0 || session.id == head.session.id);
            });
        if (found != sessions->end()) {
            return found->id;
        }
    }
    return 0;
}

namespace {

Result<void> finish_abandoned(Journal& journal, logbook::Logbook& book) {
    auto session = session_of(journal.head(), book);
    if (session && *session == 0) {
        session = book.begin_session(journal.head().session);
    }
    if (!session) {
        return tl::unexpected(session.error());
    }
    return finish_take(journal, book, *session);
}

} // namespace

fs::path rescue_folder(const fs::path& takes) {
    std::error_code ignored;
    const std::string whole = fs::absolute(takes, ignored).lexically_normal().string();
    std::uint64_t hash = 14695981039346656037ULL; // FNV-1a (Fowler, Noll and Vo)
    for (const char c : whole) {
        hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
    }
    char name[48];
    std::snprintf(
        name, sizeof name, "bellhand-takes-%016llx", static_cast<unsigned long long>(hash));
    return fs::temp_directory_path(ignored) / name;
}

namespace {

/// A rescued journal holds all of its take; what the folder of takes has of it is its beginning and is replaced.
void bring_back(const fs::path& folder, Recovered& recovered) {
    const fs::path from = rescue_folder(folder);
    std::error_code error;
    if (!platform::is_own(from) || !fs::is_directory(from, error)) {
        return;
    }
    fs::create_directories(folder, error);
    for (fs::directory_iterator entry(from, error), end; !error && entry != end;
         entry.increment(error)) {
        const fs::path& rescued = entry->path();
        if (rescued.extension() != kJournalEnding) {
            continue;
        }
        const fs::path part = folder / platform::path_of(rescued.filename().string() + ".part");
        std::error_code cannot;
        fs::copy_file(rescued, part, fs::copy_options::overwrite_existing, cannot);
        if (!cannot) {
            fs::rename(part, folder / rescued.filename(), cannot);
        }
        if (cannot) {
            std::error_code ignored;
            fs::remove(part, ignored);
            recovered.problems.push_back("The take " + rescued.string() +
                                         " waits there: " + cannot.message() + ".");
            continue;
        }
        fs::remove(rescued, cannot);
    }
    fs::remove(from, error); // when it is empty
}

} // namespace

Recovered finish_abandoned_takes(const fs::path& folder, logbook::Logbook& book) {
    Recovered recovered;
    bring_back(folder, recovered);
    std::vector<fs::path> journals;
    std::error_code ignored; // no folder: no takes
    for (fs::directory_iterator entry(folder, ignored), end; !ignored && entry != end;
         entry.increment(ignored)) {
        if (entry->path().extension() == kJournalEnding) {
            journals.push_back(entry->path());
        }
    }
    std::sort(journals.begin(), journals.end());
    for (const fs::path& path : journals) {
        auto journal = Journal::open_abandoned(path);
        if (journal && !*journal) {
            continue;
        }
        const bool empty = journal && (*journal)->samples() == 0;
        const auto done = journal ? finish_abandoned(**journal, book)
                                  : Result<void>(tl::unexpected(journal.error()));
        if (!done) {
            recovered.problems.push_back(done.error().message);
        } else if (!empty) {
            recovered.takes.push_back((*journal)->take_name());
        }
    }
    return recovered;
}

} // namespace bellhand::takes
