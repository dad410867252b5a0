// A log of ten years: how long it takes to open and to look back on, beside the same questions asked of every note, in
// the same run. `long_log_bench [NOTES [FILE]]`: 2 million notes in a temporary file unless told otherwise; a FILE that
// is there is used as it is.
#include "support/long_log.h"

#include "progress/progress.h"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <string>
#include <type_traits>
#include <vector>

#include <sqlite3.h>

#include <unistd.h>

using namespace bellhand;

namespace {

double ms_of(const std::function<void()>& work) {
    const auto begun = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - begun)
        .count();
}

/// Median and worst of several.
void row(const char* what, int times, const std::function<void()>& work) {
    std::vector<double> ms;
    for (int i = 0; i < times; ++i) {
        ms.push_back(ms_of(work));
    }
    std::sort(ms.begin(), ms.end());
    std::printf("| %-44s | %9.1f | %9.1f |\n", what, ms[ms.size() / 2], ms.back());
    std::fflush(stdout);
}

template <typename T>
T must(Result<T> result) {
    if (!result) {
        std::fprintf(stderr, "%s\n", result.error().message.c_str());
        std::exit(1);
    }
    if constexpr (!std::is_void_v<T>) {
        return std::move(*result);
    }
}

/// Medians of every kind of note in plain SQL, as one would write it without sums.
void plain_medians(const std::string& path) {
    sqlite3* file = nullptr;
    sqlite3_open_v2(path.c_str(), &file, SQLITE_OPEN_READONLY, nullptr);
    const int code = sqlite3_exec(
        file,
        "SELECT crook, written_number, hand, avg(deviation_cents) FROM (SELECT crook, "
        "written_number, hand, deviation_cents, row_number() OVER w AS place, count(*) OVER "
        "(PARTITION BY "
        "crook, written_number, hand) AS of FROM note WHERE finished WINDOW w AS (PARTITION BY "
        "crook, written_number, hand ORDER BY deviation_cents)) WHERE place IN ((of + 1) / 2, (of "
        "+ 2) / 2) GROUP BY 1, 2, 3",
        nullptr,
        nullptr,
        nullptr);
    if (code != SQLITE_OK) {
        std::fprintf(stderr, "%s\n", sqlite3_errmsg(file));
        std::exit(1);
    }
    sqlite3_close(file);
}

bool same(const std::vector<progress::CrookMap>& a, const std::vector<progress::CrookMap>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const auto& x, const auto& y) {
        return x.crook == y.crook && x.figures.notes == y.figures.notes &&
               x.figures.median_cents == y.figures.median_cents && x.notes.size() == y.notes.size();
    });
}

} // namespace

int main(int argc, char** argv) {
    test::LongLog what;
    what.notes = argc > 1 ? std::atoll(argv[1]) : what.notes;
    const std::string path = argc > 2
                                 ? argv[2]
                                 : (std::filesystem::temp_directory_path() /
                                    ("bellhand-long-log-" + std::to_string(getpid()) + ".sqlite"))
                                       .string();
    const bool ours = !std::filesystem::exists(path);
    if (ours) {
        std::printf("writing %lld notes: %.1f s\n",
                    static_cast<long long>(what.notes),
                    ms_of([&] { test::write_long_log(path, what); }) / 1000.0);
        std::printf("bringing the log up to date from version 1: %.1f s\n",
                    ms_of([&] { (void)must(logbook::Logbook::open(path)); }) / 1000.0);
        test::add_long_log_steps(path, 2);
    }
    std::printf("%.0f MB\n\n| %-44s | median ms | worst ms  |\n|---|---|---|\n",
                static_cast<double>(std::filesystem::file_size(path)) / 1e6,
                "what");
    row("open for practice", 9, [&] { (void)must(logbook::Logbook::open(path)); });
    row("open for looking", 9, [&] { (void)must(logbook::Logbook::open_for_reading(path)); });
    const auto log = must(logbook::Logbook::open(path));
    row("list of sessions", 9, [&] { (void)must(log->sessions()); });
    for (const auto range : {progress::Range::day, progress::Range::week, progress::Range::all}) {
        const auto days = progress::days_of(range, what.last_day);
        const std::string name = std::string(", ") + progress::range_id(range);
        row(("note maps" + name).c_str(), 9, [&] { (void)must(progress::note_maps(*log, days)); });
        row(("trend" + name).c_str(), 9, [&] {
            (void)must(progress::trend(*log, range, what.last_day));
        });
        row(("hardest transitions" + name).c_str(), 9, [&] {
            (void)must(progress::hardest_transitions(*log, days));
        });
        row(("minutes" + name).c_str(), 9, [&] {
            (void)must(progress::practice_time(*log, days));
        });
        row(("exercises and faults" + name).c_str(), 9, [&] {
            (void)must(progress::exercise_figures(*log, days));
        });
        row(("all of it at once" + name).c_str(), 9, [&] {
            (void)must(progress::look_back(*log, range, what.last_day));
        });
    }
    const logbook::Days ever{-1000000, 1000000};
    row("peer: note maps from every note, bins", 1, [&] {
        (void)must(progress::note_maps(*log, ever));
    });
    row("peer: note maps from every note, plain SQL", 1, [&] { plain_medians(path); });
    row("peer: trend from every note", 1, [&] {
        (void)must(log->trend_tallies(ever, logbook::Slice::week));
    });
    row("peer: hardest transitions from every note", 1, [&] {
        (void)must(progress::hardest_transitions(*log, ever));
    });
    row("peer: exercises and faults from every step", 1, [&] {
        (void)must(progress::exercise_figures(*log, ever));
    });

    const std::int64_t session = must(log->begin_session({}));
    std::uint32_t number = 0;
    row("saving one note", 200, [&] {
        trainer::PlayedNote note;
        note.index = number;
        note.start_s = 1.2 * number++;
        note.duration_s = 1.0;
        note.finished = true;
        if (!log->put_note(session, {}, note)) {
            std::exit(1);
        }
    });
    row("deleting a session", 1, [&] { must(log->delete_session(session - 1)); });
    row("bringing it back", 1, [&] { must(log->restore_session(session - 1)); });
    if (!same(must(progress::note_maps(*log, std::nullopt)),
              must(progress::note_maps(*log, ever)))) {
        std::fprintf(stderr, "the sums and the notes disagree\n");
        return 1;
    }
    if (ours && argc < 3) {
        for (const char* end : {"", "-wal", "-shm"}) {
            std::filesystem::remove(path + end);
        }
    }
    return 0;
}
