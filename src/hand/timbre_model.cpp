#include "hand/timbre_model.h"

#include "core/assets.h"
#include "core/files.h"

#include <algorithm>
#include <cmath>
#include <sstream>
#include <string>
#include <vector>

namespace bellhand::hand {

namespace {

constexpr std::size_t kLargestFile_bytes = 20'000;

/// A name of the file and the places its figures go to.
struct Field {
    const char* name;
    std::vector<double*> figures;
    bool seen = false;
};

std::vector<Field> fields_of(TimbreModel& model) {
    static constexpr const char* kGroupNames[kGroups] = {
        "first", "second_third", "fourth_fifth", "seventh_to_tenth"};
    std::vector<Field> fields{{"reference_hz", {&model.reference_hz}},
                              {"constant", {&model.constant}},
                              {"open_log_odds", {&model.open_mean, &model.open_spread}},
                              {"range_hz", {&model.lowest_hz, &model.highest_hz}},
                              {"bright", {&model.bright_edge_db, &model.bright_per_db}},
                              {"most_log_odds", {&model.most_log_odds}}};
    Field shares{"stop_like_share", {}};
    for (double& share : model.stop_like_share) {
        shares.figures.push_back(&share);
    }
    fields.push_back(shares);
    for (std::size_t g = 0; g < kGroups; ++g) {
        fields.push_back({kGroupNames[g],
                          {&model.usual_db[g][0],
                           &model.usual_db[g][1],
                           &model.usual_db[g][2],
                           &model.spread_db[g],
                           &model.weight[g]}});
    }
    return fields;
}

/// Empty when the line is right, else what is wrong with it.
std::string take_line(const std::string& line, std::vector<Field>& fields) {
    std::istringstream words(line.substr(0, line.find('#')));
    words.imbue(std::locale::classic());
    std::string name;
    if (!(words >> name)) {
        return {};
    }
    const auto field = std::find_if(
        fields.begin(), fields.end(), [&](const Field& one) { return name == one.name; });
    if (field == fields.end()) {
        return "the name '" + name + "' is unknown";
    }
    if (field->seen) {
        return "'" + name + "' stands there twice";
    }
    field->seen = true;
    for (double* figure : field->figures) {
        if (!(words >> *figure) || !std::isfinite(*figure)) {
            return "'" + name + "' needs " + std::to_string(field->figures.size()) + " numbers";
        }
    }
    std::string rest;
    return words >> rest ? "'" + name + "' has too many numbers" : std::string();
}

} // namespace

Result<TimbreModel> parse_timbre_model(std::string_view text, const std::string& where) {
    TimbreModel model;
    std::vector<Field> fields = fields_of(model);
    std::istringstream lines{std::string(text)};
    std::string line;
    for (int number = 1; std::getline(lines, line); ++number) {
        if (const std::string wrong = take_line(line, fields); !wrong.empty()) {
            return failure(where + ", line " + std::to_string(number) + ": " + wrong +
                           "; install the program's files again.");
        }
    }
    for (const Field& field : fields) {
        if (!field.seen) {
            return failure(where + ": '" + field.name +
                           "' is missing; install the program's files again.");
        }
    }
    const bool spreads = std::all_of(
        model.spread_db.begin(), model.spread_db.end(), [](double s) { return s > 0.0; });
    const bool shares = std::all_of(model.stop_like_share.begin(),
                                    model.stop_like_share.end(),
                                    [](double s) { return s >= 0.0 && s <= 1.0; });
    if (!spreads || !shares || !(model.reference_hz > 0.0) || !(model.open_spread > 0.0)) {
        return failure(where + ": a spread is not above zero or a share not between 0 and 1; "
                               "install the program's files again.");
    }
    return model;
}

Result<TimbreModel> load_timbre_model() {
    const std::filesystem::path path = assets_folder() / "hand" / "timbre.txt";
    const auto text = read_small_file(path, kLargestFile_bytes);
    if (!text) {
        return tl::unexpected(text.error());
    }
    return parse_timbre_model(*text, path.string());
}

} // namespace bellhand::hand
