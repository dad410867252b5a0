#pragma once

#include "desk/page.h"
#include "desk/session.h"

#include <cstdint>
#include <optional>

namespace bellhand::desk {

/// The notes played last, and what the hand did in each.
class HandPage : public Page {
public:
    explicit HandPage(Session& session) : session_(session) {}

    [[nodiscard]] KeyTable keys() override;
    void choose(std::uint32_t index) noexcept {
        chosen_ = index;
        chosen_in_ = session_.number();
    }
    /// Follows the newest note from now on.
    void follow_newest() noexcept { chosen_.reset(); }

    /// The ended note that is looked at: the newest until another one is chosen; null before the first.
    [[nodiscard]] const trainer::PlayedNote* note() const noexcept;

private:
    void step(int step) noexcept;

    Session& session_;
    std::optional<std::uint32_t> chosen_; // follows the newest while empty
    int chosen_in_ = 0;                   // session; in another one there is no such note
};

} // namespace bellhand::desk
