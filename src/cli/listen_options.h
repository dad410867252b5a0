#pragma once

#include "app/settings.h"
#include "app/start_options.h"
#include "cli/commands.h"

#include <cstdint>
#include <optional>
#include <string>

namespace bellhand::cli {

/// What is listened to, with which horn and into which log, as it was typed.
struct ListenOptions {
    bool demo = false;
    std::uint64_t seed = 1;
    std::optional<std::string> input;
    std::optional<std::string> device;
    std::optional<int> channel;
    TuningOptions tuning;
    std::optional<std::string> profile;
    std::optional<std::string> log;
};
void add_listen_options(const OptionSet& parser, ListenOptions& options);
/// Of these only what is listened to.
void add_source_options(const OptionSet& parser, ListenOptions& options);

/// What was typed, over the saved settings. Errors (usage): options that contradict each other or are out of range; a
/// profile that cannot be used.
[[nodiscard]] Result<app::StartOptions> resolve_listening(const ListenOptions& typed,
                                                          const app::Settings& saved);

} // namespace bellhand::cli
