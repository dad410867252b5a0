#pragma once

#include "app/start_options.h"

#include <optional>

namespace bellhand::gui {

/// Opens the window and runs until it is closed. Empty when there is no display.
[[nodiscard]] std::optional<int> run_window(const app::StartOptions& options);

} // namespace bellhand::gui
