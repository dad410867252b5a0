#pragma once

#include "part/plan/phrase.h"

#include <string>

namespace bellhand::part {

/// Why a note is played as it is, in one sentence. `usual` tells what the usual way would have cost in its place, null
/// when it is the usual way.
[[nodiscard]] std::string reason_for(const PhraseNote& note,
                                     const Choice& choice,
                                     bool pinned,
                                     const CostParts& parts,
                                     const CostParts* usual);

/// The sentence for a note that no way reaches.
[[nodiscard]] std::string reason_impossible(horn::Note written, const horn::Crook& crook);

} // namespace bellhand::part
