#pragma once

#include "core/result.h"
#include "part/music.h"
#include "part/read/score.h"

#include <string>
#include <vector>

#include <pugixml.hpp>

namespace bellhand::part {

/// One bar of one part: `measure` carries number and kind, `content` the notes (the same element in a file by parts).
struct XmlBar {
    pugi::xml_node measure;
    pugi::xml_node content;
};

/// A parsed MusicXML text.
struct XmlScore {
    std::string text; ///< what was parsed: places of elements refer to it
    pugi::xml_document document;
    bool by_bars = false;
    bool sounding_pitch = false;
    std::string title;
    std::vector<PartHead> heads;
};

/// Parses a whole text into `score`. Errors: no XML, no score, no parts, too much of it, entities declared.
[[nodiscard]] Result<void> parse_score(std::string text, const std::string& where, XmlScore& score);

/// The bars of a part, in order.
[[nodiscard]] std::vector<XmlBar> bars_of(const XmlScore& score, const std::string& part_id);

/// Reads bars into music. `place` names file and part in errors.
[[nodiscard]] Result<Music> read_bars(const std::vector<XmlBar>& bars, const std::string& place);

} // namespace bellhand::part
