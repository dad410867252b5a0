#pragma once

#include "app/players_horn.h"
#include "app/start_options.h"
#include "audio/source.h"
#include "practice/practice.h"

namespace bellhand::app {

/// What the options say to listen to: the demo player, a sound file at the pace it was recorded, or a device.
[[nodiscard]] Result<std::unique_ptr<audio::Source>> open_input(const StartOptions& options);

/// Opens the input and starts a practice session on it, logged at `options.log_path`; with an empty one
/// nothing is.
[[nodiscard]] Result<std::unique_ptr<practice::Practice>>
start_practice(const StartOptions& options, const PlayerHand& player = {});

} // namespace bellhand::app
