#pragma once

#include <algorithm>
#include <cstddef>
#include <span>
#include <vector>

namespace bellhand::pitch {

/// The newest stretch of a signal, always contiguous in memory. No allocation after construction.
class History {
public:
    explicit History(std::size_t length) : length_(length), data_(3 * length, 0.0F), end_(length) {}

    void append(std::span<const float> x) noexcept {
        if (end_ + x.size() > data_.size()) {
            std::copy(data_.begin() + static_cast<std::ptrdiff_t>(end_ - length_),
                      data_.begin() + static_cast<std::ptrdiff_t>(end_),
                      data_.begin());
            end_ = length_;
        }
        std::copy(x.begin(), x.end(), data_.begin() + static_cast<std::ptrdiff_t>(end_));
        end_ += x.size();
    }

    /// The newest `n` samples, n <= length().
    [[nodiscard]] std::span<const float> newest(std::size_t n) const noexcept {
        return {data_.data() + (end_ - n), n};
    }

    [[nodiscard]] std::size_t length() const noexcept { return length_; }

    void clear() noexcept {
        std::fill(data_.begin(), data_.end(), 0.0F);
        end_ = length_;
    }

private:
    std::size_t length_;
    std::vector<float> data_;
    std::size_t end_;
};

} // namespace bellhand::pitch
