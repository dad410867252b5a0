#include "drill/part_exercise.h"

#include "drill/plan.h"
#include "part/read/play_order.h"

#include <algorithm>
#include <charconv>
#include <cstdio>

namespace bellhand::drill {

namespace {

constexpr std::size_t kLongestName = 24; // of a part, in an id

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

/// "part-horn-in-e-flat-5f0c9a31-": the part's name, and what it holds in figures.
std::string id_of(const part::Part& part) {
    std::string id = "part-";
    for (const char c : part.head.name) {
        const bool keeps = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
        const bool large = c >= 'A' && c <= 'Z';
        if (keeps || large) {
            id += large ? static_cast<char>(c - 'A' + 'a') : c;
        } else if (id.back() != '-') {
            id += '-';
        }
        if (id.size() >= kLongestName) {
            break;
        }
    }
    std::uint32_t sum = 2166136261U; // FNV-1a (Fowler, Noll and Vo, 1991)
    const auto mix = [&sum](int value) {
        sum = (sum ^ static_cast<std::uint32_t>(value)) * 16777619U;
    };
    for (const part::Attack& attack : part.attacks) {
        mix(attack.at.bar);
        mix(attack.sounding.number);
        mix(attack.ticks);
    }
    for (const int bar : part.order) {
        mix(bar);
    }
    char figures[16];
    std::snprintf(figures, sizeof figures, "%s%08x-", id.back() == '-' ? "" : "-", sum);
    return id + figures;
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
        made_.exercise.purpose = "A part as it is written.";
        made_.exercise.family = "parts";
        std::int64_t bar_start = 0;
        for (const int bar : part_.order) {
            if (bar < first || bar > last) {
                continue;
            }
            begin_bar(bar);
            for (const std::size_t attack : by_bar_[static_cast<std::size_t>(bar)]) {
                add(attack, bar_start + part_.attacks[attack].at.tick);
            }
            bar_start += part_.music.bars[static_cast<std::size_t>(bar)].ticks;
            rest_until(bar_start);
            ++here_.bar;
        }
        // A rest belongs to the note after it.
        std::size_t next = made_.attack_of.empty() ? 0 : made_.attack_of.back();
        for (std::size_t i = made_.attack_of.size(); i-- > 0;) {
            next = made_.exercise.steps[i].written ? made_.attack_of[i] : next;
            made_.attack_of[i] = next;
        }
        return std::move(made_);
    }

private:
    void begin_bar(int bar) {
        const part::TimeChange time = part::time_at(part_.music, {bar, 0});
        here_.number = part_.music.bars[static_cast<std::size_t>(bar)].number;
        here_.metre = {time.beats_sum, time.beat_type};
        for (const part::CrookChange& change : part_.crooks) {
            if (change.from <= part::Place{bar, 0}) {
                here_.crook = change.crook.transposition;
            }
        }
        rest_waits_ =
            std::any_of(part_.music.notes.begin(), part_.music.notes.end(), [&](const auto& note) {
                return note.at.bar == bar && note.rest && note.fermata && !note.hidden;
            });
    }

    void add(std::size_t index, std::int64_t start) {
        const part::Attack& attack = part_.attacks[index];
        const auto& choice = plan_.notes[index].choice;
        if (!choice) {
            return; // a rest takes its place
        }
        if (attack.ticks > 0 && part_.tempo_said) {
            here_.quarters_per_minute = 60.0 * attack.ticks / (part::kQuarter * attack.length_s);
        }
        rest_until(start);
        here_.crook = part_.crooks[attack.crook].crook.transposition;
        Step step;
        step.written = attack.written;
        step.partial = choice->way.partial;
        step.hand = choice->way.hand;
        step.slurred = attack.slurred;
        step.dynamic = dynamic_of(attack.dynamic);
        const int strikes = strikes_of(attack);
        step.quarters = static_cast<double>(attack.ticks) / part::kQuarter / strikes;
        for (int i = 0; i < strikes; ++i) {
            put(step, index, attack.fermata && i + 1 == strikes);
            step.slurred = false;
        }
        now_ = std::max(now_, start + attack.ticks);
    }

    void rest_until(std::int64_t tick) {
        if (tick > now_) {
            Step rest;
            rest.quarters = static_cast<double>(tick - now_) / part::kQuarter;
            put(rest, 0, rest_waits_);
            now_ = tick;
        }
    }

    void put(Step step, std::size_t attack, bool fermata) {
        step.in_part = here_;
        step.in_part->fermata = fermata;
        made_.exercise.steps.push_back(std::move(step));
        made_.attack_of.push_back(attack);
    }

    const part::Part& part_;
    const part::Plan& plan_;
    std::vector<std::vector<std::size_t>> by_bar_;
    PartExercise made_;
    InPart here_;
    bool rest_waits_ = false; ///< a fermata stands on a rest of this bar
    std::int64_t now_ = 0;
};

bool whole_number(std::string_view text, int& number) {
    const auto read = std::from_chars(text.data(), text.data() + text.size(), number);
    return read.ec == std::errc() && read.ptr == text.data() + text.size();
}

} // namespace

Result<PartExercise>
exercise_of_part(const part::Part& part, const part::Plan& plan, int first, int last) {
    PartExercise made = Maker(part, plan).make(first, last);
    std::vector<Step>& steps = made.exercise.steps;
    const auto note = std::find_if(
        steps.begin(), steps.end(), [](const Step& step) { return step.written.has_value(); });
    if (note == steps.end()) {
        return usage_error("There is no note to play in these bars: choose others.");
    }
    if (steps.size() > 2 * part::kMostPlayedNotes) {
        return usage_error("More than 20000 notes are to be played here: choose fewer bars.");
    }
    const InPart begin = *note->in_part;
    for (auto rest = steps.begin(); rest != note; ++rest) {
        rest->in_part->quarters_per_minute = begin.quarters_per_minute;
    }
    const auto number = [&](int bar) {
        return part.music.bars[static_cast<std::size_t>(bar)].number;
    };
    const bool whole = first == 0 && last + 1 == static_cast<int>(part.music.bars.size());
    made.exercise.id = id_of(part) + std::to_string(first) + "-" + std::to_string(last);
    made.exercise.title =
        part.head.name + (whole           ? ""
                          : first == last ? ", bar " + number(first)
                                          : ", bars " + number(first) + " to " + number(last));
    made.crook = crook_at(begin.crook);
    made.exercise.crooks = {begin.crook};
    made.exercise.quarters_per_minute = begin.quarters_per_minute;
    made.exercise.metre = begin.metre;
    return made;
}

std::optional<PartBars> bars_of_id(const part::Part& part, std::string_view id) {
    const std::string mine = id_of(part);
    if (id.substr(0, mine.size()) != mine) {
        return std::nullopt;
    }
    const std::string_view bars = id.substr(mine.size());
    const std::size_t dash = bars.find('-');
    PartBars found;
    const bool read = dash != std::string_view::npos &&
                      whole_number(bars.substr(0, dash), found.first) &&
                      whole_number(bars.substr(dash + 1), found.last);
    const bool there = read && found.first >= 0 && found.first <= found.last &&
                       found.last < static_cast<int>(part.music.bars.size());
    return there ? std::optional(found) : std::nullopt;
}

std::optional<std::uint32_t>
step_of_bar(const part::Part& part, const PartBars& bars, const Exercise& exercise, int bar) {
    int played = 0; // bars before it
    for (const int now : part.order) {
        if (now == bar) {
            break;
        }
        played += now >= bars.first && now <= bars.last ? 1 : 0;
    }
    for (std::uint32_t step = 0; step < exercise.steps.size(); ++step) {
        if (exercise.steps[step].in_part && exercise.steps[step].in_part->bar == played) {
            return bar >= bars.first && bar <= bars.last ? std::optional(step) : std::nullopt;
        }
    }
    return std::nullopt;
}

} // namespace bellhand::drill
