#include "core/calendar.h"
#include "logbook/sqlite_logbook.h"
#include "support/temporary_folder.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <string>

#include <doctest/doctest.h>
#include <sqlite3.h>

using namespace bellhand;
using logbook::Days;
using logbook::Logbook;
using logbook::Slice;

namespace {

constexpr Days kEver{-1000000, 1000000};

template <typename T>
T must(Result<T> result) {
    REQUIRE(result);
    return std::move(*result);
}

/// Everything the kept sums say, or the same from the notes themselves, as text to compare.
std::string told(Logbook& log, bool from_notes) {
    const std::optional<Days> days = from_notes ? std::optional(kEver) : std::nullopt;
    std::string out;
    const auto bins = [&](const logbook::Bins& list) {
        for (const auto& bin : list) {
            out += " " + std::to_string(bin.cents) + ":" + std::to_string(bin.notes) + "/" +
                   std::to_string(bin.in_tune);
        }
        out += "\n";
    };
    for (const auto& tally : must(log.note_tallies(days))) {
        out += tally.crook + " " + std::to_string(tally.written) + horn::hand_sign(tally.hand);
        bins(tally.bins);
    }
    for (const auto& tally : must(log.trend_tallies(days, Slice::week))) {
        out += std::to_string(tally.slice) + " " + tally.crook;
        bins(tally.bins);
    }
    std::vector<std::string> lines;
    for (const auto& tally : must(log.transition_tallies(days))) {
        lines.push_back(tally.crook + " " + std::to_string(tally.from_written) +
                        horn::hand_sign(tally.from_hand) + " " + std::to_string(tally.written) +
                        horn::hand_sign(tally.hand) + " " + std::to_string(tally.times) + "/" +
                        std::to_string(tally.in_tune) + " " +
                        std::to_string(std::lround(100.0 * tally.off_cents_sum)) + "\n");
    }
    for (const auto& tally : must(log.step_tallies(days))) {
        std::string line = tally.exercise + " " + tally.title + " " + std::to_string(tally.asked) +
                           horn::hand_sign(tally.asked_hand);
        line += tally.extra ? " extra" : "";
        for (const auto fault : tally.faults) {
            line += std::string(" ") + drill::fault_id(fault);
        }
        lines.push_back(line + " " + std::to_string(tally.steps) + "\n");
    }
    std::sort(lines.begin(), lines.end());
    for (const std::string& line : lines) {
        out += line;
    }
    return out;
}

trainer::PlayedNote note_of(std::uint32_t index, int number, double start_s, double cents) {
    trainer::PlayedNote note;
    note.index = index;
    note.start_s = start_s;
    note.duration_s = 1.0;
    note.written = horn::usual_spelling(number);
    note.deviation_cents = cents;
    note.finished = true;
    return note;
}

/// Steps of SQLite's own machine that `ask` takes, in hundreds: a measure of work that no clock and no other program
/// disturbs.
template <typename Ask>
std::int64_t work_of(sqlite3* handle, const Ask& ask) {
    std::int64_t count = 0;
    sqlite3_progress_handler(
        handle,
        100,
        [](void* counter) {
            ++*static_cast<std::int64_t*>(counter);
            return 0;
        },
        &count);
    ask();
    sqlite3_progress_handler(handle, 0, nullptr, nullptr);
    return count;
}

/// Sessions a day on days 20000, 20001, ..., twenty notes each, on the same few places.
void practise_days(const std::filesystem::path& path, int days, int sessions_a_day) {
    auto log = Logbook::open(path).value();
    std::mt19937 random(7);
    std::normal_distribution<double> cents(0.0, 6.0);
    REQUIRE(log->together([&]() -> Result<void> {
        for (int i = 0; i < days * sessions_a_day; ++i) {
            logbook::SessionRecord session;
            session.started_at =
                calendar::utc_text(std::int64_t{86400} * (20000 + i / sessions_a_day) + 43200);
            const auto id = log->begin_session(session).value();
            for (std::uint32_t n = 0; n < 20; ++n) {
                REQUIRE(log->put_note(
                    id, {}, note_of(n, 60 + static_cast<int>(n * 7 % 12), n * 1.2, cents(random))));
            }
        }
        return {};
    }));
}

} // namespace

TEST_SUITE("logbook/tallies") {
    TEST_CASE("the sums kept by every write are those of the notes, whatever was written") {
        const test::TemporaryFolder folder;
        auto log = Logbook::open(folder / "log.sqlite").value();
        std::mt19937 random(20260301);
        const auto pick = [&](int below) {
            return static_cast<int>(random() % static_cast<unsigned>(below));
        };
        std::vector<std::int64_t> sessions;
        int deleted = 0;
        int restored = 0;
        for (int turn = 0; turn < 1500; ++turn) {
            const int what = pick(100);
            if (sessions.empty() || what < 2) {
                logbook::SessionRecord session;
                session.started_at = "2026-0" + std::to_string(1 + pick(9)) + "-1" +
                                     std::to_string(pick(10)) + "T12:00:00Z";
                sessions.push_back(log->begin_session(session).value());
                continue;
            }
            const std::int64_t session =
                sessions[static_cast<std::size_t>(pick(static_cast<int>(sessions.size())))];
            if (what < 70) {
                auto note = note_of(static_cast<std::uint32_t>(pick(12)),
                                    60 + pick(4),
                                    1.0 * pick(40),
                                    pick(400) / 10.0 - 20.0);
                note.hand = pick(2) == 0 ? horn::Hand::open : horn::Hand::full;
                note.finished = pick(5) != 0;
                note.known_within_cents = pick(3) == 0 ? 20.0 : 0.0;
                horn::Tuning tuning;
                tuning.crook = horn::all_crooks()[static_cast<std::size_t>(pick(2))];
                REQUIRE(log->put_note(session, tuning, note));
            } else if (what < 80) {
                logbook::BlockRecord block;
                block.number = static_cast<std::uint32_t>(pick(3));
                block.exercise = pick(2) == 0 ? "scales" : "pairs";
                block.title = block.exercise;
                REQUIRE(log->put_block(session, block));
            } else if (what < 95) {
                logbook::JudgedStep step;
                step.number = static_cast<std::uint32_t>(pick(6));
                step.asked.number = 60 + pick(2);
                step.judgement.extra = pick(4) == 0;
                if (pick(2) == 0) {
                    step.judgement.faults.push_back(drill::Fault::flat);
                }
                // Refused where there is no such block.
                (void)log->put_step(session, static_cast<std::uint32_t>(pick(3)), step);
            } else if (what < 98) {
                deleted += log->delete_session(session) ? 1 : 0;
            } else {
                restored += log->restore_session(session) ? 1 : 0;
            }
        }
        CHECK(deleted > 5);
        CHECK(restored > 2);
        const std::string kept = told(*log, false);
        CHECK(kept.size() > 1000);
        CHECK(kept == told(*log, true));
        CHECK(log->empty_bin(0).value() > 0);
        CHECK(told(*log, false) == kept);
    }

    TEST_CASE(
        "notes near together are transitions, a repeated note and one after a pause are not") {
        const test::TemporaryFolder folder;
        auto log = Logbook::open(folder / "log.sqlite").value();
        const auto session = log->begin_session({}).value();
        REQUIRE(log->put_note(session, {}, note_of(0, 60, 0.0, 0.0)));
        REQUIRE(log->put_note(session, {}, note_of(1, 64, 1.2, 7.0)));   // 60 -> 64
        REQUIRE(log->put_note(session, {}, note_of(2, 64, 2.4, 0.0)));   // repeated
        REQUIRE(log->put_note(session, {}, note_of(3, 60, 6.0, 0.0)));   // after 2.6 s
        REQUIRE(log->put_note(session, {}, note_of(4, 64, 7.1, 150.0))); // 60 -> 64
        const auto tallies = log->transition_tallies(std::nullopt).value();
        REQUIRE(tallies.size() == 1);
        CHECK(tallies[0].from_written == 60);
        CHECK(tallies[0].written == 64);
        CHECK(tallies[0].times == 2);
        CHECK(tallies[0].in_tune == 0);
        CHECK(tallies[0].off_cents_sum == 107.0);
    }

    TEST_CASE(
        "a short note whose pitch is known only roughly counts as played, in no figure of pitch") {
        const test::TemporaryFolder folder;
        auto log = Logbook::open(folder / "log.sqlite").value();
        const auto session = log->begin_session({}).value();
        auto short_note = note_of(1, 64, 1.2, -17.0);
        REQUIRE(log->put_note(session, {}, note_of(0, 60, 0.0, 2.0)));
        REQUIRE(log->put_note(session, {}, short_note)); // as a note like any other,
        short_note.known_within_cents = 18.0;            // then as what it is
        REQUIRE(log->put_note(session, {}, short_note));
        REQUIRE(log->put_note(session, {}, note_of(2, 67, 2.4, 3.0)));
        for (const auto& days : {std::optional<Days>(), std::optional(kEver)}) {
            const auto kinds = log->note_tallies(days).value();
            REQUIRE(kinds.size() == 2);
            CHECK(kinds[0].written == 60);
            CHECK(kinds[1].written == 67);
            const auto weeks = log->trend_tallies(days, Slice::week).value();
            for (const auto& week : weeks) {
                CHECK(week.bins.size() == 2);
            }
            const auto ways = log->transition_tallies(days).value();
            REQUIRE(ways.size() == 1); // into the note whose pitch is known
            CHECK(ways[0].written == 67);
            CHECK(log->day_sums(days).value()[0].notes == 3);
        }
    }

    TEST_CASE("playing and resting: gaps under five seconds belong to the playing") {
        const test::TemporaryFolder folder;
        auto log = Logbook::open(folder / "log.sqlite").value();
        logbook::SessionRecord started;
        started.started_at = "2026-03-01T12:00:00Z";
        const auto session = log->begin_session(started).value();
        REQUIRE(log->put_note(session, {}, note_of(0, 60, 1.0, 0.0)));
        REQUIRE(log->put_note(session, {}, note_of(1, 60, 4.0, 0.0)));  // 2 s later
        REQUIRE(log->put_note(session, {}, note_of(2, 60, 65.0, 0.0))); // 60 s later
        REQUIRE(log->end_session(session, 80.0));
        auto sums = log->day_sums(std::nullopt).value();
        REQUIRE(sums.size() == 1);
        CHECK(sums[0].day == 20513); // date -d 2026-03-01 +%s / 86400
        CHECK(sums[0].sessions == 1);
        CHECK(sums[0].notes == 3);
        CHECK(sums[0].practice_s == 80.0);
        CHECK(sums[0].playing_s == doctest::Approx(5.0));
        CHECK(sums[0].rest_s == doctest::Approx(60.0));
        // The note in the middle turns out to have been longer.
        auto longer = note_of(1, 60, 4.0, 0.0);
        longer.duration_s = 31.0;
        REQUIRE(log->put_note(session, {}, longer));
        sums = log->day_sums(Days{20513, 20513}).value();
        CHECK(sums[0].playing_s == doctest::Approx(35.0));
        CHECK(sums[0].rest_s == doctest::Approx(30.0));
        CHECK(log->day_sums(Days{20514, 20600}).value().empty());
    }

    TEST_CASE("looking back takes as much work on a log four times as long") {
        const test::TemporaryFolder folder;
        std::int64_t all[2] = {};
        std::int64_t week[2] = {};
        std::int64_t naive[2] = {};
        for (int i = 0; i < 2; ++i) {
            const auto path = folder / (i == 0 ? "short.sqlite" : "long.sqlite");
            // The long log has four times the notes of the short one, in the same weeks.
            practise_days(path, 30, i == 0 ? 1 : 4);
            auto database = logbook::Database::open(path, logbook::Database::Use::read).value();
            sqlite3* handle = database.handle();
            logbook::SqliteLogbook log(std::move(database), path);
            all[i] = work_of(handle, [&] {
                REQUIRE(log.note_tallies(std::nullopt));
                REQUIRE(log.trend_tallies(std::nullopt, Slice::week));
                REQUIRE(log.transition_tallies(std::nullopt));
            });
            naive[i] = work_of(handle, [&] { REQUIRE(log.note_tallies(kEver)); });
        }
        MESSAGE("hundreds of steps: kept sums ",
                all[0],
                " and ",
                all[1],
                ", from notes ",
                naive[0],
                " and ",
                naive[1]);
        CHECK(all[0] > 10);
        CHECK(all[1] < all[0] * 3 / 2);
        CHECK(naive[1] > naive[0] * 3);

        for (int i = 0; i < 2; ++i) {
            const auto path = folder / (i == 0 ? "month.sqlite" : "months.sqlite");
            // The same practice every day, for one month or for four.
            practise_days(path, i == 0 ? 30 : 120, 1);
            auto database = logbook::Database::open(path, logbook::Database::Use::read).value();
            sqlite3* handle = database.handle();
            logbook::SqliteLogbook log(std::move(database), path);
            const Days days{20010, 20016};
            week[i] = work_of(handle, [&] {
                REQUIRE(log.note_tallies(days).value().size() == 12);
                REQUIRE(log.trend_tallies(days, Slice::day).value().size() == 7);
                REQUIRE(log.transition_tallies(days));
                REQUIRE(log.day_sums(days).value().size() == 7);
                REQUIRE(log.step_tallies(days));
            });
        }
        MESSAGE("hundreds of steps for a week: ", week[0], " and ", week[1]);
        CHECK(week[0] > 10);
        CHECK(week[1] < week[0] * 11 / 10);
    }
}
