#include "hand/timbre_model.h"

#include "core/assets.h"
#include "core/files.h"
#include "hand/named_figures.h"

#include <algorithm>
#include <string>
#include <vector>

namespace bellhand::hand {

namespace {

constexpr std::size_t kLargestFile_bytes = 20'000;

std::vector<NamedFigures> fields_of(TimbreModel& model) {
    static constexpr const char* kGroupNames[kGroups] = {
        "first", "second_third", "fourth_fifth", "seventh_to_tenth"};
    std::vector<NamedFigures> fields{{"reference_hz", {&model.reference_hz}},
                                     {"constant", {&model.constant}},
                                     {"open_log_odds", {&model.open_mean, &model.open_spread}},
                                     {"range_hz", {&model.lowest_hz, &model.highest_hz}},
                                     {"bright", {&model.bright_edge_db, &model.bright_per_db}},
                                     {"most_log_odds", {&model.most_log_odds}}};
    NamedFigures shares{"stop_like_share", {}};
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

} // namespace

Result<TimbreModel> parse_timbre_model(std::string_view text, const std::string& where) {
    TimbreModel model;
    if (auto read = read_named_figures(text, where, fields_of(model)); !read) {
        return tl::unexpected(read.error());
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
    const auto path = asset("hand/timbre.txt");
    if (!path) {
        return tl::unexpected(path.error());
    }
    const auto text = read_small_file(*path, kLargestFile_bytes);
    if (!text) {
        return tl::unexpected(text.error());
    }
    return parse_timbre_model(*text, path->string());
}

} // namespace bellhand::hand
