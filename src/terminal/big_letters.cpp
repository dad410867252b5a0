#include "terminal/big_letters.h"

namespace bellhand::terminal {

namespace {

/// Six rows of five dots, '#' = filled; each dot is two cells wide, so that it looks square.
struct Shape {
    char letter;
    std::array<const char*, kBigRows> rows;
};

constexpr Shape kShapes[] = {
    {'A', {" ### ", "#   #", "#   #", "#####", "#   #", "#   #"}},
    {'B', {"#### ", "#   #", "#### ", "#   #", "#   #", "#### "}},
    {'C', {" ####", "#    ", "#    ", "#    ", "#    ", " ####"}},
    {'D', {"#### ", "#   #", "#   #", "#   #", "#   #", "#### "}},
    {'E', {"#####", "#    ", "#### ", "#    ", "#    ", "#####"}},
    {'F', {"#####", "#    ", "#### ", "#    ", "#    ", "#    "}},
    {'G', {" ####", "#    ", "#  ##", "#   #", "#   #", " ####"}},
    {'b', {"#    ", "#    ", "###  ", "#  # ", "# #  ", "##   "}},
    {'#', {" # # ", "#####", " # # ", " # # ", "#####", " # # "}},
    {'1', {"  #  ", " ##  ", "  #  ", "  #  ", "  #  ", " ### "}},
    {'2', {" ### ", "#   #", "   # ", "  #  ", " #   ", "#####"}},
    {'3', {"#### ", "    #", " ### ", "    #", "    #", "#### "}},
    {'4', {"#  # ", "#  # ", "#  # ", "#####", "   # ", "   # "}},
    {'5', {"#####", "#    ", "#### ", "    #", "    #", "#### "}},
    {'6', {" ### ", "#    ", "#### ", "#   #", "#   #", " ### "}},
    {'7', {"#####", "    #", "   # ", "  #  ", "  #  ", "  #  "}},
};

} // namespace

std::array<std::string, kBigRows> big_note(horn::Note note, const char* block) {
    std::array<std::string, kBigRows> rows;
    for (const char letter : horn::ascii_name(note)) {
        for (const Shape& shape : kShapes) {
            if (shape.letter != letter) {
                continue;
            }
            for (std::size_t row = 0; row < rows.size(); ++row) {
                rows[row] += rows[row].empty() ? "" : "  ";
                for (const char* dot = shape.rows[row]; *dot != '\0'; ++dot) {
                    const std::string cell = *dot == '#' ? block : " ";
                    rows[row] += cell + cell;
                }
            }
        }
    }
    return rows;
}

} // namespace bellhand::terminal
