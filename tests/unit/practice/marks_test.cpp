// Marks of a lesson on their way to the log.
#include "logbook/logbook.h"
#include "practice/log_writer.h"
#include "support/temporary_folder.h"

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

run::MarkRecord mark(double at_s, std::optional<std::uint32_t> note, std::string words) {
    run::MarkRecord record;
    record.at_s = at_s;
    record.note = note;
    record.words = std::move(words);
    return record;
}

/// The comments of the one session that was written.
std::vector<logbook::CommentRecord> written(const std::filesystem::path& path,
                                            const std::vector<run::MarkRecord>& marks) {
    {
        logbook::SessionRecord session;
        session.started_at = "2026-03-01T10:11:12Z";
        session.crook = "F";
        session.temperament = "equal";
        practice::LogWriter writer(path, session);
        practice::LogEntry entry;
        entry.note.index = 3;
        entry.note.start_s = 7.5;
        entry.note.finished = true;
        REQUIRE(writer.offer(entry));
        for (const run::MarkRecord& each : marks) {
            writer.put(each);
        }
        writer.finish(20.0);
        CHECK(writer.status().unsaved_records == 0);
    }
    auto log = logbook::Logbook::open_for_reading(path);
    REQUIRE(log.has_value());
    const auto sessions = (*log)->sessions();
    REQUIRE(sessions.has_value());
    REQUIRE(sessions->size() == 1);
    return (*log)->comments(sessions->front().id).value();
}

} // namespace

TEST_SUITE("practice/marks") {
    TEST_CASE("a mark is a teacher's comment on its note, once however often it is told") {
        const test::TemporaryFolder folder;
        const auto comments = written(folder / "log.sqlite",
                                      {mark(7.5, 3, "F4, 14 flat"),
                                       mark(7.5, 3, "F4, 12 flat"),
                                       mark(9.0, std::nullopt, "the call, G4")});
        REQUIRE(comments.size() == 2);
        CHECK(comments[0].note == 3);
        CHECK(comments[0].who == logbook::Who::teacher);
        CHECK(comments[0].text == "Marked: F4, 12 flat");
        CHECK_FALSE(comments[1].note.has_value());
        CHECK(comments[1].at_s == 9.0);
    }

    TEST_CASE("a mark that was taken away leaves nothing") {
        const test::TemporaryFolder folder;
        CHECK(written(folder / "log.sqlite", {mark(7.5, 3, "F4"), mark(7.5, 3, "")}).empty());
    }

    TEST_CASE("a mark on a note that the log did not get still stands at its place") {
        const test::TemporaryFolder folder;
        const auto comments = written(folder / "log.sqlite", {mark(8.0, 9, "G4")});
        REQUIRE(comments.size() == 1);
        CHECK_FALSE(comments[0].note.has_value());
        CHECK(comments[0].at_s == 8.0);
    }
}
