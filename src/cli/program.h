#pragma once

#include "app/start_options.h"

#include <functional>
#include <optional>

namespace bellhand::cli {

/// Opens the window and returns the exit code; empty when no display could be opened, then the text view takes over.
using Window = std::function<std::optional<int>(const app::StartOptions&)>;

/// The whole command line. Exit code: 0 done, 1 failure, 2 bad usage.
[[nodiscard]] int run(int argc, const char* const* argv, const Window& window);

} // namespace bellhand::cli
