#include "cli/report_text.h"

#include "core/calendar.h"
#include "words/verdict.h"

#include <algorithm>
#include <vector>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

constexpr std::size_t kMostNotes = 5;
constexpr std::int64_t kFewestNotes = 3;

std::string note_text(horn::Note note, horn::Hand hand) {
    return fmt::format("{} {}", horn::ascii_name(note), horn::hand_label(hand));
}

std::string weakest_notes(const progress::Progress& seen) {
    struct Weak {
        const progress::CrookMap* map;
        const progress::NoteFigures* note;
        double missed;
    };
    std::vector<Weak> weak;
    for (const progress::CrookMap& map : seen.maps) {
        for (const progress::NoteFigures& note : map.notes) {
            const auto notes = static_cast<double>(note.figures.notes);
            const double missed = (1.0 - note.figures.right_share) * notes;
            if (note.figures.notes >= kFewestNotes && missed > 0.5) {
                weak.push_back({&map, &note, progress::cautious_share(missed, notes)});
            }
        }
    }
    std::stable_sort(
        weak.begin(), weak.end(), [](const Weak& a, const Weak& b) { return a.missed > b.missed; });
    weak.resize(std::min(weak.size(), kMostNotes));
    std::string out;
    for (const Weak& one : weak) {
        out += fmt::format("  {} on {}: {:.0f} % of {} in tune, median {:+.1f} cents\n",
                           note_text(one.note->written, one.note->hand),
                           one.map->crook,
                           100.0 * one.note->figures.right_share,
                           one.note->figures.notes,
                           one.note->figures.median_cents);
    }
    return out.empty() ? out : "Weakest notes\n" + out;
}

} // namespace

std::string report_text(const report::Report& report) {
    const progress::Progress& seen = report.progress;
    std::string out =
        report.days.first == report.days.last
            ? calendar::day_name(report.days.first)
            : calendar::day_name(report.days.first) + " to " + calendar::day_name(report.days.last);
    out += fmt::format("\n{} sessions, played {:.0f} min, rested {:.0f} min (advised: as long as "
                       "played)\n",
                       seen.time.sessions,
                       seen.time.playing_s / 60.0,
                       seen.time.rest_s / 60.0);
    if (seen.figures.notes > 0) {
        out += fmt::format("{} notes, {:.0f} % in tune, median {:+.1f} cents, spread {:.1f}\n",
                           seen.figures.notes,
                           100.0 * seen.figures.right_share,
                           seen.figures.median_cents,
                           seen.figures.spread_cents);
    }
    out += weakest_notes(seen);
    if (!seen.hardest.empty()) {
        out += "Hardest transitions\n";
        for (std::size_t i = 0; i < std::min(seen.hardest.size(), kMostNotes); ++i) {
            const progress::Transition& hard = seen.hardest[i];
            out += fmt::format("  {} to {} on {}: {:.0f} % of {} in tune\n",
                               note_text(hard.from, hard.from_hand),
                               note_text(hard.to, hard.to_hand),
                               hard.crook,
                               100.0 * hard.right_share,
                               hard.times);
        }
    }
    for (const progress::ExerciseFigures& exercise : seen.exercises) {
        out += fmt::format("{}: {}\n",
                           exercise.title.empty() ? exercise.id : exercise.title,
                           words::right_of(exercise.good, exercise.steps));
        for (const progress::FaultFigures& fault : exercise.faults) {
            out += fmt::format("  {}: {}, {} of {}\n",
                               note_text(fault.asked, fault.hand),
                               words::fault_kind(fault.fault),
                               fault.times,
                               fault.of);
        }
    }
    for (const std::string& caution : report.cautions) {
        out += caution + "\n";
    }
    return out;
}

} // namespace bellhand::cli
