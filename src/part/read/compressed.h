#pragma once

#include "core/result.h"
#include "datafile/archive.h"

#include <string>

namespace bellhand::part {

/// Where a compressed score says which of its files is the score (MusicXML 4.0, "Compressed MXL files").
inline constexpr const char* kContainer = "META-INF/container.xml";

/// Opens a compressed score, within the limits of what is read. Errors: no archive, or one that is not trusted.
[[nodiscard]] Result<datafile::Archive> open_compressed(std::string bytes,
                                                        const std::string& where);

/// The score inside: where its container says, else the first file that is named like one. Errors: there is none.
[[nodiscard]] Result<std::string> root_name(const datafile::Archive& archive,
                                            const std::string& where);

} // namespace bellhand::part
