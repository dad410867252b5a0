#include "desk/store/own_files.h"

#include "core/assets.h"
#include "drill/library.h"
#include "hand/hand_colour.h"
#include "hand/timbre_model.h"
#include "instrument/planner/set_list.h"
#include "instrument/profile.h"

namespace bellhand::desk {

std::filesystem::path demo_horn_file() {
    return assets_folder() / "instruments" / "demo_coupler_horn.json";
}

std::filesystem::path demo_set_list_file() {
    return assets_folder() / "setlists" / "demo_opera.json";
}

std::vector<std::string> trouble_with_own_files() {
    std::vector<std::string> sentences;
    const auto look_at = [&sentences](const auto& read) {
        if (!read) {
            sentences.push_back(read.error().message);
        }
    };
    look_at(hand::load_timbre_model());
    look_at(hand::load_hand_colour());
    look_at(drill::built_in_exercises());
    look_at(instrument::load_profile(demo_horn_file()));
    look_at(instrument::load_set_list(demo_set_list_file()));
    return sentences;
}

} // namespace bellhand::desk
