#pragma once

#include "logbook/logbook.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <system_error>
#include <utility>

namespace bellhand::desk {

/// A log that is opened for each question: a running session writes to it through a connection of its own.
class LogAccess {
public:
    /// `without`: the sentence that answers when there is no path.
    LogAccess(std::optional<std::filesystem::path> path, std::string without)
        : path_(std::move(path)), without_(std::move(without)) {}

    [[nodiscard]] const std::optional<std::filesystem::path>& path() const noexcept {
        return path_;
    }
    [[nodiscard]] bool exists() const {
        std::error_code ignored;
        return path_ && std::filesystem::exists(*path_, ignored);
    }
    /// The answer of `question`, which gets the open log. Errors: its own, or the log cannot be opened.
    template <class Question>
    [[nodiscard]] auto ask(const Question& question) const
        -> decltype(question(std::declval<logbook::Logbook&>())) {
        if (!path_) {
            return failure(without_);
        }
        auto log = logbook::Logbook::open(*path_);
        if (!log) {
            return tl::unexpected(log.error());
        }
        return question(**log);
    }

private:
    std::optional<std::filesystem::path> path_;
    std::string without_;
};

} // namespace bellhand::desk
