#pragma once

#include "part/music.h"

#include <optional>
#include <string_view>

#include <pugixml.hpp>

namespace bellhand::part {

/// What a `note` element prints, without its place. Empty when it is neither a pitch nor a rest.
[[nodiscard]] std::optional<Note> note_of(const pugi::xml_node& element);

/// Whether its pitch lies between two semitones.
[[nodiscard]] bool is_quarter_tone(const pugi::xml_node& element);

/// Halvings of a whole note that a `type` or `beat-unit` names; empty when it is none.
[[nodiscard]] std::optional<int> value_named(std::string_view type) noexcept;

/// The hand sign that an element of `technical` is: `stopped`, `open-string`, or a `fingering` of ¼ ½ ¾ o +.
[[nodiscard]] std::optional<horn::Hand> hand_mark(const pugi::xml_node& technical_child);

} // namespace bellhand::part
