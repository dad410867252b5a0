#pragma once

#include "desk/model/practice_view.h"

#include <string>

namespace bellhand::desk {

/// The one sentence that a player should know now, most urgent first.
struct StatusLine {
    std::string words;
    bool warning = false; ///< something needs the player; else it is merely how things are
};

/// `listening`: a session runs. `problem`: why one could not begin, or empty.
[[nodiscard]] StatusLine
status_line(const PracticeView& view, bool listening, const std::string& problem);

/// The same where a call may be heard too. `call_problem`: why it is not, or empty.
[[nodiscard]] StatusLine status_line_of_both(const PracticeView& view,
                                             bool listening,
                                             const std::string& problem,
                                             const std::string& call_problem);

} // namespace bellhand::desk
