// Looking back: the sums of the whole log as they were kept, or of some days from their notes.
#include "logbook/fault_list.h"
#include "logbook/sqlite_logbook.h"

#include <map>

#include <sqlite3.h>

namespace bellhand::logbook {

namespace {

static_assert(trainer::PlayedNote::kPitchKnown_cents ==
              10.0); // as it stands in the questions below

// CROSS JOIN keeps the order of the tables: first the days' sessions by their index, then their notes.
constexpr const char* kNotesOfDays =
    " FROM session CROSS JOIN note ON session_id = session.id WHERE day BETWEEN ? AND ? AND "
    "deleted_at IS NULL AND finished AND known_within_cents <= 10 ";

constexpr const char* kBinColumns =
    "CAST(round(max(min(deviation_cents, 100), -100)) AS INTEGER), count(*), "
    "sum(abs(deviation_cents) <= tolerance_cents)";

Bin bin_from(const Statement& row, int first) {
    return {static_cast<int>(row.integer(first)), row.integer(first + 1), row.integer(first + 2)};
}

void bind_days(Statement& rows, const std::optional<Days>& days) {
    if (days) {
        rows.bind(days->first).bind(days->last);
    }
}

const char* slice_sql(Slice slice) {
    switch (slice) {
    case Slice::session:
        return "session.id";
    case Slice::day:
        return "day";
    case Slice::week:
        break;
    }
    return "7 * ((day + 3) / 7) - 3"; // day 0 was a Thursday
}

} // namespace

Result<std::vector<NoteTally>> SqliteLogbook::note_tallies(const std::optional<Days>& days) {
    const std::string sql =
        days ? std::string("SELECT note.crook, written_number, hand, ") + kBinColumns +
                   kNotesOfDays + "GROUP BY 1, 2, 3, 4 ORDER BY 1, 2, 3, 4"
             : std::string("SELECT crook, written, hand, cents, notes, in_tune FROM note_tally "
                           "WHERE notes > 0 ORDER BY 1, 2, 3, 4");
    Statement rows(database_.handle(), sql);
    bind_days(rows, days);
    std::vector<NoteTally> tallies;
    auto read = for_rows(rows, [&](const Statement& row) {
        const std::string_view crook = row.view(0);
        const int written = static_cast<int>(row.integer(1));
        const std::string_view hand = row.view(2);
        if (tallies.empty() || tallies.back().crook != crook || tallies.back().written != written ||
            hand != horn::hand_id(tallies.back().hand)) {
            tallies.push_back({std::string(crook), written, hand_from(hand), {}});
        }
        tallies.back().bins.push_back(bin_from(row, 3));
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return tallies;
}

Result<std::vector<TrendTally>> SqliteLogbook::trend_tallies(const std::optional<Days>& days,
                                                             Slice slice) {
    const std::string sql =
        days ? std::string("SELECT ") + slice_sql(slice) + ", note.crook, " + kBinColumns +
                   kNotesOfDays + "GROUP BY 1, 2, 3 ORDER BY 1, 2, 3"
             : std::string("SELECT week, crook, cents, notes, in_tune FROM week_tally "
                           "WHERE notes > 0 ORDER BY 1, 2, 3");
    Statement rows(database_.handle(), sql);
    bind_days(rows, days);
    std::vector<TrendTally> tallies;
    auto read = for_rows(rows, [&](const Statement& row) {
        const std::int64_t at = row.integer(0);
        const std::string_view crook = row.view(1);
        if (tallies.empty() || tallies.back().slice != at || tallies.back().crook != crook) {
            tallies.push_back({at, std::string(crook), {}});
        }
        tallies.back().bins.push_back(bin_from(row, 2));
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return tallies;
}

Result<std::vector<TransitionTally>>
SqliteLogbook::transition_tallies(const std::optional<Days>& days) {
    const char* of_days =
        "SELECT b.crook, a.written_number, a.hand, b.written_number, b.hand, count(*), "
        "sum(abs(b.deviation_cents) <= b.tolerance_cents), "
        "sum(min(abs(b.deviation_cents), 100)) FROM session CROSS JOIN note b ON b.session_id = "
        "session.id CROSS JOIN note a ON a.session_id = b.session_id AND a.number = b.number - 1 "
        "WHERE day BETWEEN ? AND ? AND deleted_at IS NULL AND a.finished AND b.finished AND "
        "b.known_within_cents <= 10 AND a.crook = b.crook AND b.start_s - a.start_s - a.duration_s "
        "<= ? AND "
        "(a.written_number <> b.written_number OR a.hand <> b.hand) GROUP BY 1, 2, 3, 4, 5";
    const char* of_all =
        "SELECT crook, from_written, from_hand, written, hand, times, in_tune, off_cents_sum FROM "
        "transition_tally WHERE times > 0";
    Statement rows(database_.handle(), days ? of_days : of_all);
    bind_days(rows, days);
    if (days) {
        rows.bind(kTransitionGap_s);
    }
    std::vector<TransitionTally> tallies;
    auto read = for_rows(rows, [&](const Statement& row) {
        tallies.push_back({row.text(0),
                           static_cast<int>(row.integer(1)),
                           hand_from(row.view(2)),
                           static_cast<int>(row.integer(3)),
                           hand_from(row.view(4)),
                           row.integer(5),
                           row.integer(6),
                           row.real(7)});
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return tallies;
}

Result<std::vector<DaySums>> SqliteLogbook::day_sums(const std::optional<Days>& days) {
    Statement rows(database_.handle(),
                   std::string("SELECT day, count(*), sum(notes), sum(duration_s), "
                               "sum(playing_s), sum(rest_s) FROM session WHERE deleted_at IS "
                               "NULL ") +
                       (days ? "AND day BETWEEN ? AND ? " : "") + "GROUP BY day ORDER BY day");
    bind_days(rows, days);
    std::vector<DaySums> sums;
    auto read = for_rows(rows, [&](const Statement& row) {
        sums.push_back({row.integer(0),
                        row.integer(1),
                        row.integer(2),
                        row.real(3),
                        row.real(4),
                        row.real(5)});
    });
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return sums;
}

Result<std::vector<StepTally>> SqliteLogbook::step_tallies(const std::optional<Days>& days) {
    const char* of_days = "SELECT exercise, asked_number, asked_hand, extra, faults, count(*) FROM "
                          "session CROSS JOIN "
                          "block ON session_id = session.id CROSS JOIN step ON block_id = block.id "
                          "WHERE day BETWEEN ? AND ? AND deleted_at IS NULL AND "
                          "(note_number IS NOT NULL OR faults <> '') GROUP BY 1, 2, 3, 4, 5 "
                          "ORDER BY 1, 2, 3, 4, 5";
    const char* of_all = "SELECT exercise, asked, asked_hand, extra, faults, steps FROM step_tally "
                         "WHERE steps > 0 ORDER BY 1, 2, 3, 4, 5";
    Statement rows(database_.handle(), days ? of_days : of_all);
    bind_days(rows, days);
    std::vector<StepTally> tallies;
    auto read = for_rows(rows, [&](const Statement& row) {
        StepTally& tally = tallies.emplace_back();
        tally.exercise = row.text(0);
        tally.asked = static_cast<int>(row.integer(1));
        tally.asked_hand = hand_from(row.view(2));
        tally.extra = row.integer(3) != 0;
        tally.faults = faults_from(row.view(4));
        tally.steps = row.integer(5);
    });
    std::map<std::string, std::string> titles;
    for (StepTally& tally : tallies) {
        if (!read) {
            break;
        }
        const auto [title, added] = titles.try_emplace(tally.exercise);
        if (added) {
            Statement last(database_.handle(),
                           "SELECT title FROM block WHERE exercise = ? ORDER BY id DESC LIMIT 1");
            last.bind(tally.exercise);
            read = for_rows(last, [at = title](const Statement& row) { at->second = row.text(0); });
        }
        tally.title = title->second;
    }
    if (!read) {
        return tl::unexpected<Error>(read.error());
    }
    return tallies;
}

} // namespace bellhand::logbook
