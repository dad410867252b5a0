#include "progress/progress.h"

#include "core/calendar.h"
#include "logbook/logbook.h"
#include "support/temporary_folder.h"

#include <doctest/doctest.h>

using namespace bellhand;
using logbook::Logbook;

namespace {

constexpr std::int64_t kDay = 20513; // Sunday 2026-03-01

/// A log in which `cents` were played in a row, a session at noon each.
struct Practised {
    test::TemporaryFolder folder;
    std::unique_ptr<Logbook> log = Logbook::open(folder / "log.sqlite").value();

    std::int64_t session(std::int64_t day, const char* clock = "12:00") {
        logbook::SessionRecord session;
        session.started_at = calendar::iso_day(day) + "T" + clock + ":00Z";
        return log->begin_session(session).value();
    }
    void note(std::int64_t session,
              std::uint32_t index,
              const char* written,
              double cents,
              const char* crook = "F",
              horn::Hand hand = horn::Hand::open) {
        trainer::PlayedNote note;
        note.index = index;
        note.start_s = 1.2 * index;
        note.duration_s = 1.0;
        note.written = horn::parse_note(written).value();
        note.hand = hand;
        note.deviation_cents = cents;
        note.finished = true;
        horn::Tuning tuning;
        tuning.crook = horn::parse_crook(crook).value();
        REQUIRE(log->put_note(session, tuning, note));
    }
};

} // namespace

TEST_SUITE("progress/progress") {
    TEST_CASE("ranges: one day, the seven days up to it, everything") {
        CHECK(progress::days_of(progress::Range::day, kDay)->first == kDay);
        CHECK(progress::days_of(progress::Range::week, kDay)->first == kDay - 6);
        CHECK(progress::days_of(progress::Range::week, kDay)->last == kDay);
        CHECK_FALSE(progress::days_of(progress::Range::all, kDay).has_value());
        CHECK(progress::parse_range("week").value() == progress::Range::week);
        CHECK_FALSE(progress::parse_range("month"));
    }

    TEST_CASE("note maps: the crook most played first, notes rising, open hand first") {
        Practised p;
        const auto session = p.session(kDay);
        p.note(session, 0, "G4", 20.0, "Eb", horn::Hand::full);
        p.note(session, 1, "G4", 2.0, "Eb");
        p.note(session, 2, "C4", -7.0, "Eb");
        p.note(session, 3, "C4", -3.0, "Eb");
        p.note(session, 4, "C4", 0.0, "D");
        for (const auto range :
             {progress::Range::day, progress::Range::week, progress::Range::all}) {
            const auto maps = progress::note_maps(*p.log, progress::days_of(range, kDay)).value();
            REQUIRE(maps.size() == 2);
            CHECK(maps[0].crook == "Eb");
            CHECK(maps[0].label == "E♭");
            CHECK(maps[0].figures.notes == 4);
            CHECK(maps[0].figures.right_share == 0.5);
            REQUIRE(maps[0].notes.size() == 3);
            CHECK(maps[0].notes[0].written.number == 60);
            CHECK(maps[0].notes[0].figures.median_cents == doctest::Approx(-6.5).epsilon(0.1));
            CHECK(maps[0].notes[0].figures.right_share == 0.5);
            CHECK(maps[0].notes[1].hand == horn::Hand::open);
            CHECK(maps[0].notes[2].hand == horn::Hand::full);
            CHECK(maps[1].crook == "D");
        }
        CHECK(progress::note_maps(*p.log, logbook::Days{kDay - 9, kDay - 1}).value().empty());
    }

    TEST_CASE("trend: sessions of a day, days of a week, weeks of the log; one crook or all") {
        Practised p;
        const auto early = p.session(kDay, "08:00");
        p.note(early, 0, "C4", -10.0);
        const auto late = p.session(kDay, "18:00");
        p.note(late, 0, "C4", 4.0);
        p.note(late, 1, "C4", 8.0, "D");
        const auto before = p.session(kDay - 3);
        p.note(before, 0, "C4", 1.0);
        const auto long_ago = p.session(kDay - 400);
        p.note(long_ago, 0, "C4", 30.0);

        const auto day = progress::trend(*p.log, progress::Range::day, kDay).value();
        REQUIRE(day.size() == 2);
        CHECK(day[0].session == early);
        CHECK(day[0].figures.median_cents == doctest::Approx(-10.0));
        CHECK(day[1].figures.notes == 2);
        CHECK(day[0].label.size() == 5);
        const auto one = progress::trend(*p.log, progress::Range::day, kDay, "D").value();
        REQUIRE(one.size() == 1);
        CHECK(one[0].figures.median_cents == doctest::Approx(8.0));

        const auto week = progress::trend(*p.log, progress::Range::week, kDay).value();
        REQUIRE(week.size() == 2);
        CHECK(week[0].first_day == kDay - 3);
        CHECK(week[1].figures.notes == 3);
        CHECK(week[1].label == "Sun 1 Mar");

        const auto all = progress::trend(*p.log, progress::Range::all, kDay).value();
        REQUIRE(all.size() == 2);
        CHECK(all[0].figures.median_cents == doctest::Approx(30.0));
        CHECK(all[1].first_day == kDay - 6); // the Monday before that Sunday
        CHECK(all[1].days == 7);
        CHECK(all[1].figures.notes == 4);
    }

    TEST_CASE("a week begins on its Monday, for the notes of some days as for the whole log") {
        constexpr std::int64_t kMonday = kDay - 6; // kDay is a Sunday
        for (std::int64_t day = kMonday; day < kMonday + 14; ++day) {
            Practised p;
            p.note(p.session(day), 0, "C4", 0.0);
            const logbook::Days days{day, day};
            for (const auto& asked : {std::optional<logbook::Days>{}, std::optional(days)}) {
                const auto tallies = p.log->trend_tallies(asked, logbook::Slice::week).value();
                REQUIRE(tallies.size() == 1);
                CHECK(tallies[0].slice == (day < kMonday + 7 ? kMonday : kMonday + 7));
            }
        }
    }

    TEST_CASE("hardest transitions: what often fails leads, what failed once does not") {
        Practised p;
        auto session = p.session(kDay);
        std::uint32_t index = 0;
        for (int i = 0; i < 20; ++i) { // C4 -> B4 half fails 15 of 20 times
            p.note(session, index++, "C4", 0.0);
            p.note(session, index++, "B4", i < 15 ? 25.0 : 3.0, "F", horn::Hand::half);
        }
        session = p.session(kDay);
        index = 0;
        for (int i = 0; i < 4; ++i) { // G4 -> A4 full fails 4 of 4
            p.note(session, index++, "G4", 0.0);
            p.note(session, index++, "A4", -30.0, "F", horn::Hand::full);
        }
        session = p.session(kDay);
        p.note(session, 0, "E4", 0.0); // E4 -> F5 fails 1 of 1
        p.note(session, 1, "F5", 60.0);
        const auto hardest =
            progress::hardest_transitions(*p.log, progress::days_of(progress::Range::week, kDay))
                .value();
        REQUIRE(hardest.size() == 2);
        CHECK(horn::ascii_name(hardest[0].to) == "A4");
        CHECK(hardest[0].right_share == 0.0);
        CHECK(hardest[0].off_cents == doctest::Approx(30.0));
        CHECK(horn::ascii_name(hardest[1].to) == "B4");
        CHECK(hardest[1].times == 20);
        CHECK(hardest[1].right_share == 0.25);
        CHECK(progress::hardest_transitions(*p.log, std::nullopt, 1).value().size() == 1);
    }

    TEST_CASE("minutes played and the rest advised") {
        Practised p;
        const auto session = p.session(kDay);
        for (std::uint32_t i = 0; i < 10; ++i) {
            p.note(session, i, "C4", 0.0);
        }
        REQUIRE(p.log->end_session(session, 60.0));
        const auto time = progress::practice_time(*p.log, std::nullopt).value();
        CHECK(time.sessions == 1);
        CHECK(time.practice_s == 60.0);
        CHECK(time.playing_s == doctest::Approx(11.8));
        CHECK(time.rest_advised_s == time.playing_s);
        CHECK(time.rest_s == 0.0);
        CHECK(time.days.size() == 1);
    }

    TEST_CASE("rests are the pauses of five seconds and more, over all days together") {
        Practised p;
        for (const std::int64_t day : {kDay - 1, kDay}) {
            const auto session = p.session(day);
            for (const double start_s : {0.0, 4.0, 25.0}) { // pauses of 3 and of 20 seconds
                trainer::PlayedNote note;
                note.index = start_s == 0.0 ? 0 : start_s == 4.0 ? 1 : 2;
                note.start_s = start_s;
                note.duration_s = 1.0;
                note.written = horn::parse_note("C4").value();
                note.finished = true;
                REQUIRE(p.log->put_note(session, {}, note));
            }
            REQUIRE(p.log->end_session(session, 30.0));
        }
        const auto time = progress::practice_time(*p.log, std::nullopt).value();
        CHECK(time.sessions == 2);
        CHECK(time.practice_s == 60.0);
        CHECK(time.rest_s == doctest::Approx(40.0));
        CHECK(progress::practice_time(*p.log, progress::days_of(progress::Range::day, kDay))
                  .value()
                  .rest_s == doctest::Approx(20.0));
    }

    TEST_CASE("faults by exercise and note, extra notes apart") {
        Practised p;
        const auto session = p.session(kDay);
        for (std::uint32_t b = 0; b < 2; ++b) {
            logbook::BlockRecord block;
            block.number = b;
            block.exercise = b == 0 ? "pairs" : "scales";
            block.title = b == 0 ? "Pairs" : "Scales";
            REQUIRE(p.log->put_block(session, block));
        }
        std::uint32_t number = 0;
        const auto step = [&](std::uint32_t block,
                              const char* asked,
                              std::vector<drill::Fault> faults,
                              bool extra = false) {
            logbook::JudgedStep judged;
            judged.number = number++;
            judged.asked = horn::parse_note(asked).value();
            judged.judgement.played = faults != std::vector{drill::Fault::missed};
            judged.judgement.faults = std::move(faults);
            judged.judgement.extra = extra;
            REQUIRE(p.log->put_step(session, block, judged));
        };
        using drill::Fault;
        step(0, "C4", {});
        step(0, "C4", {Fault::flat});
        step(0, "C4", {Fault::flat, Fault::late});
        step(0, "G4", {Fault::missed});
        step(0, "G4", {Fault::wrong_note}, true);
        step(1, "C4", {});
        for (const auto range : {progress::Range::day, progress::Range::all}) {
            const auto exercises =
                progress::exercise_figures(*p.log, progress::days_of(range, kDay)).value();
            REQUIRE(exercises.size() == 2);
            const auto& pairs = exercises[0];
            CHECK(pairs.title == "Pairs");
            CHECK(pairs.steps == 4);
            CHECK(pairs.good == 1);
            CHECK(pairs.extra == 1);
            REQUIRE(pairs.faults.size() == 3);
            CHECK(pairs.faults[0].fault == Fault::flat);
            CHECK(pairs.faults[0].times == 2);
            CHECK(pairs.faults[0].of == 3);
            CHECK(pairs.faults[1].fault == Fault::late);
            CHECK(pairs.faults[2].asked.number == 67);
            CHECK(exercises[1].good == 1);
            CHECK(exercises[1].faults.empty());
        }
    }

    TEST_CASE("all of it at once, without what lies in the bin") {
        Practised p;
        const auto session = p.session(kDay);
        p.note(session, 0, "C4", -3.0);
        const auto other = p.session(kDay);
        p.note(other, 0, "G4", 3.0);
        REQUIRE(p.log->delete_session(other));
        for (const auto range :
             {progress::Range::day, progress::Range::week, progress::Range::all}) {
            const auto seen = progress::look_back(*p.log, range, kDay).value();
            CHECK(seen.figures.notes == 1);
            CHECK(seen.figures.median_cents == doctest::Approx(-3.0));
            CHECK(seen.maps.size() == 1);
            CHECK(seen.trend.size() == 1);
            CHECK(seen.time.sessions == 1);
        }
        REQUIRE(p.log->restore_session(other));
        CHECK(progress::look_back(*p.log, progress::Range::all, kDay).value().figures.notes == 2);
    }

    TEST_CASE("crook changes: how many were right, and the middle time of those") {
        Practised p;
        const auto session = p.session(kDay);
        std::uint32_t number = 0;
        for (const auto& [correct, change_s] :
             {std::pair{true, 9.0}, {true, 3.0}, {false, 60.0}, {true, 5.0}}) {
            logbook::CrookChangeRecord change;
            change.number = number++;
            change.crook = "F";
            change.pieces_right = "long master";
            change.correct = correct;
            change.change_s = change_s;
            REQUIRE(p.log->put_crook_change(session, change));
        }
        const auto all = progress::look_back(*p.log, progress::Range::all, kDay);
        REQUIRE(all);
        CHECK(all->crook_changes.changes == 4);
        CHECK(all->crook_changes.right == 3);
        CHECK(all->crook_changes.median_s == 5.0);
    }
}
