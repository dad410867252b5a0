#include "support/long_log.h"

#include "core/calendar.h"
#include "horn/hand_chart.h"
#include "horn/note.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <random>
#include <string>

#include <sqlite3.h>

namespace bellhand::test {

namespace {

constexpr const char* kFirstVersion =
    "PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA application_id = 1113943148;"
    "PRAGMA user_version = 1;"
    "CREATE TABLE session (id INTEGER PRIMARY KEY AUTOINCREMENT, started_at TEXT NOT NULL,"
    " duration_s REAL NOT NULL DEFAULT 0, input TEXT NOT NULL, crook TEXT NOT NULL,"
    " a4_hz REAL NOT NULL, temperament TEXT NOT NULL, closed INTEGER NOT NULL DEFAULT 0);"
    "CREATE TABLE note (id INTEGER PRIMARY KEY,"
    " session_id INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,"
    " number INTEGER NOT NULL, start_s REAL NOT NULL, duration_s REAL NOT NULL,"
    " crook TEXT NOT NULL, a4_hz REAL NOT NULL, temperament TEXT NOT NULL, written TEXT NOT NULL,"
    " partial INTEGER NOT NULL, hand TEXT NOT NULL, f0_hz REAL NOT NULL, target_hz REAL NOT NULL,"
    " deviation_cents REAL NOT NULL, spread_cents REAL NOT NULL, attack_cents REAL NOT NULL,"
    " level_dbfs REAL NOT NULL, finished INTEGER NOT NULL, UNIQUE (session_id, number));"
    "BEGIN";

constexpr std::array kCrooks{"F", "F", "F", "Eb", "Eb", "D", "G", "C-basso"};

void must(bool good, sqlite3* file) {
    if (!good) {
        std::fprintf(stderr, "long log: %s\n", sqlite3_errmsg(file));
        std::abort();
    }
}

void run(sqlite3* file, const char* sql) {
    must(sqlite3_exec(file, sql, nullptr, nullptr, nullptr) == SQLITE_OK, file);
}

sqlite3_stmt* prepare(sqlite3* file, const char* sql) {
    sqlite3_stmt* statement = nullptr;
    must(sqlite3_prepare_v2(file, sql, -1, &statement, nullptr) == SQLITE_OK, file);
    return statement;
}

void bind(sqlite3_stmt* to, int at, double value) {
    sqlite3_bind_double(to, at, value);
}
void bind(sqlite3_stmt* to, int at, std::int64_t value) {
    sqlite3_bind_int64(to, at, value);
}
void bind(sqlite3_stmt* to, int at, const std::string& value) {
    sqlite3_bind_text(to, at, value.c_str(), -1, SQLITE_TRANSIENT);
}

template <typename... Values>
void put(sqlite3* file, sqlite3_stmt* statement, const Values&... values) {
    int at = 0;
    (bind(statement, ++at, values), ...);
    must(sqlite3_step(statement) == SQLITE_DONE, file);
    sqlite3_reset(statement);
}

} // namespace

void write_long_log(const std::filesystem::path& path, const LongLog& what) {
    sqlite3* file = nullptr;
    must(sqlite3_open(path.string().c_str(), &file) == SQLITE_OK, file);
    run(file, kFirstVersion);
    sqlite3_stmt* session =
        prepare(file, "INSERT INTO session VALUES (?, ?, ?, 'microphone', ?, 440.0, 'equal', 1)");
    sqlite3_stmt* note = prepare(file,
                                 "INSERT INTO note VALUES (NULL, ?, ?, ?, ?, ?, 440.0, 'equal', ?, "
                                 "?, ?, ?, ?, ?, 1.5, ?, -22.0, 1)");
    std::mt19937 random(what.seed);
    std::normal_distribution<double> normal(0.0, 1.0);
    const auto chart = horn::hand_chart();
    const std::int64_t days = what.years * std::int64_t{365};
    const std::int64_t sessions = 2 * (days - days / 7);
    std::int64_t written = 0;
    std::int64_t id = 0;
    for (std::int64_t day = 0; day < days; ++day) {
        for (int half = 0; half < (day % 7 == 6 ? 0 : 2); ++half) {
            ++id;
            const std::string crook = kCrooks[random() % kCrooks.size()];
            const std::int64_t due = std::min(what.notes * id / sessions, what.notes);
            double at_s = 1.0;
            auto place = static_cast<int>(chart.size() / 2);
            std::int64_t number = 0;
            // The spread falls from 14 to 7 cents over the years.
            const double spread = 14.0 - 7.0 * static_cast<double>(day) / static_cast<double>(days);
            for (; written < due; ++written, ++number) {
                place += static_cast<int>(random() % 5) - 2;
                place = std::clamp(place, 12, static_cast<int>(chart.size()) - 10);
                const horn::ChartEntry& entry = chart[static_cast<std::size_t>(place)];
                const double off =
                    (entry.usual().hand == horn::Hand::open ? 0.0 : 3.0) + spread * normal(random);
                const double length_s = 0.3 + 0.001 * static_cast<double>(random() % 1500);
                put(file,
                    note,
                    id,
                    number,
                    at_s,
                    length_s,
                    crook,
                    horn::ascii_name(entry.written),
                    std::int64_t{entry.usual().partial},
                    std::string(horn::hand_id(entry.usual().hand)),
                    220.0,
                    220.0,
                    off,
                    off - 4.0);
                at_s += length_s + (random() % 40 == 0 ? 12.0 : 0.1);
            }
            const std::string clock = half == 0 ? "T09:00:00Z" : "T17:30:00Z";
            put(file,
                session,
                id,
                calendar::iso_day(what.last_day - days + 1 + day) + clock,
                at_s + 2.0,
                crook);
        }
    }
    run(file, "COMMIT");
    sqlite3_finalize(session);
    sqlite3_finalize(note);
    sqlite3_close(file);
}

void add_long_log_steps(const std::filesystem::path& path, std::uint32_t seed) {
    sqlite3* file = nullptr;
    must(sqlite3_open(path.string().c_str(), &file) == SQLITE_OK, file);
    run(file, "PRAGMA synchronous = OFF; BEGIN");
    sqlite3_stmt* block =
        prepare(file,
                "INSERT INTO block (id, session_id, number, exercise, title, why, crook, a4_hz, "
                "temperament, start_s, planned_s, duration_s, planned_rest_s, rest_s, homework_id, "
                "homework_part, finished, steps, good_steps) VALUES (?, ?, ?, ?, ?, '', 'F', 440, "
                "'equal', 0, 60, 60, 60, 60, '', 0, 1, 12, 9)");
    sqlite3_stmt* step =
        prepare(file,
                "INSERT INTO step (block_id, number, step, pass, asked, asked_number, asked_hand, "
                "note_number, held_cents, attack_cents, tolerance_cents, faults) VALUES (?, ?, ?2, "
                "0, ?, ?, ?, ?, 1.5, 2.5, 5, ?)");
    constexpr std::array kFaults{"flat", "sharp late", "wrong-partial", "wrong-hand", "early"};
    std::mt19937 random(seed);
    const auto chart = horn::hand_chart();
    sqlite3_stmt* sessions = prepare(file, "SELECT id, notes FROM session ORDER BY id");
    std::int64_t id = 0;
    while (sqlite3_step(sessions) == SQLITE_ROW) {
        const std::int64_t session = sqlite3_column_int64(sessions, 0);
        const std::int64_t notes = sqlite3_column_int64(sessions, 1);
        std::int64_t next = 0;
        for (std::int64_t number = 0; number < 12; ++number) {
            const std::string exercise = "exercise-" + std::to_string(random() % 40);
            put(file, block, ++id, session, number, exercise, "Title of " + exercise);
            for (std::int64_t at = 0; at < 12 && next < notes; ++at, ++next) {
                const horn::ChartEntry& entry = chart[12 + random() % (chart.size() - 24)];
                put(file,
                    step,
                    id,
                    at,
                    horn::ascii_name(entry.written),
                    std::int64_t{entry.written.number},
                    std::string(horn::hand_id(entry.usual().hand)),
                    next,
                    std::string(random() % 5 == 0 ? kFaults[random() % kFaults.size()] : ""));
            }
        }
    }
    run(file,
        "INSERT INTO step_tally SELECT exercise, asked_number, asked_hand, extra, faults, count(*) "
        "FROM block JOIN step ON block_id = block.id GROUP BY 1, 2, 3, 4, 5; COMMIT");
    sqlite3_finalize(block);
    sqlite3_finalize(step);
    sqlite3_finalize(sessions);
    sqlite3_close(file);
}

} // namespace bellhand::test
