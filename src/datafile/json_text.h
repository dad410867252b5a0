#pragma once

#include "core/result.h"

#include <cstddef>
#include <string>
#include <string_view>

#include <nlohmann/json.hpp>

namespace bellhand::datafile {

/// How much a file from somebody else may ask of us.
struct JsonLimits {
    std::size_t deepest = 12;         ///< arrays and objects inside each other
    std::size_t longest_string = 400; ///< bytes
    std::size_t most_items = 512;     ///< in one array or object
};

/// Parses JSON (RFC 8259) that is not trusted: valid UTF-8, finite numbers, no key twice in an object, within the
/// limits. Work and memory stay proportional to the text. Errors: one sentence with `where`, line and column.
[[nodiscard]] Result<nlohmann::json>
parse_guarded_json(std::string_view text, const std::string& where, const JsonLimits& limits = {});

/// Whether all of it is UTF-8 (RFC 3629).
[[nodiscard]] bool is_utf8(std::string_view text);

/// Text from somewhere else made fit for a sentence on a terminal: control characters, characters that turn the direction
/// of writing (Unicode TR9: what is shown would not be what stands there) and broken UTF-8 become question marks.
[[nodiscard]] std::string plain_line(std::string_view text);
/// The same for words that may have paragraphs: line feeds stay, "\r\n" becomes one.
[[nodiscard]] std::string plain_paragraphs(std::string_view text);

} // namespace bellhand::datafile
