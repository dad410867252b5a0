#include "app/today.h"

#include "core/calendar.h"
#include "homework/student.h"
#include "logbook/logbook.h"
#include "run/skill_log.h"

#include <ctime>

namespace bellhand::app {

Result<Today> today(const std::filesystem::path& log, skill::PlanWishes wishes) {
    if (wishes.now_s == 0) {
        wishes.now_s = static_cast<std::int64_t>(std::time(nullptr));
    }
    auto skills = run::skills_in(log);
    if (!skills) {
        return tl::unexpected(skills.error());
    }
    std::error_code ignored;
    if (wishes.homework.empty() && std::filesystem::exists(log, ignored)) {
        const auto book = logbook::Logbook::open_for_reading(log);
        if (!book) {
            return tl::unexpected(book.error());
        }
        const std::string date = calendar::iso_day(calendar::local_day(wishes.now_s));
        auto homework = homework::still_to_do(date, **book);
        if (!homework) {
            return tl::unexpected(homework.error());
        }
        wishes.homework = std::move(*homework);
    }
    Today out;
    out.skills = std::move(*skills);
    out.plan = skill::plan_day(out.skills, wishes);
    return out;
}

} // namespace bellhand::app
