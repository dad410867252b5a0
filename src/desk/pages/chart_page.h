#pragma once

#include "desk/page.h"
#include "desk/session.h"
#include "horn/crook_chart.h"

#include <optional>
#include <vector>

namespace bellhand::desk {

/// The hand chart of today's crook, pitch and temperament, for a hand that nobody measured.
class ChartPage : public Page {
public:
    explicit ChartPage(const Session& session) : session_(session) {}

    void follow() override;
    [[nodiscard]] KeyTable keys() override;
    void choose(int index) noexcept;

    [[nodiscard]] const std::vector<horn::PlayedNote>& notes() const noexcept { return notes_; }
    /// Which note is looked at: the one that sounded last, or was chosen since.
    [[nodiscard]] int chosen() const noexcept { return chosen_; }

private:
    const Session& session_;
    std::optional<horn::Tuning> made_for_;
    std::vector<horn::PlayedNote> notes_;
    int chosen_ = 0;
    double followed_since_s_ = -1.0; // when the note that it follows began to be shown
};

} // namespace bellhand::desk
