#pragma once

#include <filesystem>
#include <string>

namespace bellhand::test {

/// The root of the source tree.
[[nodiscard]] std::filesystem::path source_root();

/// A folder of the shared data, empty when it is not there.
[[nodiscard]] std::filesystem::path shared_folder(const std::string& name);

/// A score that stands in the tree, tests/data/parts.
[[nodiscard]] std::filesystem::path kept_score(const std::string& name);

/// A MusicXML score by parts with one part. `heading` is its name, `bars` the `measure` elements.
[[nodiscard]] std::string score_text(const std::string& heading, const std::string& bars);

/// Bars of four quarters: "C4 G4 | E4:h -:h" with lengths w h q e after a colon (q when left out), "-" a rest, "#" and
/// "b" after the letter. `first` goes into the attributes of the first bar.
[[nodiscard]] std::string bars_text(const std::string& notes, const std::string& first = "");

} // namespace bellhand::test
