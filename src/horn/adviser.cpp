#include "horn/adviser.h"

#include <algorithm>

namespace bellhand::horn {

namespace {

constexpr double kOutsideCompassCost = 3.0;
constexpr double kUnplayableCost = 20.0;
constexpr double kRareCrookCost = 0.25;
constexpr double kUsualForKeyGain = 0.5;

void append_count(std::string& list, int count, const char* what) {
    if (count > 0) {
        list += (list.empty() ? "" : ", ") + std::to_string(count) + " " + what;
    }
}

std::string reason(const CrookAdvice& advice, int notes, const std::optional<Scale>& sounding_key) {
    std::string counts;
    append_count(counts, advice.open, "open");
    append_count(counts, advice.covered, "covered");
    append_count(counts, advice.stopped, "stopped");
    append_count(counts, advice.lipped, "lipped");
    append_count(counts, advice.unplayable, "unplayable");
    std::string sentence = "Of " + std::to_string(notes) + (notes == 1 ? " note: " : " notes: ") +
                           counts + "; written " + display_name(advice.lowest) + " to " +
                           display_name(advice.highest);
    const std::string partials = std::to_string(advice.compass.lowest_partial) + " to " +
                                 std::to_string(advice.compass.highest_partial);
    if (advice.outside_compass > 0) {
        sentence += ", " + std::to_string(advice.outside_compass) + " outside the usual partials " +
                    partials;
    } else if (advice.unplayable == 0) {
        sentence += ", within the usual partials " + partials;
    }
    if (advice.usual_for_key) {
        sentence += "; usual for pieces in " + scale_label(*sounding_key);
    }
    sentence += advice.rare ? "; a crook that parts seldom ask for." : ".";
    return sentence;
}

CrookAdvice advice_for(const Crook& crook,
                       std::span<const int> sounding_numbers,
                       const std::optional<Scale>& sounding_key) {
    CrookAdvice advice;
    advice.crook = crook;
    advice.compass = usual_compass(crook);
    advice.rare = is_rare(crook);
    advice.usual_for_key = sounding_key && is_usual_for(crook, *sounding_key);
    const auto [low, high] = std::minmax_element(sounding_numbers.begin(), sounding_numbers.end());
    advice.lowest = usual_spelling(*low - crook.transposition);
    advice.highest = usual_spelling(*high - crook.transposition);
    double evenness = 0.0;
    double cost = 0.0;
    int playable = 0;
    for (const int sounding : sounding_numbers) {
        const ChartEntry* entry = chart_entry(usual_spelling(sounding - crook.transposition));
        if (entry == nullptr) {
            ++advice.unplayable;
            cost += kUnplayableCost;
            continue;
        }
        const HandWay& way = entry->usual();
        const Tone tone = tone_of(way);
        advice.open += tone == Tone::open ? 1 : 0;
        advice.covered += tone == Tone::covered ? 1 : 0;
        advice.stopped += tone == Tone::stopped ? 1 : 0;
        advice.lipped += tone == Tone::lipped ? 1 : 0;
        if (way.partial < advice.compass.lowest_partial ||
            way.partial > advice.compass.highest_partial) {
            ++advice.outside_compass;
            cost += kOutsideCompassCost;
        }
        ++playable;
        evenness += evenness_of(way);
        cost += 5.0 - evenness_of(way);
    }
    advice.mean_evenness = playable > 0 ? evenness / playable : 0.0;
    advice.cost = cost / static_cast<double>(sounding_numbers.size()) +
                  (advice.rare ? kRareCrookCost : 0.0) -
                  (advice.usual_for_key ? kUsualForKeyGain : 0.0);
    advice.why = reason(advice, static_cast<int>(sounding_numbers.size()), sounding_key);
    return advice;
}

} // namespace

bool is_usual_for(const Crook& crook, const Scale& sounding_key) noexcept {
    // Rare crooks are not what a part in C, B, F sharp or D flat asks for either.
    if (is_rare(crook)) {
        return false;
    }
    const int crook_step = ((crook.transposition % 12) + 12) % 12;
    const int tonic = tonic_step(sounding_key);
    constexpr int kMinorThird = 3;
    const bool minor = contains(sounding_key, tonic + kMinorThird);
    return crook_step == tonic || (minor && crook_step == (tonic + kMinorThird) % 12);
}

std::vector<CrookAdvice> advise(std::span<const int> sounding_numbers,
                                const std::optional<Scale>& sounding_key) {
    std::vector<CrookAdvice> ranked;
    if (sounding_numbers.empty()) {
        return ranked;
    }
    for (const Crook& crook : all_crooks()) {
        ranked.push_back(advice_for(crook, sounding_numbers, sounding_key));
    }
    std::stable_sort(ranked.begin(), ranked.end(), [](const CrookAdvice& a, const CrookAdvice& b) {
        return a.cost < b.cost;
    });
    return ranked;
}

} // namespace bellhand::horn
