#include "logbook/rescue.h"

#include "core/platform.h"
#include "trainer/tolerance.h"

#include <algorithm>
#include <iterator>
#include <optional>

namespace bellhand::logbook {

namespace {

namespace fs = std::filesystem;

constexpr const char* kMark = ".unsaved-";
constexpr const char* kEnding = ".sqlite";
constexpr const char* kBelongsTo = "rescued_from";

std::string whole_path(const fs::path& path) {
    std::error_code ignored;
    const fs::path absolute = fs::absolute(path, ignored);
    return (absolute.empty() ? path : absolute).lexically_normal().string();
}

bool has_name_of(const fs::path& path, const fs::path& log) {
    const std::string name = path.filename().string();
    return name.rfind(log.stem().string() + kMark, 0) == 0 && path.extension() == kEnding;
}

/// In a folder for everything only what names this log, or names none: files of older programs.
bool belongs_to(const fs::path& path, const fs::path& log) {
    const auto book = Logbook::open_for_reading(path);
    const auto named = book ? (*book)->setting(kBelongsTo)
                            : Result<std::optional<std::string>>(std::optional<std::string>());
    return book && named && (!*named || **named == whole_path(log));
}

/// The session in the log that was begun at the same moment with the same input; a new one where there is none.
Result<std::int64_t> session_for(const SessionRecord& rescued, Logbook& book) {
    const auto sessions = book.sessions();
    if (!sessions) {
        return tl::unexpected(sessions.error());
    }
    const auto same = std::find_if(sessions->begin(), sessions->end(), [&](const auto& each) {
        return each.started_at == rescued.started_at && each.input == rescued.input;
    });
    return same != sessions->end() ? Result<std::int64_t>(same->id) : book.begin_session(rescued);
}

horn::Tuning tuning_of(const NoteRecord& record) {
    horn::Tuning tuning;
    tuning.a4_hz = record.a4_hz;
    if (const auto crook = horn::parse_crook(record.crook)) {
        tuning.crook = *crook;
    }
    if (const auto temperament = horn::parse_temperament(record.temperament)) {
        tuning.temperament = *temperament;
    }
    tuning.footing = footing_of(record.footing);
    return tuning;
}

Result<void> copy_notes(const std::vector<NoteRecord>& notes, std::int64_t session, Logbook& book) {
    for (const NoteRecord& record : notes) {
        trainer::PlayedNote note = record.note;
        note.tolerance_factor = record.tolerance_cents / trainer::tolerance_cents(note.hand);
        if (auto put = book.put_note(session, tuning_of(record), note); !put) {
            return put;
        }
    }
    return {};
}

Result<void>
copy_blocks(Logbook& from, std::int64_t old_session, std::int64_t session, Logbook& book) {
    const auto blocks = from.blocks(old_session);
    const auto steps = from.steps(old_session);
    if (!blocks || !steps) {
        return tl::unexpected(!blocks ? blocks.error() : steps.error());
    }
    for (const BlockRecord& block : *blocks) {
        if (auto put = book.put_block(session, block); !put) {
            return put;
        }
        for (const JudgedStep& step : *steps) {
            if (step.block != block.id) {
                continue;
            }
            if (auto put = book.put_step(session, block.number, step); !put) {
                return put;
            }
        }
    }
    return {};
}

/// What was learnt then, unless the log knows something newer of it.
Result<void> copy_skill(Logbook& from, Logbook& book) {
    const auto then = from.skill();
    const auto now = book.skill();
    if (!then || !now) {
        return tl::unexpected(!then ? then.error() : now.error());
    }
    std::vector<SkillRow> newer;
    for (const SkillRow& row : *then) {
        const bool known = std::any_of(now->begin(), now->end(), [&](const SkillRow& other) {
            return other.crook == row.crook && other.written == row.written &&
                   other.hand == row.hand && other.from_written == row.from_written &&
                   other.from_hand == row.from_hand && other.updated_s >= row.updated_s;
        });
        if (!known) {
            newer.push_back(row);
        }
    }
    return newer.empty() ? Result<void>{} : book.put_skill(newer);
}

struct Copied {
    std::size_t notes = 0;
    std::string day;
};

Result<Copied> copy_all(Logbook& from, Logbook& book) {
    Copied copied;
    const auto sessions = from.sessions();
    if (!sessions) {
        return tl::unexpected(sessions.error());
    }
    for (const SessionRecord& old : *sessions) {
        const auto session = session_for(old, book);
        const auto notes = from.notes(old.id);
        if (!session || !notes) {
            return tl::unexpected(!session ? session.error() : notes.error());
        }
        auto put = copy_notes(*notes, *session, book)
                       .and_then([&] { return copy_blocks(from, old.id, *session, book); })
                       .and_then([&] { return book.end_session(*session, old.duration_s); });
        if (!put) {
            return tl::unexpected(put.error());
        }
        copied.notes += notes->size();
        copied.day = old.started_at.substr(0, 10);
    }
    if (auto put = copy_skill(from, book); !put) {
        return tl::unexpected(put.error());
    }
    return copied;
}

std::string bring_back_one(const fs::path& path, Logbook& book) {
    auto from = Logbook::open_for_reading(path);
    if (!from) {
        return from.error().message;
    }
    Copied copied;
    const auto done = book.together([&]() -> Result<void> {
        auto all = copy_all(**from, book);
        if (!all) {
            return tl::unexpected(all.error());
        }
        copied = *all;
        return {};
    });
    if (!done) {
        return "What was saved in " + path.string() + " waits there: " + done.error().message;
    }
    from->reset();
    std::error_code ignored;
    for (const char* const more : {"-wal", "-shm", ""}) {
        fs::remove(platform::path_of(path.string() + more), ignored);
    }
    return std::to_string(copied.notes) + (copied.notes == 1 ? " note" : " notes") + " of " +
           copied.day + " that the log could not take then " + (copied.notes == 1 ? "is" : "are") +
           " in it now.";
}

} // namespace

fs::path rescue_path(const fs::path& log, const fs::path& folder, const std::string& started_at) {
    std::string stamp;
    std::copy_if(started_at.begin(), started_at.end(), std::back_inserter(stamp), [](char c) {
        return (c >= '0' && c <= '9') || c == 'T';
    });
    return folder / platform::path_of(log.stem().string() + kMark + stamp + kEnding);
}

Result<std::unique_ptr<Logbook>>
open_rescue(const fs::path& log, const fs::path& folder, const std::string& started_at) {
    auto book = Logbook::open(rescue_path(log, folder, started_at));
    if (book) {
        if (auto put = (*book)->put_setting(kBelongsTo, whole_path(log)); !put) {
            return tl::unexpected(put.error());
        }
    }
    return book;
}

std::vector<fs::path> rescued_for(const fs::path& log) {
    std::vector<fs::path> waiting;
    std::error_code ignored;
    const fs::path beside = platform::path_of(whole_path(log)).parent_path();
    const fs::path temporary = fs::temp_directory_path(ignored);
    for (const fs::path& folder : {beside, temporary}) {
        for (fs::directory_iterator entry(folder, ignored), end; !ignored && entry != end;
             entry.increment(ignored)) {
            const fs::path& path = entry->path();
            if (has_name_of(path, log) && platform::is_own(path) &&
                (folder == beside || belongs_to(path, log))) {
                waiting.push_back(path);
            }
        }
        if (beside == temporary) {
            break;
        }
    }
    std::sort(waiting.begin(), waiting.end(), [](const fs::path& a, const fs::path& b) {
        return a.filename() < b.filename();
    });
    return waiting;
}

std::vector<std::string> bring_back(const fs::path& log, Logbook& book) {
    std::vector<std::string> sentences;
    for (const fs::path& path : rescued_for(log)) {
        sentences.push_back(bring_back_one(path, book));
    }
    return sentences;
}

} // namespace bellhand::logbook
