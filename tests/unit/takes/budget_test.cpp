#include "takes/budget.h"

#include "logbook/logbook.h"
#include "support/temporary_folder.h"

#include <fstream>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::takes;

namespace {

logbook::TakeRecord take_of(std::int64_t id, std::int64_t bytes, bool kept) {
    logbook::TakeRecord take;
    take.id = id;
    take.bytes = bytes;
    take.kept = kept;
    return take;
}

} // namespace

TEST_SUITE("takes/budget") {
    TEST_CASE("the oldest takes leave first, but never a kept or a protected one") {
        const std::vector<logbook::TakeRecord> takes = {take_of(1, 30, true),
                                                        take_of(2, 30, false),
                                                        take_of(3, 30, false),
                                                        take_of(4, 30, false)};
        const Clearing clearing = plan_clearing(takes, {2}, 120, 70);
        REQUIRE(clearing.leaving.size() == 2);
        CHECK(clearing.leaving[0].id == 3);
        CHECK(clearing.leaving[1].id == 4);
        CHECK(clearing.enough);
        CHECK(plan_clearing(takes, {}, 120, 120).leaving.empty());
        CHECK(plan_clearing(takes, {}, 120, 100).leaving.size() == 1);
        CHECK_FALSE(plan_clearing(takes, {2}, 120, 50).enough);
    }

    TEST_CASE("a take goes only after it was named, and unreturned homework stays") {
        test::TemporaryFolder folder;
        const auto log = folder / "log.sqlite";
        auto opened = logbook::Logbook::open(log);
        REQUIRE(opened);
        logbook::Logbook& book = **opened;
        logbook::SessionRecord begun;
        begun.started_at = "2026-03-01T10:11:12Z";
        const auto session = book.begin_session(begun).value();
        logbook::BlockRecord block;
        block.homework = "hw";
        REQUIRE(book.put_block(session, block));
        logbook::HomeworkRecord homework;
        homework.id = "hw";
        REQUIRE(book.put_homework(homework));
        std::filesystem::create_directories(logbook::takes_folder(log));
        std::vector<std::int64_t> ids;
        for (int i = 0; i < 5; ++i) {
            logbook::TakeRecord take;
            take.session = session;
            take.file = "take" + std::to_string(i) + ".flac";
            take.start_s = i;
            take.bytes = 20'000'000;
            take.kept = i == 1;
            if (i == 0) {
                take.block = 0;
            }
            std::ofstream(logbook::takes_folder(log) / take.file) << "x";
            ids.push_back(book.put_take(take).value());
        }
        CHECK(set_budget(book, 1000).error().kind == ErrorKind::usage);
        CHECK(budget(book).value() == kUsualBudget_bytes);
        CHECK(keep_within_budget(book).value().empty());
        REQUIRE(set_budget(book, 60'000'000));
        CHECK(homework_takes(book).value() == std::set<std::int64_t>{ids[0]});

        const std::string said = keep_within_budget(book).value();
        CHECK(said.find("the oldest 3 takes will go") != std::string::npos);
        CHECK(book.all_takes().value().size() == 5); // said before it happens

        const std::string then = keep_within_budget(book).value();
        CHECK(then.find("2 takes named last time went") != std::string::npos);
        const auto left = book.all_takes().value();
        REQUIRE(left.size() == 3);
        CHECK(left[0].id == ids[0]);
        CHECK(left[1].id == ids[1]);
        CHECK(left[2].id == ids[4]);
        CHECK_FALSE(std::filesystem::exists(logbook::takes_folder(log) / "take2.flac"));
        CHECK(std::filesystem::exists(logbook::takes_folder(log) / "take0.flac"));

        REQUIRE(set_kept(book, ids[4], true));
        REQUIRE(set_budget(book, 50'000'000));
        CHECK(keep_within_budget(book).value().find("all of them are to be kept") !=
              std::string::npos);
        CHECK(keep_within_budget(book).value().find("all of them are to be kept") !=
              std::string::npos);
        CHECK(book.all_takes().value().size() == 3);
        CHECK_FALSE(set_kept(book, 999, true));
    }
}
