#include "support/performance.h"

#include "audio/exact_math.h"
#include "core/cents.h"
#include "horn/compass.h"
#include "horn/hand_chart.h"

#include <algorithm>
#include <cmath>

namespace bellhand::test {

namespace {

using audio::exact::Random;
using drill::Asked;
using drill::Fault;
using drill::Manner;

constexpr double kTongue_s = 0.06; // of silence before a tongued note
constexpr double kLevel_dbfs = -21.0;
constexpr double kOnePitch_cents = 60.0; // a slip may land here: slurred it would be one note

class Player {
public:
    Player(const drill::Exercise& exercise, const PlayerScript& script)
        : exercise_(exercise), script_(script), random_(script.seed) {
        out_.tuning = script.tuning;
        drill::PlanSettings settings;
        settings.tuning = script.tuning;
        out_.plan = drill::plan_of(exercise, settings);
        quarter_s_ = exercise.quarters_per_minute > 0.0 ? 60.0 / exercise.quarters_per_minute
                                                        : script.quarter_s;
        now_s_ = script.first_s;
    }

    Performance play() {
        for (int pass = 0; pass < script_.passes; ++pass) {
            play_through();
        }
        out_.end_s = now_s_;
        return std::move(out_);
    }

private:
    bool happens(double share) { return share > 0.0 && random_.uniform() < share; }
    int between(int low, int high) {
        return low + static_cast<int>(random_.uniform() * (high - low + 1));
    }

    void play_through() {
        const std::size_t n = out_.plan.size();
        rest_after_the_end();
        const std::size_t most = out_.notes.size() + 4 * n + 40; // a nervous player must end too
        for (std::size_t at = 0; at < n;) {
            const Slips& slips = script_.slips;
            const bool may_go_back = at > 0 && out_.notes.size() < most;
            if (happens(slips.pause)) {
                now_s_ += 1.0 + 5.0 * random_.uniform();
            }
            if (may_go_back && happens(slips.again)) {
                at -= std::min<std::size_t>(at, static_cast<std::size_t>(between(1, 4)));
                hesitate();
            } else if (may_go_back && happens(slips.bar_again)) {
                at = bar_before(at, between(0, 1));
                hesitate();
            } else if (may_go_back && happens(slips.beginning)) {
                at = 0;
                hesitate();
            } else if (happens(slips.left_out)) {
                const auto many = static_cast<std::size_t>(between(1, 3));
                for (std::size_t i = 0; i < many && at < n; ++i, ++at) {
                    out_.left_out.push_back(static_cast<std::uint32_t>(at));
                }
                continue;
            }
            if (happens(slips.extra)) {
                play_extra(at);
            }
            rest_before(at);
            if (!play_step(at) && happens(slips.try_again)) {
                hesitate();
                play_step(at);
            }
            ++at;
        }
    }

    void hesitate() { now_s_ += happens(0.5) ? 0.2 + 1.5 * random_.uniform() : 0.0; }

    std::size_t bar_before(std::size_t at, int more) const {
        std::size_t bar = at - 1;
        while (bar > 0 && (!out_.plan[bar].bar_begins || more-- > 0)) {
            --bar;
        }
        return bar;
    }

    /// Rests behind the last note belong to the repetition that it ends.
    void rest_after_the_end() {
        if (out_.notes.empty()) {
            return;
        }
        double quarters = 0.0;
        for (auto step = exercise_.steps.rbegin(); step != exercise_.steps.rend() && !step->written;
             ++step) {
            quarters += step->quarters;
        }
        now_s_ += quarters * quarter_s_;
    }

    void rest_before(std::size_t at) {
        if (at > 0 && !out_.notes.empty() && out_.notes.back().asked == at - 1) {
            const Asked& last = out_.plan[at - 1];
            const double rest = out_.plan[at].at_quarters - last.at_quarters - last.quarters;
            now_s_ += std::max(0.0, rest) * quarter_s_;
        }
    }

    PerformedNote plain(std::size_t at) {
        const Asked& asked = out_.plan[at];
        PerformedNote note;
        note.asked = static_cast<std::uint32_t>(at);
        note.step = asked.step;
        note.closure = horn::closure_of(asked.hand_to);
        const double sd =
            script_.open_cents + (script_.stopped_cents - script_.open_cents) * note.closure;
        const double most = script_.most_of_tolerance * asked.tolerance_cents;
        const double cents = std::clamp(sd * random_.normal(), -most, most);
        note.f0_hz = asked.target_hz * std::exp2(cents / 1200.0);
        note.attack_cents = asked.slurred ? 0.0 : std::clamp(8.0 * random_.normal(), -20.0, 20.0);
        note.level_dbfs = kLevel_dbfs + std::clamp(random_.normal(), -1.5, 1.5);
        note.swell_db = asked.hairpin == drill::Hairpin::none ? 0.0 : 9.0;
        note.duration_s = asked.quarters > 0.0 ? asked.quarters * quarter_s_ : script_.free_s;
        note.slurred = asked.slurred && !out_.notes.empty() &&
                       now_s_ - out_.notes.back().start_s - out_.notes.back().duration_s < 0.01;
        return note;
    }

    /// `slot_s`: what the note takes in time; a note that is too short leaves silence behind it.
    void put(PerformedNote note, double slot_s = 0.0) {
        const double step_s = note.duration_s;
        const double begun_s = now_s_;
        if (note.slurred &&
            std::fabs(cents_between(note.f0_hz, out_.notes.back().f0_hz)) < kOnePitch_cents) {
            note.slurred = false;
        }
        note.start_s = now_s_ + (note.slurred ? 0.0 : kTongue_s);
        note.duration_s = std::max(0.08, step_s - (note.start_s - now_s_));
        now_s_ = std::max(note.start_s + note.duration_s, begun_s + slot_s);
        out_.notes.push_back(std::move(note));
    }

    /// False: another note sounded.
    bool play_step(std::size_t at) {
        const Asked& asked = out_.plan[at];
        PerformedNote note = plain(at);
        const double slot_s = note.duration_s;
        const Slips& slips = script_.slips;
        if (asked.manner == Manner::plain) {
            if (happens(slips.neighbour)) {
                miss_partial(asked, between(0, 1) == 0 ? 1 : -1, note);
            } else if (happens(slips.octave)) {
                miss_octave(asked, note);
            } else if (happens(slips.other_note)) {
                miss_note(asked, note);
            }
        }
        for (const Weakness& weakness : script_.weaknesses) {
            if (note.right && fits(weakness, asked) && happens(weakness.share)) {
                if (weakness.fault == Fault::missed) {
                    out_.left_out.push_back(static_cast<std::uint32_t>(at));
                    return true;
                }
                put_in(weakness, asked, note);
            }
        }
        const bool right = note.right;
        put(std::move(note), slot_s);
        return right;
    }

    static bool fits(const Weakness& weakness, const Asked& asked) {
        return (!weakness.written || *weakness.written == asked.written.number) &&
               (!weakness.hand || *weakness.hand == asked.hand) &&
               (!weakness.partial || *weakness.partial == asked.partial) &&
               (!weakness.step || *weakness.step == asked.step);
    }

    void set_hz(PerformedNote& note, double hz, Fault fault) {
        note.f0_hz = hz * std::exp2(4.0 * random_.normal() / 1200.0);
        note.right = false;
        note.faults.push_back(fault);
    }

    /// Another partial under the same hand: the nearest in that direction, else in the other.
    void miss_partial(const Asked& asked, int direction, PerformedNote& note) {
        double best_hz = 0.0;
        double best = 1e9;
        for (const double hz : asked.other_partials_hz) {
            const double cents = cents_between(hz, asked.target_hz);
            const double away = std::fabs(cents) + (cents * direction > 0.0 ? 0.0 : 1000.0);
            if (std::fabs(cents) > 90.0 && away < best) {
                best = away;
                best_hz = hz;
            }
        }
        if (best_hz > 0.0) {
            set_hz(note, best_hz, Fault::wrong_partial);
        }
    }

    void miss_octave(const Asked& asked, PerformedNote& note) {
        const bool up = asked.partial <= 5 || (asked.partial <= 10 && between(0, 1) == 0);
        set_hz(note, asked.target_hz * (up ? 2.0 : 0.5), Fault::wrong_partial);
    }

    void miss_note(const Asked& asked, PerformedNote& note) {
        const int steps = between(1, 7) * (between(0, 1) == 0 ? 1 : -1);
        set_hz(note, asked.target_hz * std::exp2(steps / 12.0), Fault::wrong_note);
    }

    void play_extra(std::size_t at) {
        const auto chart = horn::hand_chart();
        const int here = out_.plan[at].written.number;
        const int before = at > 0 ? out_.plan[at - 1].written.number : here;
        int number = here;
        while (number == here || number == before) {
            number = std::clamp(
                here + between(-9, 9), chart[1].written.number, chart.back().written.number);
        }
        PerformedNote note = plain(at);
        note.step.reset();
        note.right = false;
        note.slurred = false;
        note.duration_s *= 0.5 + 0.5 * random_.uniform();
        note.f0_hz = horn::target_hz(horn::usual_spelling(number), script_.tuning) *
                     std::exp2(5.0 * random_.normal() / 1200.0);
        put(std::move(note));
    }

    void bend(PerformedNote& note, const Asked& asked, double sign, std::optional<double> amount) {
        const double cents = amount.value_or(asked.tolerance_cents + 8.0);
        note.f0_hz = asked.target_hz * std::exp2(sign * cents / 1200.0);
    }

    void put_in(const Weakness& weakness, const Asked& asked, PerformedNote& note) {
        const std::optional<double>& amount = weakness.amount;
        const double written_s = asked.quarters * quarter_s_;
        switch (weakness.fault) {
        case Fault::wrong_partial:
            miss_partial(asked, between(0, 1) == 0 ? 1 : -1, note);
            return;
        case Fault::wrong_note:
            miss_note(asked, note);
            return;
        case Fault::wrong_hand:
            if (asked.other_hands_hz.empty()) {
                return;
            }
            set_hz(note, asked.other_hands_hz.back(), Fault::wrong_hand);
            return;
        case Fault::flat:
            bend(note, asked, -1.0, amount);
            break;
        case Fault::sharp:
            bend(note, asked, 1.0, amount);
            break;
        case Fault::attack_flat:
            note.attack_cents = -amount.value_or(90.0);
            break;
        case Fault::attack_sharp:
            note.attack_cents = amount.value_or(90.0);
            break;
        case Fault::too_loud:
            note.level_dbfs += amount.value_or(9.0);
            break;
        case Fault::too_soft:
            note.level_dbfs -= amount.value_or(9.0);
            break;
        case Fault::unsteady:
            note.wobble_cents = amount.value_or(20.0);
            break;
        case Fault::early:
            now_s_ -= std::min(amount.value_or(0.15), 0.4 * written_s);
            break;
        case Fault::late:
            now_s_ += amount.value_or(0.20);
            break;
        case Fault::too_short:
            note.duration_s = std::min(note.duration_s, 0.35 * written_s);
            break;
        case Fault::too_long:
            note.duration_s = 1.8 * written_s;
            break;
        case Fault::hairpin:
            note.swell_db = 0.0;
            break;
        case Fault::missed:
        case Fault::uneven_colour:
        case Fault::manner:
            return;
        }
        note.faults.push_back(weakness.fault);
    }

    const drill::Exercise& exercise_;
    const PlayerScript& script_;
    Random random_;
    Performance out_;
    double quarter_s_ = 0.6;
    double now_s_ = 0.0;
};

} // namespace

Performance perform(const drill::Exercise& exercise, const PlayerScript& script) {
    return Player(exercise, script).play();
}

std::vector<trainer::PlayedNote> notes_of(const Performance& performance, std::uint64_t seed) {
    Random random(seed);
    std::vector<trainer::PlayedNote> notes;
    for (const PerformedNote& played : performance.notes) {
        trainer::PlayedNote note;
        note.index = static_cast<std::uint32_t>(notes.size());
        note.f0_hz = played.f0_hz * std::exp2(0.3 * random.normal() / 1200.0);
        const auto reading = horn::read_pitch(note.f0_hz, performance.tuning);
        if (!reading) {
            continue; // outside everything a horn plays: no note
        }
        note.start_s = played.start_s + 0.008 * random.normal();
        note.duration_s = std::max(0.06, played.duration_s + 0.020 * random.normal());
        note.written = reading->written;
        note.partial = reading->partial;
        note.hand = reading->hand;
        note.target_hz = reading->target_hz;
        note.deviation_cents = reading->deviation_cents;
        note.attack_cents = note.deviation_cents + 0.6 * played.attack_cents;
        note.spread_cents = 1.5 + 0.75 * played.wobble_cents;
        note.level_dbfs = played.level_dbfs;
        note.finished = true;
        notes.push_back(note);
    }
    return notes;
}

drill::Exercise random_melody(const horn::Crook& crook, int notes, std::uint64_t seed) {
    Random random(seed);
    const horn::Compass compass = horn::usual_compass(crook);
    std::vector<horn::Note> ladder; // written C4 and up, chromatic, as far as the crook goes
    for (const horn::ChartEntry& entry : horn::hand_chart()) {
        const int partial = entry.usual().partial;
        if (entry.written.number >= 60 && partial >= compass.lowest_partial &&
            partial <= compass.highest_partial) {
            ladder.push_back(entry.written);
        }
    }
    drill::Exercise exercise;
    exercise.id = "random";
    exercise.title = "Random melody";
    exercise.quarters_per_minute = 60.0 + 60.0 * random.uniform();
    int at = static_cast<int>(ladder.size() / 2);
    for (int i = 0; i < notes; ++i) {
        const double chance = random.uniform();
        const int leap = chance < 0.1    ? 0
                         : chance < 0.75 ? 1 + static_cast<int>(2.0 * random.uniform())
                                         : 3 + static_cast<int>(6.0 * random.uniform());
        const int to = at + (random.uniform() < 0.5 ? -leap : leap);
        at = std::clamp(to, 0, static_cast<int>(ladder.size()) - 1);
        drill::Step step;
        step.written = ladder[static_cast<std::size_t>(at)];
        const double length = random.uniform();
        step.quarters = length < 0.4 ? 0.5 : length < 0.8 ? 1.0 : 2.0;
        const bool moves = i > 0 && exercise.steps.back().written &&
                           exercise.steps.back().written->number != step.written->number;
        step.slurred = random.uniform() < 0.25 && moves; // the same note slurred would be one note
        exercise.steps.push_back(step);
        if (random.uniform() < 0.06 && i + 1 < notes) {
            exercise.steps.push_back(drill::Step{});
        }
    }
    return exercise;
}

} // namespace bellhand::test
