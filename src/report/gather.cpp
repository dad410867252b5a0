#include "core/calendar.h"
#include "report/report.h"
#include "skill/plan.h"

namespace bellhand::report {

Result<Report> gather(logbook::Logbook& log,
                      progress::Range range,
                      std::int64_t last_day,
                      const std::string& player) {
    Report report;
    report.player = player;
    report.made_on = calendar::day_name(calendar::today());
    report.cautions = skill::cautions();
    auto progress = progress::look_back(log, range, last_day);
    if (!progress) {
        return tl::unexpected<Error>(progress.error());
    }
    report.progress = std::move(*progress);
    const auto& days = report.progress.time.days;
    report.days = report.progress.days.value_or(
        days.empty() ? logbook::Days{last_day, last_day}
                     : logbook::Days{days.front().day, days.back().day});
    const auto sessions = log.sessions();
    if (!sessions) {
        return tl::unexpected<Error>(sessions.error());
    }
    for (const logbook::SessionRecord& session : *sessions) {
        const auto at = calendar::local_time(session.started_at);
        if (at.day < report.days.first || at.day > report.days.last) {
            continue;
        }
        if (report.sessions.size() == kMostSessions) {
            ++report.earlier_sessions;
            continue;
        }
        SessionPages& pages = report.sessions.emplace_back();
        pages.session = session;
        pages.day = at.day;
        pages.clock = at.clock;
        const auto into = [](auto& member) {
            return [&member](auto value) { member = std::move(value); };
        };
        const Result<void> read =
            log.blocks(session.id)
                .map(into(pages.blocks))
                .and_then([&] { return log.takes(session.id).map(into(pages.takes)); })
                .and_then([&] { return log.comments(session.id).map(into(pages.comments)); });
        if (!read) {
            return tl::unexpected<Error>(read.error());
        }
    }
    return report;
}

} // namespace bellhand::report
