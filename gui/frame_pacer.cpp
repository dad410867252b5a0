#include "gui/frame_pacer.h"

#include "desk/desk.h"

#include <algorithm>
#include <cstdio>
#include <numeric>

namespace bellhand::gui {

namespace {

constexpr double kLivelyAfterEvent_s = 1.0;
constexpr double kLivelyAfterSound_s = 9.0; // until the thread has run off the page

double percentile(std::vector<double> values, double share) {
    if (values.empty()) {
        return 0.0;
    }
    const auto at = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), values.begin() + at, values.end());
    return values[static_cast<std::size_t>(at)];
}

} // namespace

double frame_period_s(Pace pace) noexcept {
    switch (pace) {
    case Pace::lively:
        return 1.0 / 62.0; // a little early, so that a display of 60 Hz is never missed
    case Pace::quiet:
        return 1.0 / 20.0;
    case Pace::resting:
        return 0.5;
    case Pace::hidden:
        return 0.25;
    }
    return 0.5;
}

bool sounds(const desk::Session& session) {
    return session.listening() && session.view().newest().frame.voiced;
}

Pace pace_of(const desk::Desk& desk, double now_s, double last_event_s, double& last_sound_s) {
    if (sounds(desk.session())) {
        last_sound_s = now_s;
    }
    // Pages that look back, and the bench, follow no sound from frame to frame.
    const desk::Screen screen = desk.screen();
    const bool moving_page = screen < desk::Screen::bench ||
                             (screen > desk::Screen::log && screen != desk::Screen::homework);
    const bool thread_moves =
        moving_page && desk.session().listening() && now_s - last_sound_s < kLivelyAfterSound_s;
    if (thread_moves || now_s - last_event_s < kLivelyAfterEvent_s) {
        return Pace::lively;
    }
    return desk.session().listening() ? Pace::quiet : Pace::resting;
}

void FrameStatistics::add(Pace pace, double begin_s, double work_s) {
    if (pace != Pace::lively) {
        last_begin_s_ = -1.0;
        return;
    }
    if (last_begin_s_ >= 0.0) {
        intervals_s_.push_back(begin_s - last_begin_s_);
        works_s_.push_back(work_s);
    }
    last_begin_s_ = begin_s;
}

std::string FrameStatistics::summary() const {
    const double total_s = std::accumulate(intervals_s_.begin(), intervals_s_.end(), 0.0);
    const auto late = std::count_if(
        intervals_s_.begin(), intervals_s_.end(), [](double interval) { return interval > 0.025; });
    char text[256];
    std::snprintf(text,
                  sizeof text,
                  "frames %zu, %.1f a second; interval ms median %.2f, 99%% %.2f, longest %.2f; "
                  "later than 25 ms: %td; "
                  "work ms median %.2f, 99%% %.2f",
                  intervals_s_.size(),
                  total_s > 0.0 ? static_cast<double>(intervals_s_.size()) / total_s : 0.0,
                  1e3 * percentile(intervals_s_, 0.5),
                  1e3 * percentile(intervals_s_, 0.99),
                  1e3 * percentile(intervals_s_, 1.0),
                  late,
                  1e3 * percentile(works_s_, 0.5),
                  1e3 * percentile(works_s_, 0.99));
    return text;
}

} // namespace bellhand::gui
