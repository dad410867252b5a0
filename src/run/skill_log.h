#pragma once

#include "core/result.h"
#include "logbook/logbook.h"
#include "skill/skill.h"

#include <filesystem>

namespace bellhand::run {

/// A skill as the log keeps it, and back.
[[nodiscard]] logbook::SkillRow row_of(const skill::Skill& skill);
[[nodiscard]] skill::Skill skill_of(const logbook::SkillRow& row);

/// What the log knows of the player's skills; nothing when there is no log yet. Errors: the log cannot be read.
[[nodiscard]] Result<skill::Skills> skills_in(const std::filesystem::path& log);

} // namespace bellhand::run
