#pragma once

#include "desk/page.h"
#include "desk/session.h"
#include "horn/crook_chart.h"

#include <optional>
#include <vector>

namespace bellhand::desk {

/// The hand chart of today's crook, pitch and temperament, for the hand as calibration
/// measured it, else the modelled one.
class ChartPage : public Page {
public:
    explicit ChartPage(const Session& session) : session_(session) {}

    void follow() override;
    [[nodiscard]] KeyTable keys() override;
    void choose(int index) noexcept;
    /// Another horn's hand counts from now on.
    void forget_horn() noexcept { made_for_.reset(); }

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
