#include "takes/tape.h"

#include "core/platform.h"

#include <algorithm>
#include <array>

namespace bellhand::takes {

namespace {

class JournalThenMemory final : public FlacSource {
public:
    JournalThenMemory(const Journal* journal, std::span<const std::int32_t> waiting)
        : journal_(journal), waiting_(waiting) {}

    Result<std::size_t> next(std::span<std::int32_t> out) override {
        if (journal_ != nullptr && place_ < journal_->samples()) {
            const auto count = journal_->read(place_, out);
            place_ += count.value_or(0);
            return count;
        }
        const std::size_t count = std::min(out.size(), waiting_.size());
        std::copy_n(waiting_.begin(), count, out.begin());
        waiting_ = waiting_.subspan(count);
        return count;
    }

private:
    const Journal* journal_;
    std::span<const std::int32_t> waiting_;
    std::uint64_t place_ = 0;
};

} // namespace

Tape::Tape(std::shared_ptr<const SoundStretch> stretch,
           std::uint64_t from,
           std::string name,
           JournalHead head)
    : stretch_(std::move(stretch)),
      from_(from),
      next_(from),
      name_(std::move(name)),
      head_(std::move(head)) {
    head_.rate_hz = stretch_->rate_hz();
    head_.start_s = stretch_->time_of(from);
}

bool Tape::pull(std::size_t limit) {
    std::array<float, 4096> chunk{};
    for (;;) {
        const std::uint64_t until = std::min(stretch_->heard(), to_.value_or(UINT64_MAX));
        if (next_ >= until) {
            return false;
        }
        if (waiting_.size() >= limit) {
            to_ = next_;
            return true;
        }
        const auto count =
            static_cast<std::size_t>(std::min<std::uint64_t>(chunk.size(), until - next_));
        const std::span<float> part(chunk.data(), count);
        if (!stretch_->copy(next_, part)) {
            // The memory has gone over it (this thread stood still for two minutes): silence, so that times stay true.
            std::fill(part.begin(), part.end(), 0.0F);
        }
        for (const float sample : part) {
            waiting_.push_back(as_24_bits(sample));
        }
        next_ += count;
    }
}

void Tape::end_at(std::uint64_t sample) {
    to_ = std::max(next_, sample);
}

Result<void> Tape::save(const std::filesystem::path& folder) {
    if (waiting_.empty() && !journal_) {
        return {};
    }
    if (!journal_) {
        auto created = Journal::create(folder, name_, head_);
        if (!created) {
            return tl::unexpected(created.error());
        }
        journal_ = std::move(*created);
    }
    const JournalHead& saved = journal_->head();
    if (saved.kept != head_.kept || saved.session.id != head_.session.id) {
        if (auto put = journal_->set_head(head_); !put) {
            return put;
        }
    }
    const std::uint64_t before = journal_->samples();
    auto appended = journal_->append(waiting_);
    waiting_.erase(waiting_.begin(),
                   waiting_.begin() + static_cast<std::ptrdiff_t>(journal_->samples() - before));
    return appended;
}

Result<std::filesystem::path> Tape::rescue(const std::filesystem::path& folder) {
    auto rescued = Journal::create(folder, name_, head_);
    if (!rescued) {
        return tl::unexpected(rescued.error());
    }
    JournalThenMemory source(journal(), waiting_);
    std::array<std::int32_t, 4096> chunk{};
    for (;;) {
        const auto count = source.next(chunk);
        if (!count) {
            return tl::unexpected(count.error());
        }
        if (*count == 0) {
            return folder / platform::path_of(name_ + kJournalEnding);
        }
        if (auto put = rescued->append(std::span(chunk).first(*count)); !put) {
            return tl::unexpected(put.error());
        }
    }
}

} // namespace bellhand::takes
