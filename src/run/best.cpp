// A stretch of a part that goes round: its best time through is kept.
#include "run/part_run.h"
#include "run/run_inside.h"

#include <algorithm>

namespace bellhand::run {

namespace {

constexpr double kWhole = 0.9;    // of its notes played: else it was broken off
constexpr double kAround_s = 0.5; // of sound before and behind

struct Through {
    int played = 0;
    int good = 0;
    double from_s = 0.0;
    double to_s = 0.0;
};

Through through(const std::vector<drill::Judgement>& judgements, std::uint32_t pass) {
    Through sum;
    for (const drill::Judgement& judged : judgements) {
        if (judged.pass != pass || !judged.played || judged.extra) {
            continue;
        }
        sum.from_s =
            sum.played == 0 ? judged.note.start_s : std::min(sum.from_s, judged.note.start_s);
        sum.to_s = std::max(sum.to_s, judged.note.start_s + judged.note.duration_s);
        ++sum.played;
        sum.good += judged.good() ? 1 : 0;
    }
    return sum;
}

} // namespace

void Run::Inside::keep_best() {
    if (!is_part(block().exercise) || block().exercise.repetitions < 2) {
        return;
    }
    const bool over = state.where.phase == drill::Phase::finished;
    // The last notes of a time through are judged while the next one has begun.
    const bool settled = !judgements.empty() && judgements.back().pass > best.passes;
    if (!over && !settled) {
        return;
    }
    const Through now = through(judgements, best.passes);
    ++best.passes;
    const auto notes = static_cast<double>(state.asked->size());
    if (now.played < kWhole * notes || now.good <= best.good) {
        return;
    }
    best.good = now.good;
    TakeWish wish;
    wish.kind = TakeWish::Kind::keep;
    wish.from_s = std::max(0.0, now.from_s - kAround_s);
    wish.to_s = now.to_s + kAround_s;
    wish.block = record.number;
    wish.why = "best of " + block().exercise.title + ", " + std::to_string(now.good) + " of " +
               std::to_string(state.asked->size()) + " good";
    wish.kept = true;
    takes.push_back(std::move(wish));
}

} // namespace bellhand::run
