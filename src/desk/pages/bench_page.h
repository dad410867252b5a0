#pragma once

#include "desk/model/bench.h"
#include "desk/page.h"
#include "desk/session.h"

#include <filesystem>
#include <optional>
#include <string>

namespace bellhand::desk {

/// The player's horn on the bench, put together for the key and pitch of the day.
class BenchPage : public Page {
public:
    explicit BenchPage(const Session& session) : session_(session) {}

    void refresh() override;
    [[nodiscard]] KeyTable keys() override;
    /// Another horn. False: it cannot be read; `problem` tells why.
    bool open(const std::filesystem::path& profile);

    /// The horn, or null when it could not be read.
    [[nodiscard]] Bench* bench() noexcept { return bench_ ? &*bench_ : nullptr; }
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }

private:
    const Session& session_;
    std::optional<Bench> bench_;
    std::string problem_;
};

} // namespace bellhand::desk
