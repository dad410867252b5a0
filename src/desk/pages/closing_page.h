#pragma once

#include "desk/page.h"
#include "desk/session.h"

#include <optional>
#include <string>

namespace bellhand::desk {

/// How partials fall while the hand closes, as predicted for today's crook and pitch.
struct ClosingPrediction {
    horn::HandResponse modelled;           ///< by the acoustic model
    std::optional<horn::HandResponse> own; ///< as calibration measured this player
};

/// The hand closed slowly over one note, beside what is predicted of it.
class ClosingPage : public Page {
public:
    explicit ClosingPage(Session& session) : session_(session) {}

    void enter() override { session_.view().closing().listen(true); }
    void leave() override { session_.view().closing().listen(false); }
    void refresh() override;
    [[nodiscard]] KeyTable keys() override;
    /// The horn is another one: what is predicted is asked for anew.
    void forget_prediction() noexcept { predicted_for_.reset(); }

    [[nodiscard]] const SlowClosing& closing() const noexcept { return session_.view().closing(); }
    [[nodiscard]] const ClosingPrediction& prediction() const noexcept { return prediction_; }
    /// What became of the last one that was saved; empty before.
    [[nodiscard]] const std::string& said() const noexcept { return said_; }

private:
    Session& session_;
    ClosingPrediction prediction_;
    std::optional<horn::Tuning> predicted_for_;
    std::string said_;
};

} // namespace bellhand::desk
