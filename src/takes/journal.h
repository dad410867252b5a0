#pragma once

#include "core/platform.h"
#include "core/result.h"
#include "logbook/records.h"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace bellhand::takes {

/// What a take being recorded is: enough to enter it in the log when the program that recorded it is gone.
struct JournalHead {
    logbook::SessionRecord session; ///< `id` 0 while the log has not given one
    std::optional<std::uint32_t> block;
    std::string why;
    bool kept = false;
    double start_s = 0.0; ///< in the session
    double rate_hz = 48000.0;
};

/// A take while it is recorded: a head of fixed size, then samples of 24 bits, appended as they come. Whenever the
/// program is killed, what was appended is there; `write_flac` makes the take of it, then or at the next start.
/// Locked as long as it is open, so that another program sees that it is not abandoned.
class Journal {
public:
    /// Creates `name`.sound in the folder, which is created when it is not there. Errors: folder not writable, disk full.
    [[nodiscard]] static Result<Journal>
    create(const std::filesystem::path& folder, const std::string& name, const JournalHead& head);
    /// One that was left behind. Empty: another program is using it, or it has just been dealt with.
    [[nodiscard]] static Result<std::optional<Journal>>
    open_abandoned(const std::filesystem::path& path);

    [[nodiscard]] const JournalHead& head() const noexcept { return head_; }
    [[nodiscard]] Result<void> set_head(const JournalHead& head);
    [[nodiscard]] std::uint64_t samples() const noexcept { return samples_; }
    /// Appends; how many were written when the disk is full may be less than all, and `samples` tells.
    [[nodiscard]] Result<void> append(std::span<const std::int32_t> samples24);

    /// Writes the take (FLAC, 24 bits, mono) beside the journal under its name, once; the journal stays whole until it
    /// is removed. Bytes of the file. Errors: disk full, not writable.
    [[nodiscard]] Result<std::int64_t> write_flac();
    /// "NAME.flac", inside the folder.
    [[nodiscard]] std::string take_name() const;
    [[nodiscard]] std::filesystem::path take_path() const;
    /// Samples from `first` on, at most `out.size()`; how many.
    [[nodiscard]] Result<std::size_t> read(std::uint64_t first, std::span<std::int32_t> out) const;
    /// The take is in the log: the journal goes.
    void remove();

private:
    Journal(platform::File file, std::filesystem::path path)
        : file_(std::move(file)), path_(std::move(path)) {}

    platform::File file_;
    std::filesystem::path path_;
    JournalHead head_;
    std::uint64_t samples_ = 0;
    std::optional<std::int64_t> flac_bytes_; ///< once it is written
};

/// Ending of journals.
inline constexpr const char* kJournalEnding = ".sound";

/// A sample as the file has it: 24 bits, louder than full scale held there. Exact for what came from 16 or 24 bits.
[[nodiscard]] std::int32_t as_24_bits(float sample) noexcept;

/// Writes 24-bit samples as FLAC, from `next`, which fills what it is given and says how much (0: the end). The file is
/// whole on the disk when this returns. Errors: disk full, not writable.
struct FlacSource {
    virtual ~FlacSource() = default;
    [[nodiscard]] virtual Result<std::size_t> next(std::span<std::int32_t> out) = 0;
};
[[nodiscard]] Result<std::int64_t>
write_flac(const std::filesystem::path& path, double rate_hz, FlacSource& source);

} // namespace bellhand::takes
