#include "run/part_blocks.h"

#include "logbook/logbook.h"
#include "skill/focus.h"

#include <algorithm>
#include <utility>

namespace bellhand::run {

namespace {

constexpr std::size_t kWorstBars = 4;
constexpr std::size_t kNewestSessions = 40; // older faults are no longer the player's
constexpr int kDrillTimes = 4;
constexpr int kMostTimes = 50;
constexpr double kSlow = 3.0;           // of its length: so slowly may a part be played through
constexpr double kMore_s = 10.0 * 60.0; // and so long stopped at

std::string bar_number(const part::Part& part, int bar) {
    return part.music.bars[static_cast<std::size_t>(bar)].number;
}

void set_speed(drill::Exercise& exercise, double speed) {
    exercise.quarters_per_minute *= speed;
    for (drill::Step& step : exercise.steps) {
        step.in_part->quarters_per_minute *= speed;
    }
}

void add_block(
    PartBlocks& out, drill::PartExercise made, int times, double speed, std::string why) {
    skill::PlannedBlock block;
    block.crook = made.crook;
    block.exercise = std::move(made.exercise);
    block.exercise.repetitions = times;
    set_speed(block.exercise, speed);
    block.play_s = kSlow * times * skill::length_s(block.exercise) + kMore_s;
    block.why = std::move(why);
    out.blocks.push_back(std::move(block));
    out.attack_of.push_back(std::move(made.attack_of));
}

/// Adds what the log knows of one session.
Result<void> add_session(drill::BarResults& results,
                         const part::Part& part,
                         const part::Plan& plan,
                         logbook::Logbook& book,
                         std::int64_t session) {
    const auto blocks = book.blocks(session);
    const auto steps = book.steps(session);
    if (!blocks || !steps) {
        return tl::unexpected(blocks ? steps.error() : blocks.error());
    }
    for (const logbook::BlockRecord& block : *blocks) {
        const auto bars = drill::bars_of_id(part, block.exercise);
        const auto made =
            bars ? drill::exercise_of_part(part, plan, bars->first, bars->last) : usage_error("");
        for (std::size_t i = 0; made && i < steps->size(); ++i) {
            if ((*steps)[i].block == block.id) {
                drill::add_result(results, part, *made, (*steps)[i].judgement);
            }
        }
    }
    return {};
}

} // namespace

Result<PartBlocks>
part_blocks(const part::Part& part, const part::Plan& plan, const PartStretch& stretch) {
    const drill::PartBars& bars = stretch.bars;
    auto made = drill::exercise_of_part(part, plan, bars.first, bars.last);
    if (!made) {
        return tl::unexpected(made.error());
    }
    std::optional<std::uint32_t> start;
    if (stretch.from) {
        start = drill::step_of_bar(part, bars, made->exercise, *stretch.from);
        if (!start) {
            return usage_error("Bar " + bar_number(part, *stretch.from) +
                               " is not among those that are played: choose another.");
        }
    }
    const double once_s = std::max(skill::length_s(made->exercise) / stretch.speed, 1.0);
    const int fitting = static_cast<int>(skill::kLongestBlockMinutes * 60.0 / once_s);
    PartBlocks out;
    add_block(out,
              std::move(*made),
              stretch.loop ? std::clamp(fitting, 2, kMostTimes) : 1,
              stretch.speed,
              stretch.loop ? "Round and round; the best time through is kept."
                           : "The part as it is written.");
    out.blocks.back().start_step = start;
    return out;
}

Result<drill::BarResults>
part_results(const part::Part& part, const part::Plan& plan, logbook::Logbook& book) {
    const auto sessions = book.sessions();
    if (!sessions) {
        return tl::unexpected(sessions.error());
    }
    drill::BarResults results;
    for (std::size_t i = 0; i < std::min(sessions->size(), kNewestSessions); ++i) {
        if (auto added = add_session(results, part, plan, book, (*sessions)[i].id); !added) {
            return tl::unexpected(added.error());
        }
    }
    return results;
}

Result<PartBlocks> worst_blocks(const part::Part& part,
                                const part::Plan& plan,
                                const drill::BarResults& results,
                                double speed) {
    const std::vector<drill::BarResult> worst = drill::worst_bars(results, kWorstBars);
    if (worst.empty()) {
        return usage_error("The log has no worst bars of this part yet: play it through first.");
    }
    PartBlocks out;
    for (const drill::PartBars& bars : drill::stretches_of(worst)) {
        auto made = drill::exercise_of_part(part, plan, bars.first, bars.last);
        if (!made) {
            return tl::unexpected(made.error());
        }
        std::string why;
        for (const drill::BarResult& bar : worst) {
            if (bar.bar >= bars.first && bar.bar <= bars.last) {
                why += (why.empty() ? "Bar " : "; bar ") + bar_number(part, bar.bar) + ": " +
                       std::to_string(bar.faulty) + " of " + std::to_string(bar.judged) +
                       " notes went wrong";
            }
        }
        add_block(out, std::move(*made), kDrillTimes, speed, why + ".");
    }
    return out;
}

} // namespace bellhand::run
