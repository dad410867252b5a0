#include "run/skill_log.h"

#include <cmath>

namespace bellhand::run {

logbook::SkillRow row_of(const skill::Skill& skill) {
    logbook::SkillRow row;
    row.crook = skill.item.transposition;
    row.written = skill.item.number;
    row.hand = skill.item.hand;
    row.from_written = skill.item.from_number;
    row.from_hand = skill.item.from_hand;
    row.values = skill::figures_of(skill);
    row.updated_s = static_cast<double>(skill.last_s);
    return row;
}

skill::Skill skill_of(const logbook::SkillRow& row) {
    skill::Item item;
    item.transposition = row.crook;
    item.number = row.written;
    item.hand = row.hand;
    item.from_number = row.from_written;
    item.from_hand = row.from_hand;
    const double updated_s = std::isfinite(row.updated_s) ? row.updated_s : 0.0;
    return skill::skill_from(item, row.values, std::llround(updated_s));
}

Result<skill::Skills> skills_in(const std::filesystem::path& log) {
    std::error_code ignored;
    if (!std::filesystem::exists(log, ignored)) {
        return skill::Skills{};
    }
    auto book = logbook::Logbook::open_for_reading(log);
    if (!book) {
        return tl::unexpected(book.error());
    }
    const auto rows = (*book)->skill();
    if (!rows) {
        return tl::unexpected(rows.error());
    }
    skill::Skills skills;
    for (const logbook::SkillRow& row : *rows) {
        const skill::Skill skill = skill_of(row);
        skills[skill.item] = skill;
    }
    return skills;
}

} // namespace bellhand::run
