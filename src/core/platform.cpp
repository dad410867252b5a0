// What is the same on every system.
#include "core/platform.h"

#include <utility>

namespace bellhand::platform {

File::File(File&& other) noexcept
    : number_(std::exchange(other.number_, -1)), path_(std::move(other.path_)) {}

File& File::operator=(File&& other) noexcept {
    std::swap(number_, other.number_);
    std::swap(path_, other.path_);
    return *this;
}

} // namespace bellhand::platform
