#include "drill/library.h"

#include "core/assets.h"
#include "drill/exercise_file.h"
#include "drill/generators.h"

#include <algorithm>
#include <filesystem>
#include <numeric>
#include <set>
#include <sstream>
#include <system_error>

namespace bellhand::drill {

namespace {

/// Letters to change, add or leave out between two words (Levenshtein 1966).
std::size_t distance(const std::string& a, const std::string& b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 0; i < a.size(); ++i) {
        std::size_t corner = row[0];
        row[0] = i + 1;
        for (std::size_t j = 0; j < b.size(); ++j) {
            const std::size_t changed = corner + (a[i] == b[j] ? 0 : 1);
            corner = row[j + 1];
            row[j + 1] = std::min({changed, row[j] + 1, row[j + 1] + 1});
        }
    }
    return row.back();
}

/// Those that the program was built with: fewer of them would pass for all there are.
Result<void> all_there() {
    std::istringstream names(BELLHAND_EXERCISE_FILES);
    for (std::string name; names >> name;) {
        if (const auto file = asset("exercises/" + name); !file) {
            return tl::unexpected(file.error());
        }
    }
    return {};
}

} // namespace

Result<std::vector<Exercise>> built_in_exercises() {
    if (auto whole = all_there(); !whole) {
        return tl::unexpected(whole.error());
    }
    const std::filesystem::path folder = assets_folder() / "exercises";
    std::error_code error;
    std::vector<std::filesystem::path> files;
    for (std::filesystem::directory_iterator at(folder, error), end; !error && at != end;
         at.increment(error)) {
        if (at->path().extension() == ".json") {
            files.push_back(at->path());
        }
    }
    if (error || files.empty()) {
        return failure("No exercises were found in " + folder.string() +
                       ": install the program's assets or set BELLHAND_ASSETS.");
    }
    std::sort(files.begin(), files.end());
    std::vector<Exercise> all;
    std::set<std::string> ids;
    for (const std::filesystem::path& path : files) {
        auto file = load_exercises(path);
        if (!file) {
            return tl::unexpected(file.error());
        }
        for (Exercise& exercise : file->exercises) {
            if (!ids.insert(exercise.id).second) {
                return failure(path.string() + ": the id \"" + exercise.id +
                               "\" is used in another file too; give it another.");
            }
            all.push_back(std::move(exercise));
        }
    }
    return all;
}

Result<Exercise>
find_exercise(const std::string& id, const horn::Crook& crook, std::uint64_t seed) {
    auto all = built_in_exercises();
    if (!all) {
        return tl::unexpected(all.error());
    }
    std::string nearest;
    std::size_t nearest_distance = id.size() + 64;
    const auto look_at = [&](const std::string& known) {
        const std::size_t off = distance(id, known);
        if (off < nearest_distance) {
            nearest_distance = off;
            nearest = known;
        }
        return off == 0;
    };
    for (Exercise& exercise : *all) {
        if (look_at(exercise.id)) {
            return std::move(exercise);
        }
    }
    for (const Generator& generator : generators()) {
        if (look_at(generator.id)) {
            return generator.make(crook, seed);
        }
    }
    return usage_error("There is no exercise \"" + id.substr(0, 64) + "\"; the nearest name is \"" +
                       nearest + "\". `bellhand drill --list` shows all.");
}

} // namespace bellhand::drill
