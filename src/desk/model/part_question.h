#pragma once

#include "part/part.h"

#include <string>
#include <vector>

namespace bellhand::desk {

/// One way to answer a question about a part.
struct PartAnswer {
    std::string words;
    part::ReadOptions options; ///< what the player says by it, with what was said before
};

/// A question and what can be answered, as rows.
struct PartQuestion {
    std::string words;
    std::vector<PartAnswer> answers;
};

/// A question of the reader, which names options of the command line, as one for the window. `said`: what is known
/// already.
[[nodiscard]] PartQuestion part_question(const std::string& question,
                                         const part::ReadOptions& said);

} // namespace bellhand::desk
