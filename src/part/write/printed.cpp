#include "part/write/printed.h"

#include "engraving/values.h"
#include "part/write/printed_bars.h"
#include "part/write/printed_words.h"

#include <algorithm>
#include <map>

namespace bellhand::part {

namespace {

engraving::Value value_of(const Note& note) {
    if (note.value) {
        return {note.value->halvings, note.value->dots, note.value->actual, note.value->normal};
    }
    return engraving::value_of(note.ticks).value_or(engraving::Value{});
}

class Printer {
public:
    Printer(const Part& part, const Plan& plan, const PrintOptions& options)
        : part_(part), music_(part.music), plan_(plan), options_(options) {
        find_attacks();
        bars_ = printed_bars(part, !respelled_);
    }

    PrintedPart print() {
        engraving::Score& score = printed_.score;
        score.title = options_.title;
        score.name = part_.head.name;
        if (!part_.crooks.empty()) {
            score.crook = "Horn in " + std::string(part_.crooks.front().crook.label);
        }
        for (int bar = 0; bar < static_cast<int>(bars_.size());) {
            const int together = empty_from(bars_, music_, bar);
            add_bar(bar, together);
            const PrintedBar& begun = bars_[at(bar)];
            if (!begun.crook_due.empty()) {
                score.texts.push_back(
                    {now_, begun.due_tick, engraving::TextKind::crook, begun.crook_due});
            }
            bar += std::max(1, together);
        }
        if (!score.bars.empty()) {
            score.bars.back().last = !score.bars.back().repeat_ends;
        }
        score.tuplets = engraving::tuplets_of(score);
        add_clefs();
        add_hairpins();
        return std::move(printed_);
    }

private:
    static std::size_t at(int index) { return static_cast<std::size_t>(index); }

    void find_attacks() {
        for (std::size_t i = 0; i < part_.attacks.size(); ++i) {
            attack_of_[part_.attacks[i].note] = i;
            const int away =
                part_.attacks[i].written.number - music_.notes[part_.attacks[i].note].number;
            respelled_ = respelled_ || away % 12 != 0;
            away_ = respelled_ && away_ == 0 ? away : away_;
        }
    }

    void add_bar(int index, int together) {
        const Bar& from = music_.bars[at(index)];
        const Bar& to = music_.bars[at(index + std::max(0, together - 1))];
        engraving::Bar bar;
        bar.number = from.counted ? from.number : "";
        bar.ticks = from.ticks;
        bar.rests = together > 1 ? together : 0;
        bar.metre = bars_[at(index)].metre_change;
        bar.key = bars_[at(index)].key_change;
        if (bar.key && respelled_) {
            // Seven fifths for each semitone of transposition.
            bar.key = ((*bar.key + 7 * away_) % 12 + 18) % 12 - 6;
        }
        bar.repeat_begins = from.signs.repeat_begins;
        bar.repeat_ends = to.signs.repeat_ends;
        for (const int number : from.signs.ending_begins) {
            bar.ending += std::to_string(number) + ".";
        }
        bar.ending_ends = to.signs.ending_ends;
        now_ = static_cast<int>(printed_.score.bars.size());
        printed_.score.bars.push_back(std::move(bar));
        printed_.bar_of.push_back(index);
        if (together == 1) {
            add_whole_rest(index);
        } else if (together == 0) {
            add_notes(index);
        }
        const std::vector<engraving::Text> said = texts_of(music_, index, now_, together != 0);
        const std::vector<engraving::Text> ends = ends_of(to.signs, now_, said);
        for (const auto* const texts : {&said, &ends}) {
            printed_.score.texts.insert(printed_.score.texts.end(), texts->begin(), texts->end());
        }
    }

    void add_whole_rest(int index) {
        engraving::Event rest;
        rest.bar = now_;
        rest.ticks = music_.bars[at(index)].ticks;
        rest.value = {0, 0, 1, 1};
        rest.whole_bar = true;
        rest.fermata = fermata_in(music_, bars_[at(index)]);
        rest.step = kNoAttack;
        const bool full = rest.ticks == bars_[at(index)].metre.bar_ticks();
        if (!full) { // a pick-up is silent for no longer than it is
            rest.whole_bar = false;
            add_rests(index, 0, rest.ticks);
            return;
        }
        places_.push_back({index, 0});
        printed_.score.events.push_back(rest);
    }

    void add_notes(int index) {
        int done = 0;
        std::vector<std::size_t> rests = bars_[at(index)].rests;
        std::erase_if(rests, [this](std::size_t i) {
            return music_.notes[i].hidden || music_.notes[i].cue || music_.notes[i].whole_bar;
        });
        for (std::size_t k = 0; k < bars_[at(index)].heads.size(); ++k) {
            const Note& note = music_.notes[bars_[at(index)].heads[k]];
            if (!note.grace && note.at.tick > done) {
                // Grace notes stand after the rest before their note.
                add_gap(index, done, note.at.tick, rests);
            } else if (note.grace) {
                std::size_t main = k;
                while (main < bars_[at(index)].heads.size() &&
                       music_.notes[bars_[at(index)].heads[main]].grace) {
                    ++main;
                }
                if (note.at.tick > done) {
                    add_gap(index, done, note.at.tick, rests);
                    done = note.at.tick;
                }
            }
            add_head(index, bars_[at(index)].heads[k]);
            done = std::max(done, note.at.tick + note.ticks);
        }
        if (done < music_.bars[at(index)].ticks) {
            add_gap(index, done, music_.bars[at(index)].ticks, rests);
        }
    }

    /// Silence: the rests of the file that lie in it, and what the metre asks for between them.
    void add_gap(int index, int from, int to, const std::vector<std::size_t>& rests) {
        int done = from;
        for (const std::size_t i : rests) {
            const Note& rest = music_.notes[i];
            if (rest.at.tick < done || rest.at.tick + rest.ticks > to || rest.ticks <= 0 ||
                !rest.value) {
                continue;
            }
            add_rests(index, done, rest.at.tick);
            engraving::Event event;
            event.bar = now_;
            event.tick = rest.at.tick;
            event.ticks = rest.ticks;
            event.value = value_of(rest);
            event.fermata = rest.fermata;
            event.step = kNoAttack;
            places_.push_back(rest.at);
            printed_.score.events.push_back(event);
            done = rest.at.tick + rest.ticks;
        }
        add_rests(index, done, to);
    }

    void add_rests(int index, int from, int to) {
        const engraving::Metre& metre = bars_[at(index)].metre;
        const int before = lead(index);
        for (const engraving::Piece& piece :
             engraving::rest_pieces(from + before, to - from, metre)) {
            engraving::Event event;
            event.bar = now_;
            event.tick = piece.tick - before;
            event.ticks = engraving::ticks_of(piece.value);
            event.value = piece.value;
            event.step = kNoAttack;
            places_.push_back({index, event.tick});
            printed_.score.events.push_back(event);
        }
    }

    /// Where a pick-up begins in its metre.
    [[nodiscard]] int lead(int index) const {
        const int missing = bars_[at(index)].metre.bar_ticks() - music_.bars[at(index)].ticks;
        return index == 0 ? std::max(0, missing) : 0;
    }

    void add_head(int index, std::size_t number) {
        const Note& note = music_.notes[number];
        engraving::Event event;
        event.bar = now_;
        event.tick = note.at.tick;
        event.ticks = note.grace ? 0 : note.ticks;
        event.value = value_of(note);
        event.head = note.staff;
        event.grace = note.grace;
        event.cue = note.cue;
        event.tie = note.tie_begins;
        if (note.cue) {
            sounding_ = kNoAttack;
        } else if (!note.tie_ends || attack_of_.count(number) != 0) {
            const auto attack = attack_of_.find(number);
            sounding_ = attack != attack_of_.end() ? attack->second : kNoAttack;
            if (attack != attack_of_.end()) {
                signs_of(event, attack->second);
            }
        }
        event.step = sounding_;
        if (respelled_ && sounding_ != kNoAttack) {
            event.head = horn::staff_name(part_.attacks[sounding_].written);
        } else if (note.accidental) {
            event.accidental = note.accidental;
        }
        event.beam = beam_of(note);
        event.tremolo = note.tremolo;
        event.trill = note.trill;
        event.fermata = note.fermata;
        event.staccato = note.staccato;
        event.accent = note.accent;
        places_.push_back({index, note.at.tick});
        printed_.score.events.push_back(std::move(event));
        slurs_of(note);
    }

    void signs_of(engraving::Event& event, std::size_t attack) const {
        const auto& choice = plan_.notes[attack].choice;
        event.signs = choice ? horn::hand_sign(choice->way.hand) : "";
        if (choice && options_.partials) {
            event.partial = std::to_string(choice->way.partial);
        }
    }

    [[nodiscard]] engraving::Beam beam_of(const Note& note) const {
        if (note.beams.empty()) {
            return any_beams_ ? engraving::Beam::none : engraving::Beam::by_metre;
        }
        switch (note.beams.front()) {
        case Beam::begins:
            return engraving::Beam::begins;
        case Beam::goes_on:
            return engraving::Beam::goes_on;
        case Beam::ends:
            return engraving::Beam::ends;
        default:
            return engraving::Beam::none;
        }
    }

    void slurs_of(const Note& note) {
        const std::size_t here = printed_.score.events.size() - 1;
        for (const SpanEnd& end : note.slurs) {
            const auto open = open_.find(end.number);
            if (!end.starts && open != open_.end()) {
                printed_.score.slurs.push_back({open->second, here});
                open_.erase(open);
            }
        }
        for (const SpanEnd& end : note.slurs) {
            if (end.starts) {
                open_[end.number] = here;
            }
        }
    }

    [[nodiscard]] std::size_t event_at(Place place) const {
        return static_cast<std::size_t>(std::lower_bound(places_.begin(), places_.end(), place) -
                                        places_.begin());
    }

    void add_clefs() {
        if (respelled_) {
            return;
        }
        engraving::StaffClef now;
        for (const ClefChange& change : music_.clefs) {
            if (change.staff_of_part != 1) {
                continue;
            }
            const engraving::StaffClef clef{change.clef.sign == 'F' ? engraving::Clef::bass
                                                                    : engraving::Clef::treble,
                                            change.clef.octave_change};
            const std::size_t event = event_at(change.at);
            if (change.at == Place{0, 0}) {
                printed_.score.clef = clef;
            } else if (event < printed_.score.events.size()) {
                printed_.score.events[event].clef = clef;
            }
        }
        // A change that changes nothing is not printed.
        now = printed_.score.clef;
        for (engraving::Event& event : printed_.score.events) {
            if (event.clef && *event.clef == now) {
                event.clef.reset();
            }
            now = event.clef.value_or(now);
        }
    }

    /// The bar of the score that a bar of the music stands in.
    [[nodiscard]] int printed_bar(int bar) const {
        const auto after = std::upper_bound(printed_.bar_of.begin(), printed_.bar_of.end(), bar);
        return static_cast<int>(after - printed_.bar_of.begin()) - 1;
    }

    void add_hairpins() {
        for (const Hairpin& hairpin : music_.hairpins) {
            if (hairpin.to > hairpin.from && !bars_[at(hairpin.from.bar)].heads.empty()) {
                printed_.score.hairpins.push_back({printed_bar(hairpin.from.bar),
                                                   hairpin.from.tick,
                                                   printed_bar(hairpin.to.bar),
                                                   hairpin.to.tick,
                                                   hairpin.growing});
            }
        }
        part_swells();
    }

    /// Where a file lets one hairpin grow and another fade over the same notes, it means one after the other.
    void part_swells() {
        for (engraving::Hairpin& grows : printed_.score.hairpins) {
            for (engraving::Hairpin& fades : printed_.score.hairpins) {
                const bool same = grows.growing && !fades.growing && grows.bar == fades.bar &&
                                  grows.tick == fades.tick && grows.to_bar == fades.to_bar &&
                                  grows.to_tick == fades.to_tick;
                if (!same) {
                    continue;
                }
                const bool one_bar = grows.bar == grows.to_bar;
                grows.to_bar = fades.bar = (grows.bar + grows.to_bar + 1) / 2;
                grows.to_tick = fades.tick = one_bar ? (grows.tick + grows.to_tick) / 2 : 0;
            }
        }
    }

    const Part& part_;
    const Music& music_;
    const Plan& plan_;
    const PrintOptions& options_;
    std::vector<PrintedBar> bars_;
    std::map<std::size_t, std::size_t> attack_of_; ///< of heads
    std::size_t sounding_ = kNoAttack;
    bool respelled_ = false;
    int away_ = 0;                    ///< semitones from the file to what is printed
    std::map<int, std::size_t> open_; ///< slurs
    bool any_beams_ = std::any_of(part_.music.notes.begin(),
                                  part_.music.notes.end(),
                                  [](const Note& note) { return !note.beams.empty(); });
    std::vector<Place> places_; ///< of events
    int now_ = 0;               ///< bar of the score
    PrintedPart printed_;
};

} // namespace

PrintedPart printed_part(const Part& part, const Plan& plan, const PrintOptions& options) {
    return Printer(part, plan, options).print();
}

} // namespace bellhand::part
