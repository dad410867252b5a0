#include "drill/part_exercise.h"

#include "part/read/play_order.h"

#include <algorithm>

namespace bellhand::drill {

namespace {

Dynamic dynamic_of(part::Dynamic dynamic) {
    return static_cast<Dynamic>(dynamic); // the same words in the same order
}

/// How many notes a tremolo is, by the strokes through its stem; quicker ones than sixteenths count as one held note.
int strikes_of(const part::Attack& attack) {
    if (attack.tremolo < 1 || attack.tremolo > 2) {
        return 1;
    }
    return std::max(1, attack.ticks / (part::kQuarter >> attack.tremolo));
}

class Maker {
public:
    Maker(const part::Part& part, const part::Plan& plan) : part_(part), plan_(plan) {
        by_bar_.resize(part.music.bars.size());
        for (std::size_t i = 0; i < part.attacks.size(); ++i) {
            by_bar_[static_cast<std::size_t>(part.attacks[i].at.bar)].push_back(i);
        }
    }

    PartExercise make(int first, int last) {
        made_.exercise.id = "part";
        made_.exercise.title = part_.head.name;
        made_.exercise.purpose = "A part as it is written.";
        made_.exercise.family = "parts";
        std::int64_t bar_start = 0;
        for (const int bar : part_.order) {
            if (bar < first || bar > last) {
                continue;
            }
            for (const std::size_t attack : by_bar_[static_cast<std::size_t>(bar)]) {
                add(attack, bar_start + part_.attacks[attack].at.tick);
            }
            bar_start += part_.music.bars[static_cast<std::size_t>(bar)].ticks;
            ++bars_;
        }
        return std::move(made_);
    }

private:
    void add(std::size_t index, std::int64_t start) {
        const part::Attack& attack = part_.attacks[index];
        const auto& choice = plan_.notes[index].choice;
        if (!choice) {
            return; // the silence before the next note is longer by it
        }
        if (start > now_) {
            Step rest;
            rest.quarters = static_cast<double>(start - now_) / part::kQuarter;
            put(rest, index);
        }
        Step step;
        step.written = attack.written;
        step.partial = choice->way.partial;
        step.hand = choice->way.hand;
        step.slurred = attack.slurred;
        step.dynamic = dynamic_of(attack.dynamic);
        const int strikes = strikes_of(attack);
        step.quarters = static_cast<double>(attack.ticks) / part::kQuarter / strikes;
        for (int i = 0; i < strikes; ++i) {
            put(step, index);
            step.slurred = false;
        }
        now_ = std::max(now_, start + attack.ticks);
    }

    void put(Step step, std::size_t attack) {
        step.bar = bars_;
        made_.exercise.steps.push_back(std::move(step));
        made_.attack_of.push_back(attack);
    }

    const part::Part& part_;
    const part::Plan& plan_;
    std::vector<std::vector<std::size_t>> by_bar_;
    PartExercise made_;
    std::int64_t now_ = 0;
    int bars_ = 0; ///< played before this one
};

} // namespace

Result<PartExercise>
exercise_of_part(const part::Part& part, const part::Plan& plan, int first, int last) {
    std::optional<std::size_t> crook;
    for (const part::Attack& attack : part.attacks) {
        if (attack.at.bar < first || attack.at.bar > last) {
            continue;
        }
        if (crook && *crook != attack.crook) {
            return usage_error("The crook changes to " +
                               std::string(part.crooks[attack.crook].crook.label) + " in bar " +
                               part.music.bars[static_cast<std::size_t>(attack.at.bar)].number +
                               ": choose bars with one crook.");
        }
        crook = attack.crook;
    }
    PartExercise made = Maker(part, plan).make(first, last);
    if (!crook || made.exercise.steps.empty()) {
        return usage_error("There is no note to play in these bars: choose others.");
    }
    if (made.exercise.steps.size() > 2 * part::kMostPlayedNotes) {
        return usage_error("More than 20000 notes are to be played here: choose fewer bars.");
    }
    made.crook = part.crooks[*crook].crook;
    made.exercise.crooks = {made.crook.transposition};
    if (part.tempo_said) {
        // Of the first note's length in seconds and ticks, whatever the metre.
        for (const part::Attack& attack : part.attacks) {
            if (attack.at.bar >= first && attack.at.bar <= last && attack.ticks > 0) {
                made.exercise.quarters_per_minute =
                    60.0 * attack.ticks / (part::kQuarter * attack.length_s);
                break;
            }
        }
    }
    const part::TimeChange time = part::time_at(part.music, {first, 0});
    made.exercise.quarters_in_bar = std::clamp(4 * time.beats_sum / time.beat_type, 1, 16);
    return made;
}

} // namespace bellhand::drill
