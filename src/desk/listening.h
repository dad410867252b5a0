#pragma once

#include "audio/device.h"
#include "audio/music_stand.h"
#include "core/result.h"
#include "practice/practice.h"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace bellhand::desk {

/// What to listen to.
struct InputChoice {
    enum class Kind { device, file, demo };
    Kind kind = Kind::device;
    audio::DeviceChoice device;
    std::filesystem::path file;
    std::uint64_t demo_seed = 1;
    std::shared_ptr<audio::MusicStand> demo_stand; ///< what the demo player plays from
    audio::DeviceChoice output;                    ///< that the program sounds through meanwhile
};

/// Name of the choice for people: "the default input", the device, the file without its folder, "demo player".
[[nodiscard]] std::string name_of(const InputChoice& choice);

/// The window's way to the world of sound; tests put their own here.
struct Ear {
    std::function<Result<std::unique_ptr<practice::Practice>>(const InputChoice&,
                                                              const practice::PracticeOptions&)>
        begin;
    std::function<Result<std::vector<audio::Device>>()>
        devices; ///< may take a second; called from a thread of its own
};

/// Devices, files and the demo player as they are.
[[nodiscard]] Ear real_ear();

} // namespace bellhand::desk
