#pragma once

// Part of the recorder only.

#include "takes/journal.h"
#include "takes/sound_memory.h"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::takes {

/// One take on its way from the memory through the journal to the log.
class Tape {
public:
    Tape(std::shared_ptr<const SoundStretch> stretch,
         std::uint64_t from,
         std::string name,
         JournalHead head);

    /// Takes what the memory has since the last call. `limit`: of samples that wait for the disk; true when it is
    /// reached, and the take then ends.
    bool pull(std::size_t limit);
    /// The take ends before this sample.
    void end_at(std::uint64_t sample);
    [[nodiscard]] bool ended() const noexcept { return to_.has_value(); }
    /// All of it was pulled.
    [[nodiscard]] bool complete() const noexcept { return to_ && next_ >= *to_; }

    /// Writes what waits to the journal in `folder`.
    [[nodiscard]] Result<void> save(const std::filesystem::path& folder);
    void set_session(std::int64_t session) { head_.session.id = session; }
    void set_kept() { head_.kept = true; }

    [[nodiscard]] const SoundStretch& stretch() const noexcept { return *stretch_; }
    [[nodiscard]] std::uint64_t from() const noexcept { return from_; }
    [[nodiscard]] double seconds() const noexcept {
        return static_cast<double>(next_ - from_) / stretch_->rate_hz();
    }
    [[nodiscard]] Journal* journal() noexcept { return journal_ ? &*journal_ : nullptr; }
    [[nodiscard]] const JournalHead& head() const noexcept { return head_; }

    /// The whole take as a journal in another folder, when its own refuses; it is finished from there. The path.
    [[nodiscard]] Result<std::filesystem::path> rescue(const std::filesystem::path& folder);

private:
    const std::shared_ptr<const SoundStretch> stretch_;
    std::uint64_t from_;
    std::uint64_t next_;
    std::optional<std::uint64_t> to_;
    const std::string name_;
    JournalHead head_;
    std::optional<Journal> journal_;
    std::vector<std::int32_t> waiting_; ///< pulled, not yet in the journal
};

} // namespace bellhand::takes
