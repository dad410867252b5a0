#pragma once

#include <string>
#include <string_view>

namespace bellhand::part {

/// An XML text as UTF-8 without a byte order mark: UTF-16 of either byte order and ISO 8859-1 are converted (XML 1.0,
/// appendix F), broken pairs become U+FFFD, and the declaration then says UTF-8.
[[nodiscard]] std::string utf8_of(std::string bytes);

/// A name from a file that does not tell its encoding: UTF-8 if it is that, else ISO 8859-1.
[[nodiscard]] std::string name_of(std::string_view bytes);

/// True when the bytes begin as an XML text does, in any of these encodings.
[[nodiscard]] bool looks_like_xml(std::string_view bytes) noexcept;

} // namespace bellhand::part
