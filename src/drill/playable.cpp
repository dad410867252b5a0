#include "drill/playable.h"

#include "drill/plan.h"
#include "horn/compass.h"

#include <algorithm>
#include <optional>

namespace bellhand::drill {

namespace {

std::string names_of(const std::vector<int>& crooks) {
    std::string names;
    for (std::size_t i = 0; i < crooks.size(); ++i) {
        names += i == 0 ? "" : i + 1 == crooks.size() ? " and " : ", ";
        names += crook_at(crooks[i]).label;
    }
    return names;
}

/// What is wrong with one step on this crook, if anything.
std::optional<std::string> trouble(horn::Note written, const Step& step, const horn::Crook& crook) {
    const horn::ChartEntry* const entry = horn::chart_entry(written);
    if (entry == nullptr) {
        return horn::display_name(written) + " is no note of the natural horn on " + crook.label +
               ".";
    }
    const horn::Compass compass = horn::usual_compass(crook);
    const int partial = way_asked(step, *entry).partial;
    if (partial >= compass.lowest_partial && partial <= compass.highest_partial) {
        return std::nullopt;
    }
    return horn::display_name(written) + " (partial " + std::to_string(partial) + ") lies " +
           (partial < compass.lowest_partial ? "below" : "above") + " what parts for " +
           crook.label + " ask for, partials " + std::to_string(compass.lowest_partial) + " to " +
           std::to_string(compass.highest_partial) + ".";
}

} // namespace

Playable playable(const Exercise& exercise, const horn::Crook& crook) {
    if (!exercise.crooks.empty() &&
        std::find(exercise.crooks.begin(), exercise.crooks.end(), crook.transposition) ==
            exercise.crooks.end()) {
        return {false, "It is meant for " + names_of(exercise.crooks) + "."};
    }
    const std::vector<int> crooks =
        exercise.each_crook ? exercise.crooks : std::vector<int>{crook.transposition};
    for (const int transposition : crooks) {
        const horn::Crook on = crook_at(transposition);
        for (const Step& step : exercise.steps) {
            for (const auto& written : {step.written, step.other}) {
                if (!written) {
                    continue;
                }
                if (const auto why = trouble(played_note(exercise, *written, on), step, on)) {
                    return {false, *why};
                }
            }
        }
    }
    return {};
}

} // namespace bellhand::drill
