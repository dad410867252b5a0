#include "desk/model/exercise_page.h"

#include "desk/model/phrases.h"
#include "engraving/values.h"

#include <algorithm>
#include <cmath>

namespace bellhand::desk {

namespace {

using engraving::kQuarter;

constexpr int kBackToTreble = 60; // a line in the bass clef stays there up to written C4
constexpr int kLastTreble = 55;
constexpr std::size_t kNotesIntoNext = 2;

engraving::Clef clef_for(horn::Note note, engraving::Clef before) {
    if (before == engraving::Clef::bass) {
        return note.number > kBackToTreble ? engraving::Clef::treble : engraving::Clef::bass;
    }
    return note.number >= kLastTreble ? engraving::Clef::treble : engraving::Clef::bass;
}

const char* remark_of(const drill::Step& step) {
    switch (step.manner) {
    case drill::Manner::lip_trill:
        return "lip trill";
    case drill::Manner::hand_trill:
        return "hand trill";
    case drill::Manner::slow_closing:
        return "close slowly";
    default:
        return step.hand_first ? "hand first" : "";
    }
}

const char* dynamic_words(drill::Dynamic dynamic) {
    static constexpr const char* kWords[] = {"", "pp", "p", "mp", "mf", "f", "ff"};
    return kWords[static_cast<int>(dynamic)];
}

class Writer {
public:
    explicit Writer(const drill::Exercise& exercise)
        : exercise_(exercise),
          metre_{exercise.metre.beats,
                 exercise.metre.beat_type,
                 std::to_string(exercise.metre.beats),
                 false} {}

    engraving::Score write() {
        for (std::size_t i = 0; i < exercise_.steps.size(); ++i) {
            now_ = i;
            write_step(exercise_.steps[i]);
        }
        end_bar();
        if (!score_.bars.empty()) {
            score_.bars.back().last = !score_.bars.back().open;
        }
        score_.tuplets = engraving::tuplets_of(score_);
        end_slur();
        begin_in_clef();
        return std::move(score_);
    }

private:
    void begin_bar(bool free) {
        engraving::Bar bar;
        bar.ticks = metre_.bar_ticks();
        bar.open = free;
        if (!free && !metre_said_) {
            bar.metre = metre_;
            metre_said_ = true;
        }
        score_.bars.push_back(bar);
        tick_ = 0;
        in_bar_ = true;
    }

    void end_bar() {
        if (in_bar_ && !score_.bars.back().open) {
            score_.bars.back().ticks = std::max(1, tick_);
        }
        in_bar_ = false;
    }

    void write_step(const drill::Step& step) {
        int left = static_cast<int>(std::lround(step.quarters * kQuarter));
        const std::size_t first = score_.events.size();
        if (left <= 0) {
            end_bar();
            begin_bar(true);
            put(step, 0, {0, 0, 1, 1});
            end_bar();
        }
        while (left > 0) {
            if (!in_bar_) {
                begin_bar(false);
            }
            const int here = std::min(left, metre_.bar_ticks() - tick_);
            write_in_bar(step, here);
            left -= here;
            if (tick_ >= metre_.bar_ticks()) {
                end_bar();
            }
        }
        if (first < score_.events.size()) {
            write_marks(step, first);
        }
    }

    void write_in_bar(const drill::Step& step, int ticks) {
        if (!step.written && ticks == metre_.bar_ticks()) {
            put(step, ticks, {0, 0, 1, 1});
            score_.events.back().whole_bar = true;
            tick_ += ticks;
            return;
        }
        const auto pieces = step.written ? engraving::note_pieces(tick_, ticks, metre_)
                                         : engraving::rest_pieces(tick_, ticks, metre_);
        const int end = tick_ + ticks;
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            const int next = i + 1 < pieces.size() ? pieces[i + 1].tick : end;
            put(step, next - pieces[i].tick, pieces[i].value);
            tick_ = next;
        }
    }

    void put(const drill::Step& step, int ticks, const engraving::Value& value) {
        engraving::Event event;
        event.bar = static_cast<int>(score_.bars.size()) - 1;
        event.tick = tick_;
        event.ticks = ticks;
        event.value = value;
        event.step = now_;
        if (step.written) {
            event.head = horn::staff_name(*step.written);
            const engraving::Clef clef = clef_for(*step.written, clef_);
            if (clef != clef_) {
                event.clef = engraving::StaffClef{clef, 0};
                clef_ = clef;
            }
        }
        // Pieces of one note are tied.
        if (step.written && !score_.events.empty() && score_.events.back().step == now_) {
            score_.events.back().tie = true;
        }
        score_.events.push_back(std::move(event));
    }

    void write_marks(const drill::Step& step, std::size_t first) {
        engraving::Event& event = score_.events[first];
        if (step.written) {
            event.signs = step.manner == drill::Manner::slow_closing ? "o+" : step_hand_signs(step);
            event.remark = remark_of(step);
        }
        if (step.dynamic != drill::Dynamic::as_before) {
            score_.texts.push_back(
                {event.bar, event.tick, engraving::TextKind::dynamic, dynamic_words(step.dynamic)});
        }
        write_hairpin(step, event);
        if (step.written && step.slurred && first > 0) {
            slur_to_ = first;
        } else {
            end_slur();
            slur_from_ = first;
        }
    }

    void end_slur() {
        if (slur_to_ > slur_from_ && slur_to_ < score_.events.size() &&
            score_.events[slur_from_].head) {
            score_.slurs.push_back({slur_from_, slur_to_});
        }
        slur_to_ = 0;
    }

    void write_hairpin(const drill::Step& step, const engraving::Event& from) {
        if (step.hairpin == drill::Hairpin::none) {
            return;
        }
        const engraving::Event& last = score_.events.back();
        const int bar_ticks = score_.bars[static_cast<std::size_t>(last.bar)].ticks;
        const int end = last.ticks > 0 ? last.tick + last.ticks : bar_ticks;
        const auto add = [this](int bar, int tick, int to_bar, int to_tick, bool growing) {
            score_.hairpins.push_back({bar, tick, to_bar, to_tick, growing});
        };
        if (step.hairpin != drill::Hairpin::growing_and_fading) {
            add(from.bar, from.tick, last.bar, end, step.hairpin == drill::Hairpin::growing);
            return;
        }
        // The turn lies half-way through the note.
        const int whole = (last.bar - from.bar) * metre_.bar_ticks() + end - from.tick;
        const int half = from.tick + whole / 2;
        const int bar = from.bar + half / metre_.bar_ticks();
        const int tick = half % metre_.bar_ticks();
        add(from.bar, from.tick, bar, tick, true);
        add(bar, tick, last.bar, end, false);
    }

    /// The clef of the first note stands at the beginning, also before rests.
    void begin_in_clef() {
        for (engraving::Event& event : score_.events) {
            if (event.head) {
                score_.clef = event.clef.value_or(score_.clef);
                event.clef.reset();
                return;
            }
        }
    }

    const drill::Exercise& exercise_;
    engraving::Metre metre_;
    engraving::Score score_;
    engraving::Clef clef_ = engraving::Clef::treble;
    std::size_t now_ = 0; ///< step
    int tick_ = 0;        ///< in its bar
    bool in_bar_ = false;
    bool metre_said_ = false;
    std::size_t slur_from_ = 0;
    std::size_t slur_to_ = 0;
};

} // namespace

engraving::Score exercise_score(const drill::Exercise& exercise) {
    return Writer(exercise).write();
}

std::string step_hand_signs(const drill::Step& step) {
    if (!step.written) {
        return {};
    }
    return step.hand ? horn::hand_sign(*step.hand) : hand_signs(*step.written);
}

std::string step_hand_words(const drill::Step& step) {
    if (!step.written) {
        return {};
    }
    return step.hand ? horn::hand_label(*step.hand) : hand_words(*step.written);
}

std::uint64_t page_key(const drill::Exercise& exercise) noexcept {
    // Fowler, Noll and Vo, as draft-eastlake-fnv has it.
    std::uint64_t key = 14695981039346656037ULL;
    const auto add = [&key](double value) {
        key = (key ^ static_cast<std::uint64_t>(std::llround(1000.0 * value))) * 1099511628211ULL;
    };
    add(exercise.metre.quarters());
    add(exercise.metre.beat_type);
    for (const drill::Step& step : exercise.steps) {
        add(step.written ? 10.0 * step.written->number + step.written->sharps : -1.0);
        add(step.hand ? static_cast<double>(*step.hand) : -1.0);
        add(step.quarters);
        add((step.slurred ? 1.0 : 0.0) + (step.hand_first ? 2.0 : 0.0));
        add(100.0 * static_cast<double>(step.dynamic) + 10.0 * static_cast<double>(step.hairpin) +
            static_cast<double>(step.manner));
    }
    return key;
}

ShownSystems shown_systems(const engraving::Layout& layout,
                           const engraving::Score& score,
                           std::uint32_t step) noexcept {
    const int systems = static_cast<int>(layout.systems.size());
    if (systems < 2) {
        return {0, -1};
    }
    for (int system = 0; system < systems; ++system) {
        std::size_t begun = 0; // notes of this system up to the present one
        for (const engraving::Slot& slot : layout.systems[static_cast<std::size_t>(system)].slots) {
            ++begun;
            if (score.events[slot.event].step != step) {
                continue;
            }
            const int other = begun > kNotesIntoNext || system == 0 ? system + 1 : system - 1;
            const int beside = other < systems ? other : system - 1;
            return system % 2 == 0 ? ShownSystems{system, beside} : ShownSystems{beside, system};
        }
    }
    return {0, 1};
}

} // namespace bellhand::desk
