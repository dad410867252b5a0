// Makes assets/hand/hand_colour.txt from modelled players:
//   learn_hand_colour            prints the text
//   learn_hand_colour --write    writes the file of the source tree
#include "core/assets.h"
#include "core/files.h"
#include "support/hand_trials.h"

#include <cstdio>
#include <string_view>

using namespace bellhand;

int main(int count, char** arguments) {
    const std::string text = hand::hand_colour_text(test::learn_hand_colour());
    if (count > 1 && std::string_view(arguments[1]) == "--write") {
        const auto written =
            write_file_in_one_step(assets_folder() / "hand" / "hand_colour.txt", text);
        if (!written) {
            std::fprintf(stderr, "%s\n", written.error().message.c_str());
            return 1;
        }
        return 0;
    }
    std::fputs(text.c_str(), stdout);
    return 0;
}
