#pragma once

#include "core/result.h"

#include <string>
#include <string_view>
#include <vector>

namespace bellhand::hand {

/// A name of a parameter file and the places its figures go to.
struct NamedFigures {
    std::string name;
    std::vector<double*> figures;
    bool seen = false;
};

/// Reads lines of a name and its figures; `#` begins a remark. Every field must stand there once. Errors: a name unknown,
/// missing or twice, a figure that is none; the sentence names `where` and the line.
[[nodiscard]] Result<void> read_named_figures(std::string_view text,
                                              const std::string& where,
                                              std::vector<NamedFigures> fields);

} // namespace bellhand::hand
