#include "core/platform.h"

namespace bellhand::platform {

std::filesystem::path program_file() {
    std::error_code unknown;
    return std::filesystem::read_symlink("/proc/self/exe", unknown);
}

} // namespace bellhand::platform
