#include "support/scores.h"

#include <cstdlib>
#include <sstream>

namespace bellhand::test {

namespace {

int length_of(const std::string& token) {
    const std::size_t colon = token.find(':');
    switch (colon == std::string::npos ? 'q' : token[colon + 1]) {
    case 'w':
        return 8;
    case 'h':
        return 4;
    case 'e':
        return 1;
    default:
        return 2;
    }
}

const char* type_of(int length) {
    return length == 8 ? "whole" : length == 4 ? "half" : length == 2 ? "quarter" : "eighth";
}

std::string note_text(const std::string& token) {
    const int length = length_of(token);
    std::string note = "<note>";
    if (token.front() == '-') {
        note += "<rest/>";
    } else {
        note += std::string("<pitch><step>") + token[0] + "</step>";
        std::size_t octave = 1;
        if (token[1] == '#' || token[1] == 'b') {
            note += token[1] == '#' ? "<alter>1</alter>" : "<alter>-1</alter>";
            octave = 2;
        }
        note += std::string("<octave>") + token[octave] + "</octave></pitch>";
    }
    return note + "<duration>" + std::to_string(length) + "</duration><voice>1</voice><type>" +
           type_of(length) + "</type></note>";
}

} // namespace

std::filesystem::path source_root() {
    const char* const root = std::getenv("BELLHAND_ROOT");
    return root == nullptr ? std::filesystem::current_path() : std::filesystem::path(root);
}

std::filesystem::path shared_folder(const std::string& name) {
    const char* const shared = std::getenv("BELLHAND_SHARED");
    const std::filesystem::path folder = (shared == nullptr ? source_root().parent_path() / "shared"
                                                            : std::filesystem::path(shared)) /
                                         name;
    return std::filesystem::is_directory(folder) ? folder : std::filesystem::path();
}

std::filesystem::path kept_score(const std::string& name) {
    return source_root() / "tests" / "data" / "parts" / name;
}

std::string score_text(const std::string& heading, const std::string& bars) {
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"3.1\"><part-list>"
           "<score-part id=\"P1\"><part-name>" +
           heading + "</part-name></score-part></part-list><part id=\"P1\">" + bars +
           "</part></score-partwise>\n";
}

std::string bars_text(const std::string& notes, const std::string& first) {
    std::istringstream in(notes);
    std::string token;
    int number = 1;
    std::string text =
        "<measure number=\"1\"><attributes><divisions>2</divisions>" + first + "</attributes>";
    while (in >> token) {
        if (token == "|") {
            text += "</measure><measure number=\"" + std::to_string(++number) + "\">";
        } else if (token.front() == '<') {
            text += token; // an element as it stands, without blanks
        } else {
            text += note_text(token);
        }
    }
    return text + "</measure>";
}

} // namespace bellhand::test
