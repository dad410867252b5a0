#pragma once

#include "core/result.h"
#include "part/part.h"
#include "part/plan/plan.h"

#include <string>

namespace bellhand::part {

struct AnnotateOptions {
    bool partials = false; ///< the number of the partial above every note too: "p12"
};

/// The text of the score with the plan's hand sign at every note that is struck: `open-string`, `stopped`, or a
/// `fingering` of ¼ ½ ¾, which notation programs draw. Signs that were there are replaced; everything else stays byte
/// for byte, but for the note elements that are touched. Errors: the part was read from MIDI.
[[nodiscard]] Result<std::string> annotated(const Score& score,
                                            const Part& part,
                                            const Plan& plan,
                                            const AnnotateOptions& options = {});

/// A text as a compressed score: in the archive that `score` came in, every other file kept, or in a new one.
[[nodiscard]] Result<std::string> compressed(const Score& score, std::string text);

} // namespace bellhand::part
