#pragma once

#include "core/result.h"

#include <filesystem>

namespace bellhand::app {

/// What a file that somebody hands to the program is, told by what is in it and not by its name.
enum class FileKind {
    homework,
    exercises,
    horn_profile,
    set_list,
    music, ///< MusicXML, packed or plain, or a Standard MIDI File
    sound,
};

/// Reads the beginning of the file, and of an archive the list of what it holds (at most 64 KiB each). Anything that is
/// none of the others is taken for sound, whose reader says what is wrong with it. Errors: no such file, a folder,
/// unreadable.
[[nodiscard]] Result<FileKind> kind_of(const std::filesystem::path& file);

} // namespace bellhand::app
