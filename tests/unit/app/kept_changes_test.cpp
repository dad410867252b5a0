// A crook-change drill on its way into the log.
#include "app/kept_changes.h"

#include "support/temporary_folder.h"

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

app::KeptDrill drill_of(std::size_t changes) {
    app::KeptDrill drill;
    drill.began.input = "crook changes: quiz";
    drill.began.crook = "F";
    drill.duration_s = 10.0 * static_cast<double>(changes);
    for (std::size_t i = 0; i < changes; ++i) {
        logbook::CrookChangeRecord change;
        change.number = static_cast<std::uint32_t>(i);
        change.crook = "Eb";
        drill.changes.push_back(change);
    }
    return drill;
}

} // namespace

TEST_SUITE("app/kept_changes") {
    TEST_CASE("a drill is one session, kept again as it grows, and without what was taken back") {
        const test::TemporaryFolder folder;
        auto log = logbook::Logbook::open(folder / "log.sqlite").value();
        app::KeptDrill drill = drill_of(1);
        drill.session = app::keep_drill(*log, drill).value();
        for (const std::size_t changes : {3U, 2U}) {
            app::KeptDrill more = drill_of(changes);
            more.session = drill.session;
            CHECK(app::keep_drill(*log, more).value() == drill.session);
            CHECK(log->crook_changes(drill.session).value().size() == changes);
        }
        const auto sessions = log->sessions().value();
        REQUIRE(sessions.size() == 1);
        CHECK(sessions[0].input == "crook changes: quiz");
        CHECK(sessions[0].closed);
        CHECK(sessions[0].duration_s == doctest::Approx(30.0));
    }

    TEST_CASE("when the log refuses, nothing of it is there") {
        const test::TemporaryFolder folder;
        auto log = logbook::Logbook::open(folder / "log.sqlite").value();
        app::KeptDrill drill = drill_of(2);
        drill.session = 99; // there is no such session
        CHECK_FALSE(app::keep_drill(*log, drill));
        CHECK(log->sessions().value().empty());
        CHECK(log->all_crook_changes(std::nullopt).value().empty());
    }
}
