#include "takes/entering.h"

#include "logbook/logbook.h"

#include <algorithm>
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

Recovered finish_abandoned_takes(const fs::path& folder, logbook::Logbook& book) {
    std::vector<fs::path> journals;
    std::error_code ignored; // no folder: no takes
    for (fs::directory_iterator entry(folder, ignored), end; !ignored && entry != end;
         entry.increment(ignored)) {
        if (entry->path().extension() == kJournalEnding) {
            journals.push_back(entry->path());
        }
    }
    std::sort(journals.begin(), journals.end());
    Recovered recovered;
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
