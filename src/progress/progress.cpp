#include "progress/progress.h"

#include "core/calendar.h"
#include "horn/crook.h"

#include <algorithm>
#include <map>
#include <tuple>

namespace bellhand::progress {

namespace {

constexpr std::int64_t kWeekDays = 7;

std::string crook_label(const std::string& id) {
    for (const horn::Crook& crook : horn::all_crooks()) {
        if (id == crook.id) {
            return crook.label;
        }
    }
    return id;
}

std::vector<CrookMap> maps_from(const std::vector<logbook::NoteTally>& tallies) {
    std::vector<CrookMap> maps;
    std::vector<logbook::Bins> sums;
    for (const logbook::NoteTally& tally : tallies) { // those of a crook follow each other
        if (maps.empty() || maps.back().crook != tally.crook) {
            maps.push_back({tally.crook, crook_label(tally.crook), {}, {}});
            sums.emplace_back();
        }
        maps.back().notes.push_back(
            {horn::usual_spelling(tally.written), tally.hand, figures_of(tally.bins)});
        add_bins(sums.back(), tally.bins);
    }
    for (std::size_t i = 0; i < maps.size(); ++i) {
        maps[i].figures = figures_of(sums[i]);
        std::sort(maps[i].notes.begin(),
                  maps[i].notes.end(),
                  [](const NoteFigures& a, const NoteFigures& b) {
                      return std::tuple(a.written.number, a.hand) <
                             std::tuple(b.written.number, b.hand);
                  });
    }
    std::stable_sort(maps.begin(), maps.end(), [](const CrookMap& a, const CrookMap& b) {
        return a.figures.notes > b.figures.notes;
    });
    return maps;
}

logbook::Slice slice_of(Range range) noexcept {
    switch (range) {
    case Range::day:
        return logbook::Slice::session;
    case Range::week:
        return logbook::Slice::day;
    case Range::all:
        break;
    }
    return logbook::Slice::week;
}

} // namespace

const char* range_id(Range range) noexcept {
    switch (range) {
    case Range::day:
        return "day";
    case Range::week:
        return "week";
    case Range::all:
        break;
    }
    return "all";
}

Result<Range> parse_range(std::string_view text) {
    for (const Range range : {Range::day, Range::week, Range::all}) {
        if (text == range_id(range)) {
            return range;
        }
    }
    return usage_error("\"" + std::string(text) + "\" is no range: give day, week or all.");
}

std::optional<logbook::Days> days_of(Range range, std::int64_t last_day) noexcept {
    switch (range) {
    case Range::day:
        return logbook::Days{last_day, last_day};
    case Range::week:
        return logbook::Days{last_day - kWeekDays + 1, last_day};
    case Range::all:
        break;
    }
    return std::nullopt;
}

Result<std::vector<CrookMap>> note_maps(logbook::Logbook& log,
                                        const std::optional<logbook::Days>& days) {
    return log.note_tallies(days).map(maps_from);
}

Result<std::vector<TrendPoint>>
trend(logbook::Logbook& log, Range range, std::int64_t last_day, const std::string& crook) {
    const auto tallies = log.trend_tallies(days_of(range, last_day), slice_of(range));
    if (!tallies) {
        return tl::unexpected<Error>(tallies.error());
    }
    std::map<std::int64_t, logbook::Bins> slices; // ids of sessions rise with time, as days do
    for (const logbook::TrendTally& tally : *tallies) {
        if (crook.empty() || tally.crook == crook) {
            add_bins(slices[tally.slice], tally.bins);
        }
    }
    std::map<std::int64_t, std::string> clocks;
    if (range == Range::day && !slices.empty()) {
        const auto sessions = log.sessions();
        if (!sessions) {
            return tl::unexpected<Error>(sessions.error());
        }
        for (const logbook::SessionRecord& session : *sessions) {
            if (slices.contains(session.id)) {
                clocks[session.id] = calendar::local_time(session.started_at).clock;
            }
        }
    }
    std::vector<TrendPoint> points;
    for (const auto& [slice, bins] : slices) {
        TrendPoint& point = points.emplace_back();
        point.figures = figures_of(bins);
        switch (range) {
        case Range::day:
            point.first_day = last_day;
            point.session = slice;
            point.label = clocks[slice];
            break;
        case Range::week:
            point.first_day = slice;
            point.label = calendar::short_day_name(slice);
            break;
        case Range::all:
            point.first_day = slice;
            point.days = static_cast<int>(kWeekDays);
            point.label = calendar::day_name(slice);
            break;
        }
    }
    return points;
}

Result<std::vector<Transition>> hardest_transitions(logbook::Logbook& log,
                                                    const std::optional<logbook::Days>& days,
                                                    std::size_t count) {
    auto tallies = log.transition_tallies(days);
    if (!tallies) {
        return tl::unexpected<Error>(tallies.error());
    }
    std::erase_if(*tallies, [](const logbook::TransitionTally& tally) {
        return tally.times < kFewestTransitions || tally.in_tune == tally.times;
    });
    const auto hardness = [](const logbook::TransitionTally& tally) {
        return cautious_share(static_cast<double>(tally.times - tally.in_tune),
                              static_cast<double>(tally.times));
    };
    const std::size_t wanted = std::min(count, tallies->size());
    std::partial_sort(
        tallies->begin(),
        tallies->begin() + static_cast<std::ptrdiff_t>(wanted),
        tallies->end(),
        [&](const logbook::TransitionTally& a, const logbook::TransitionTally& b) {
            // Equally hard: the more often played first, then by name, so that lists stay as they are.
            return std::tuple(-hardness(a), -a.times, a.crook, a.from_written, a.written) <
                   std::tuple(-hardness(b), -b.times, b.crook, b.from_written, b.written);
        });
    tallies->resize(wanted);
    std::vector<Transition> hardest;
    for (const logbook::TransitionTally& tally : *tallies) {
        const auto times = static_cast<double>(tally.times);
        hardest.push_back({tally.crook,
                           horn::usual_spelling(tally.from_written),
                           tally.from_hand,
                           horn::usual_spelling(tally.written),
                           tally.hand,
                           tally.times,
                           static_cast<double>(tally.in_tune) / times,
                           tally.off_cents_sum / times});
    }
    return hardest;
}

Result<PracticeTime> practice_time(logbook::Logbook& log,
                                   const std::optional<logbook::Days>& days) {
    auto sums = log.day_sums(days);
    if (!sums) {
        return tl::unexpected<Error>(sums.error());
    }
    PracticeTime time;
    for (const logbook::DaySums& day : *sums) {
        time.sessions += day.sessions;
        time.practice_s += day.practice_s;
        time.playing_s += day.playing_s;
        time.rest_s += day.rest_s;
    }
    time.rest_advised_s = time.playing_s;
    time.days = std::move(*sums);
    return time;
}

Result<std::vector<ExerciseFigures>> exercise_figures(logbook::Logbook& log,
                                                      const std::optional<logbook::Days>& days) {
    const auto tallies = log.step_tallies(days);
    if (!tallies) {
        return tl::unexpected<Error>(tallies.error());
    }
    std::vector<ExerciseFigures> exercises;
    std::map<std::tuple<int, horn::Hand>, std::int64_t> asked; // of the exercise at hand
    std::map<std::tuple<int, horn::Hand, drill::Fault>, std::int64_t> faults;
    const auto close = [&] {
        if (exercises.empty()) {
            return;
        }
        for (const auto& [key, times] : faults) {
            const auto [number, hand, fault] = key;
            exercises.back().faults.push_back({horn::usual_spelling(number),
                                               hand,
                                               fault,
                                               times,
                                               asked[std::tuple(number, hand)]});
        }
        std::stable_sort(
            exercises.back().faults.begin(),
            exercises.back().faults.end(),
            [](const FaultFigures& a, const FaultFigures& b) { return a.times > b.times; });
        asked.clear();
        faults.clear();
    };
    for (const logbook::StepTally& tally : *tallies) { // those of an exercise follow each other
        if (exercises.empty() || exercises.back().id != tally.exercise) {
            close();
            exercises.push_back({tally.exercise, tally.title, 0, 0, 0, {}});
        }
        if (tally.extra) {
            exercises.back().extra += tally.steps;
            continue;
        }
        exercises.back().steps += tally.steps;
        exercises.back().good += tally.faults.empty() ? tally.steps : 0;
        asked[std::tuple(tally.asked, tally.asked_hand)] += tally.steps;
        for (const drill::Fault fault : tally.faults) {
            faults[std::tuple(tally.asked, tally.asked_hand, fault)] += tally.steps;
        }
    }
    close();
    std::stable_sort(
        exercises.begin(), exercises.end(), [](const ExerciseFigures& a, const ExerciseFigures& b) {
            return a.steps > b.steps;
        });
    return exercises;
}

Result<CrookChangeFigures> crook_change_figures(logbook::Logbook& log,
                                                const std::optional<logbook::Days>& days) {
    const auto changes = log.all_crook_changes(days);
    if (!changes) {
        return tl::unexpected<Error>(changes.error());
    }
    CrookChangeFigures figures;
    std::vector<double> seconds;
    for (const logbook::CrookChangeRecord& change : *changes) {
        ++figures.changes;
        if (change.correct) {
            ++figures.right;
            seconds.push_back(change.change_s);
        }
    }
    if (!seconds.empty()) {
        const auto middle = seconds.begin() + static_cast<std::ptrdiff_t>(seconds.size() / 2);
        std::nth_element(seconds.begin(), middle, seconds.end());
        figures.median_s = *middle;
    }
    return figures;
}

Result<Progress> look_back(logbook::Logbook& log, Range range, std::int64_t last_day) {
    Progress progress;
    progress.range = range;
    progress.days = days_of(range, last_day);
    const auto into = [](auto& member) {
        return [&member](auto value) { member = std::move(value); };
    };
    const Result<void> looked =
        log.note_tallies(progress.days)
            .map([&](const std::vector<logbook::NoteTally>& tallies) {
                progress.maps = maps_from(tallies);
                logbook::Bins sum;
                for (const logbook::NoteTally& tally : tallies) {
                    add_bins(sum, tally.bins);
                }
                progress.figures = figures_of(sum);
            })
            .and_then([&] { return trend(log, range, last_day).map(into(progress.trend)); })
            .and_then(
                [&] { return hardest_transitions(log, progress.days).map(into(progress.hardest)); })
            .and_then([&] { return practice_time(log, progress.days).map(into(progress.time)); })
            .and_then(
                [&] { return exercise_figures(log, progress.days).map(into(progress.exercises)); })
            .and_then([&] {
                return crook_change_figures(log, progress.days).map(into(progress.crook_changes));
            });
    if (!looked) {
        return tl::unexpected<Error>(looked.error());
    }
    return progress;
}

} // namespace bellhand::progress
