#pragma once

#include "desk/model/played_part.h"
#include "homework/homework.h"
#include "skill/plan.h"

#include <cstddef>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

enum class Screen;
enum class Sheet;

/// Blocks to lead through, begun with a fresh session.
struct RunWish {
    std::vector<skill::PlannedBlock> blocks;
    std::optional<std::size_t> first_of_plan; ///< they are today's plan from this block on
    std::shared_ptr<const PlayedPart> part;   ///< they are bars of a part
};

/// What a page or a sheet asks of the desk. The desk reads it after every key and forgets it.
struct Wishes {
    std::optional<RunWish> run;
    bool end_run = false;         ///< back to the page where it was begun
    std::optional<Screen> screen; ///< another page
    std::optional<Sheet> sheet;
    bool close_sheet = false;
    std::optional<horn::Tuning> tuning;        ///< chosen by the player
    std::optional<std::filesystem::path> file; ///< to be opened, whatever it is
    std::optional<homework::Homework> compose; ///< homework to go on composing
    std::optional<std::string> clipboard;
    std::optional<std::filesystem::path> saved; ///< a file written for the player to find
};

} // namespace bellhand::desk
