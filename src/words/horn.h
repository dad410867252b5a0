#pragma once

#include "hand/horn_fit.h"
#include "horn/tuning.h"

#include <optional>
#include <string>

namespace bellhand::words {

/// What the notes say of the horn that was set, for people.
struct HornRemark {
    std::string text;                  ///< one or two sentences; empty when there is nothing to say
    std::optional<horn::Tuning> offer; ///< the horn that fits better, to be taken in one step
};

/// "These notes fit a horn in E♭ better than one in F ...", which note would decide between two horns, or "Everything 12
/// cents sharp: A4 = 443, or the slide 13 mm out.". The name assumes the pitch that is set; other names stand beside it.
[[nodiscard]] HornRemark horn_remark(const hand::HornFit& fit, const horn::Tuning& set);

/// The remark as it is shown while playing: it stands still until it says something else.
class HornWatch {
public:
    /// A note ended. True when the remark changed.
    bool take(const hand::HornFit& fit, const horn::Tuning& set);
    /// Another horn was set.
    void forget() { *this = {}; }
    [[nodiscard]] const HornRemark& remark() const noexcept { return remark_; }

private:
    HornRemark remark_;
    hand::HornVerdict verdict_ = hand::HornVerdict::unknown;
    double f1_hz_ = 1.0;
};

/// The options that would set this horn: "--crook Eb --a4 430"; the pitch only where it differs from what is set.
[[nodiscard]] std::string horn_options(const horn::Tuning& offer, const horn::Tuning& set);

/// The remark with what to type: for commands.
[[nodiscard]] std::string horn_remark_to_type(const hand::HornFit& fit, const horn::Tuning& set);

} // namespace bellhand::words
