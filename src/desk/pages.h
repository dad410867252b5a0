#pragma once

#include "desk/pages/balance_page.h"
#include "desk/pages/bench_page.h"
#include "desk/pages/changes_page.h"
#include "desk/pages/chart_page.h"
#include "desk/pages/closing_page.h"
#include "desk/pages/hand_page.h"
#include "desk/pages/homework_page.h"
#include "desk/pages/lesson_page.h"
#include "desk/pages/log_page.h"
#include "desk/pages/part_page.h"
#include "desk/pages/practice_page.h"
#include "desk/pages/progress_page.h"
#include "desk/pages/run_page.h"
#include "desk/pages/today_page.h"

#include <array>
#include <cstddef>

namespace bellhand::desk {

/// What fills the window. Those before `count` are turned over one after the other and have the numbers 1, 2, ... 9, 0.
enum class Screen {
    practice,
    lesson,
    chart,
    bench,
    today,
    progress,
    log,
    hand,    ///< the notes played last, and what the hand did
    closing, ///< the hand closed slowly
    homework,
    count,
    run,     ///< an exercise or a plan at work; reached by beginning one
    part,    ///< a part to read from; reached by opening one
    changes, ///< the crook-change drill; reached from the bench
    balance, ///< horn and moving hand; reached from the last notes
};

inline constexpr int kTurnedOver = static_cast<int>(Screen::count);

/// "practice", "lesson", "hand chart", "bench", "today", ...
[[nodiscard]] constexpr const char* name_of(Screen screen) noexcept {
    constexpr std::array kNames{"practice",
                                "lesson",
                                "hand chart",
                                "bench",
                                "today",
                                "progress",
                                "log",
                                "last notes",
                                "slow closing",
                                "homework",
                                "",
                                "",
                                "part",
                                "crook changes",
                                "balance"};
    return kNames[static_cast<std::size_t>(screen)];
}

/// The digit that shows it: '1' for the first, '0' for the tenth.
[[nodiscard]] constexpr char digit_of(Screen screen) noexcept {
    return static_cast<char>('0' + (static_cast<int>(screen) + 1) % 10);
}

/// Every page there is.
struct Pages {
    Pages(Session& session, Shelf& shelf, double& lesson_hold_s)
        : lesson(session, shelf, lesson_hold_s),
          chart(session),
          bench(session),
          today(shelf, session),
          progress(shelf),
          log(shelf),
          hand(session),
          closing(session),
          homework(shelf, session.tuning()),
          run(session),
          part(session, shelf),
          changes(session, shelf),
          balance(session, shelf) {}

    PracticePage practice;
    LessonPage lesson;
    ChartPage chart;
    BenchPage bench;
    TodayPage today;
    ProgressPage progress;
    LogPage log;
    HandPage hand;
    ClosingPage closing;
    HomeworkPage homework;
    RunPage run;
    PartPage part;
    ChangesPage changes;
    BalancePage balance;

    /// In the order of `Screen`; nothing at `count`.
    [[nodiscard]] Page& at(Screen screen) noexcept {
        const std::array<Page*, 15> all{&practice,
                                        &lesson,
                                        &chart,
                                        &bench,
                                        &today,
                                        &progress,
                                        &log,
                                        &hand,
                                        &closing,
                                        &homework,
                                        nullptr,
                                        &run,
                                        &part,
                                        &changes,
                                        &balance};
        return *all[static_cast<std::size_t>(screen)];
    }
};

} // namespace bellhand::desk
