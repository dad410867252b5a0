#pragma once

#include "app/settings.h"
#include "app/start_options.h"
#include "desk/desk.h"

namespace bellhand::gui {

/// What the desk starts with, by the command line and the last time.
[[nodiscard]] desk::DeskStart desk_start(const app::StartOptions& options,
                                         const app::Settings& settings);

/// Keeps what was chosen for the next time. The demo player's and a recording's horn are not the player's own.
void remember(const desk::Desk& desk, const app::StartOptions& options, app::Settings settings);

} // namespace bellhand::gui
