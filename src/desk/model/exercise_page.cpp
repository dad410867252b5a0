#include "desk/model/exercise_page.h"

#include "desk/model/phrases.h"

#include <algorithm>
#include <cmath>

namespace bellhand::desk {

namespace {

// In staff spaces; as engravers do it (common practice, no source), wide enough for a word under each note.
constexpr float kEighth = 3.6F;
constexpr float kPerDoubling = 1.1F;
constexpr float kAccidental = 0.9F;
constexpr float kClef = 3.2F;
constexpr float kBarLine = 1.0F;
constexpr float kMostStretch = 1.6F;
constexpr int kBackToTreble = 60; // a line in the bass clef stays there up to written C4
constexpr int kLastTreble = 55;
constexpr std::size_t kNotesIntoNext = 2;

float natural_width(const drill::Step& step) {
    const double quarters = step.quarters > 0.0 ? step.quarters : 2.0;
    const float doublings = static_cast<float>(std::log2(std::max(quarters, 0.25) / 0.5));
    const bool accidental = step.written && step.written->sharps != 0;
    return kEighth + kPerDoubling * std::max(0.0F, doublings) + (accidental ? kAccidental : 0.0F);
}

engraving::Clef clef_for(horn::Note note, engraving::Clef before) {
    if (before == engraving::Clef::bass) {
        return note.number > kBackToTreble ? engraving::Clef::treble : engraving::Clef::bass;
    }
    return note.number >= kLastTreble ? engraving::Clef::treble : engraving::Clef::bass;
}

/// The number of the bar that each step lies in.
std::vector<int> bars_of(const drill::Exercise& exercise) {
    std::vector<int> bars;
    double at = 0.0;
    int bar = -1;
    bool open = false;
    const double full = std::max(1, exercise.quarters_in_bar);
    for (const drill::Step& step : exercise.steps) {
        if (!open || step.quarters <= 0.0) {
            ++bar;
            at = 0.0;
        }
        bars.push_back(bar);
        at += step.quarters;
        constexpr double kRounding = 1e-6;
        open = step.quarters > 0.0 && at < full - kRounding;
    }
    return bars;
}

/// Stretches the steps of one system to the width of the page.
void justify(ExercisePage& page, std::size_t first, float used, float spaces, int system) {
    const float stretch = std::min(spaces / used, kMostStretch);
    for (std::size_t i = first; i < page.steps.size(); ++i) {
        PlacedStep& step = page.steps[i];
        step.x *= stretch;
        step.left *= stretch;
        step.right *= stretch;
    }
    for (BarLine& line : page.bar_lines) {
        if (line.system == system) {
            line.x *= stretch;
        }
    }
}

} // namespace

ExercisePage lay_out(const drill::Exercise& exercise, float spaces) {
    ExercisePage page;
    const std::vector<int> bars = bars_of(exercise);
    const auto count = exercise.steps.size();
    float at = 0.0F;
    std::size_t first_of_system = 0;
    const auto width_of_bar = [&](std::size_t from) {
        float wide = kBarLine;
        for (std::size_t i = from; i < count && bars[i] == bars[from]; ++i) {
            wide += natural_width(exercise.steps[i]);
        }
        return wide;
    };
    engraving::Clef clef = engraving::Clef::treble;
    for (std::size_t i = 0; i < count; ++i) {
        const drill::Step& step = exercise.steps[i];
        const bool begins_bar = i == 0 || bars[i] != bars[i - 1];
        const float needed = begins_bar ? std::min(width_of_bar(i), spaces) : natural_width(step);
        const bool begins_system = i == 0 || at + needed > spaces;
        const engraving::Clef before = clef;
        if (step.written) {
            clef = clef_for(*step.written, clef);
        }
        if (begins_system) {
            if (i > 0) {
                justify(page, first_of_system, at, spaces, page.systems() - 1);
            }
            // A system that begins with rests takes the clef of its first note.
            for (std::size_t k = i; k < count && !step.written; ++k) {
                if (exercise.steps[k].written) {
                    clef = clef_for(*exercise.steps[k].written, clef);
                    break;
                }
            }
            page.clefs.push_back(clef);
            first_of_system = i;
            at = 0.0F;
        }
        PlacedStep placed;
        placed.step = static_cast<std::uint32_t>(i);
        placed.system = page.systems() - 1;
        placed.bar = bars[i];
        placed.new_clef = !begins_system && clef != before;
        placed.left = at;
        at += placed.new_clef ? kClef : 0.0F;
        const float wide = natural_width(step);
        const bool accidental = step.written && step.written->sharps != 0;
        placed.x = at + 0.5F * wide + (accidental ? 0.5F * kAccidental : 0.0F);
        at += wide;
        placed.right = at;
        placed.place.step = 4;
        placed.place.clef = clef;
        if (step.written) {
            placed.place = engraving::staff_place(*step.written, clef);
            page.highest = std::max(page.highest, placed.place.step);
            page.lowest = std::min(page.lowest, placed.place.step);
            for (std::size_t k = i;
                 k-- > 0;) { // the note that stood here last, in this bar or the one before
                const auto& other = exercise.steps[k].written;
                if (bars[k] < bars[i] - 1) {
                    break;
                }
                if (other && page.steps[k].place.step == placed.place.step) {
                    placed.restored = step.written->sharps == 0 && other->sharps != 0;
                    break;
                }
            }
        }
        page.steps.push_back(placed);
        const bool ends_bar = i + 1 == count || bars[i + 1] != bars[i];
        if (ends_bar && step.quarters > 0.0) {
            at += kBarLine;
            page.bar_lines.push_back({placed.system, at - 0.5F * kBarLine, i + 1 == count});
        }
    }
    if (count > 0) {
        justify(page, first_of_system, at, spaces, page.systems() - 1);
    }
    return page;
}

std::string step_hand_signs(const drill::Step& step) {
    if (!step.written) {
        return {};
    }
    return step.hand ? horn::hand_sign(*step.hand) : hand_signs(*step.written);
}

ShownSystems shown_systems(const ExercisePage& page, std::uint32_t step) noexcept {
    if (page.systems() < 2 || step >= page.steps.size()) {
        return {0, page.systems() > 1 ? 1 : -1};
    }
    const int system = page.steps[step].system;
    std::size_t begun = 0; // notes of this system up to and with the present one
    for (std::uint32_t i = 0; i <= step; ++i) {
        begun += page.steps[i].system == system ? 1U : 0U;
    }
    const int other = begun > kNotesIntoNext || system == 0 ? system + 1 : system - 1;
    const int beside = other < page.systems() ? other : system - 1;
    return system % 2 == 0 ? ShownSystems{system, beside} : ShownSystems{beside, system};
}

} // namespace bellhand::desk
