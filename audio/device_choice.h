#pragma once

#include "audio/device.h"

#include <cstddef>
#include <mutex>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace bellhand::audio {

enum class Direction { input, output };

/// By what a device is known again when its index has changed. Names alone are not enough: two equal interfaces have
/// equal names.
struct DeviceIdentity {
    std::string host_api;
    std::string id;
    std::string name; ///< for people
    int ordinal = 0;  ///< which one of those with the same host API and id, from 0
};

[[nodiscard]] DeviceIdentity identity_of(const std::vector<Device>& devices, std::size_t position);

/// Position of the same device in a new list; when fewer equal ones are left than before, the last of them. Empty: it
/// is not there.
[[nodiscard]] std::optional<std::size_t> find_again(const std::vector<Device>& devices,
                                                    const DeviceIdentity& identity,
                                                    Direction direction = Direction::input);

/// Position of the device that a choice means. Empty: not there now. Errors (usage): the choice can never be met by
/// the devices that are there (see `open_device`, `open_output`).
[[nodiscard]] Result<std::optional<std::size_t>>
find_chosen(const std::vector<Device>& devices,
            const DeviceChoice& choice,
            Direction direction = Direction::input);

/// Errors (usage): the device has no such channel.
[[nodiscard]] Result<void> check_channel(const Device& device, int channel);

/// How many input channels to open. Real interfaces have few and are opened whole, because some refuse to be opened in part;
/// software devices claim dozens and are opened as far as the chosen channel.
[[nodiscard]] int channels_to_open(const Device& device, int channel) noexcept;

/// A choice that remembers what it once took, so that the same device is taken again. Any thread.
class DevicePicker {
public:
    explicit DevicePicker(DeviceChoice choice, Direction direction = Direction::input)
        : choice_(std::move(choice)), direction_(direction) {}

    /// Position of the device to take now. Errors: it is not there, or the choice cannot be met; a sentence for people.
    [[nodiscard]] Result<std::size_t> pick(const std::vector<Device>& devices);

    /// What is being listened to, or for, for people.
    [[nodiscard]] std::string name() const;

private:
    const DeviceChoice choice_;
    const Direction direction_;
    mutable std::mutex mutex_;
    std::optional<DeviceIdentity> taken_;
};

} // namespace bellhand::audio
