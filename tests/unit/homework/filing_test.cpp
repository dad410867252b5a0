#include "homework/filing.h"

#include "core/files.h"
#include "support/set_work.h"
#include "support/temporary_folder.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::homework;

namespace {

namespace fs = std::filesystem;

constexpr const char* kToday = "2026-03-02";

Package answered(const char* returned_at, const char* words) {
    Homework homework = test::set_work();
    homework.returned.emplace();
    homework.returned->returned_at = returned_at;
    homework.returned->words = words;
    return Package(std::move(homework));
}

} // namespace

TEST_SUITE("homework/filing") {
    TEST_CASE("what is set gets an id and the day, and is found again; the newest stands first") {
        const test::TemporaryFolder folder;
        const fs::path set = set_folder(folder / "log.sqlite");
        CHECK(files_in(set).empty());
        Homework homework = test::set_work(2);
        homework.id.clear();
        homework.written_on.clear();
        const auto file = file_set(homework, set, kToday);
        REQUIRE(file);
        homework.title = "Older";
        homework.written_on = "2026-02-01";
        REQUIRE(file_set(homework, set, kToday));
        const auto files = files_in(set);
        REQUIRE(files.size() == 2);
        CHECK(files[0].file == *file);
        CHECK(files[0].problem.empty());
        CHECK(files[0].homework.written_on == kToday);
        CHECK(files[0].homework.id.rfind("week-one-2026-03-02-", 0) == 0);
        CHECK(files[0].homework.tasks.size() == 2);
        CHECK(files[1].homework.title == "Older");
    }

    TEST_CASE("what cannot be given is not written") {
        const test::TemporaryFolder folder;
        Homework homework = test::set_work();
        homework.tasks.clear();
        const auto file = file_set(homework, folder / "set", kToday);
        REQUIRE_FALSE(file);
        CHECK(file.error().message.find("add an exercise") != std::string::npos);
        CHECK_FALSE(fs::exists(folder / "set"));
    }

    TEST_CASE("a damaged file stands last and says why; other files are left alone") {
        const test::TemporaryFolder folder;
        const fs::path set = folder / "set";
        REQUIRE(file_set(test::set_work(), set, kToday));
        REQUIRE(write_file_in_one_step(set / "a-damaged.hornwork", "no archive"));
        REQUIRE(write_file_in_one_step(set / "notes.txt", "about something else"));
        const auto files = files_in(set);
        REQUIRE(files.size() == 2);
        CHECK(files[0].problem.empty());
        CHECK(files[1].file.filename() == "a-damaged.hornwork");
        CHECK(files[1].problem.find("a-damaged.hornwork") != std::string::npos);
    }

    TEST_CASE("the same answer is kept once with what was said of it, another one beside it") {
        const test::TemporaryFolder folder;
        const fs::path set = folder / "set";
        const Package first = answered("2026-03-05T10:00:00Z", "The D is hard.");
        const auto file = file_returned(first, set);
        REQUIRE(file);
        Package commented = Package::load(*file).value();
        Comment comment;
        comment.text = "Support it.";
        commented.homework().comments.push_back(comment);
        REQUIRE(commented.save(*file));

        CHECK(file_returned(first, set).value() == *file);
        CHECK(Package::load(*file)->homework().comments.size() == 1);

        const auto other = file_returned(answered("2026-03-05T10:00:00Z", "Easy."), set);
        REQUIRE(other);
        CHECK(*other != *file);
        CHECK(files_in(set).size() == 2);
    }

    TEST_CASE("only what came back is kept as an answer") {
        const test::TemporaryFolder folder;
        CHECK_FALSE(file_returned(Package(test::set_work()), folder / "set"));
    }

    TEST_CASE("a draft is kept as it is, without title or tasks too, until it is done with") {
        const test::TemporaryFolder folder;
        const fs::path set = folder / "set";
        CHECK_FALSE(load_draft(set)->has_value());
        Homework draft;
        draft.words = "Slowly.";
        draft.a4_hz = 415.0;
        REQUIRE(keep_draft(draft, set));
        const auto read = load_draft(set);
        REQUIRE(read);
        REQUIRE(read->has_value());
        CHECK((*read)->words == "Slowly.");
        CHECK((*read)->a4_hz == 415.0);
        CHECK((*read)->tasks.empty());
        CHECK(files_in(set).empty());
        REQUIRE(keep_draft(std::nullopt, set));
        CHECK_FALSE(load_draft(set)->has_value());
        REQUIRE(keep_draft(std::nullopt, set));

        REQUIRE(write_file_in_one_step(set / "draft.json", "{"));
        const auto damaged = load_draft(set);
        REQUIRE_FALSE(damaged);
        CHECK(damaged.error().message.find("draft.json") != std::string::npos);
    }
}
