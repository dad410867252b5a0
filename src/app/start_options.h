#pragma once

#include "audio/device.h"
#include "audio/music_stand.h"
#include "audio/output.h"
#include "horn/tuning.h"
#include "practice/practice.h"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>

namespace bellhand::app {

/// What the window (or the text view) starts with, from the command line and the saved settings.
struct StartOptions {
    bool demo = false;
    std::uint64_t demo_seed = 1;
    std::shared_ptr<audio::MusicStand> demo_stand;    ///< of the demo player; null: its own tune
    std::optional<std::filesystem::path> input_file;  ///< listened to at real-time pace
    std::optional<std::filesystem::path> opened_file; ///< opened in the window, whatever it is
    int file_channel = 0;                             ///< of that file, from 1; 0 = mix of all
    audio::DeviceChoice device;
    audio::DeviceChoice output;               ///< for drone, reference note and metronome
    std::shared_ptr<audio::Output> sound_out; ///< instead of `output`, when it is there already
    audio::ReferenceSound sound;              ///< sounds from the start
    horn::Tuning tuning;
    double tolerance_factor = 1.0; ///< on `trainer::tolerance_cents`
    std::filesystem::path log_path;
    std::filesystem::path horn_profile; ///< of the player's own horn; empty: none
    std::optional<practice::BesideSession>
        beside;                ///< a second input of a session; then no `log_path`
    bool text = false;         ///< text view asked for
    double stop_after_s = 0.0; ///< text view: stop by itself after this time; 0 = never
};

} // namespace bellhand::app
