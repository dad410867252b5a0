#include "app/today.h"

#include "practice/skill_log.h"

#include <ctime>

namespace bellhand::app {

Result<Today> today(const std::filesystem::path& log, skill::PlanWishes wishes) {
    if (wishes.now_s == 0) {
        wishes.now_s = static_cast<std::int64_t>(std::time(nullptr));
    }
    auto skills = practice::skills_in(log);
    if (!skills) {
        return tl::unexpected(skills.error());
    }
    Today out;
    out.skills = std::move(*skills);
    out.plan = skill::plan_day(out.skills, wishes);
    return out;
}

} // namespace bellhand::app
