#include "drill/runner_state.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace bellhand::drill {

namespace {

constexpr int kLeastTrillChanges = 3; // below that it was another note
constexpr double kOneTrill_s = 0.15;  // silence inside what is heard as several notes of one trill
constexpr int kLeastForTempo = 12;    // notes, before another tempo than written is told
constexpr int kLeastForTempoAtEnd = 4;
constexpr double kOtherTempo = 0.08; // share

/// The bars of a plan that hold one of the steps marked wrong.
std::vector<Asked> bars_with(const std::vector<Asked>& plan, const std::vector<bool>& wrong) {
    std::vector<Asked> bars;
    for (std::size_t begin = 0; begin < plan.size();) {
        std::size_t end = begin + 1;
        while (end < plan.size() && !plan[end].bar_begins) {
            ++end;
        }
        const auto first = wrong.begin() + static_cast<std::ptrdiff_t>(begin);
        const auto last = wrong.begin() + static_cast<std::ptrdiff_t>(end);
        if (std::find(first, last, true) != last) {
            const std::size_t bar = bars.size();
            bars.insert(bars.end(),
                        plan.begin() + static_cast<std::ptrdiff_t>(begin),
                        plan.begin() + static_cast<std::ptrdiff_t>(end));
            bars[bar].bar_begins = true;
            bars[bar].slurred = false;
        }
        begin = end;
    }
    return bars;
}

} // namespace

void Runner::State::accept(const trainer::PlayedNote& note) {
    const double gap_s = note.start_s - last_end_s;
    const double silence_s = heard > 0 ? gap_s - rest_asked_s() : 0.0;
    notes[heard % kNotes] = note;
    ++heard;
    any_sound = true;
    last_end_s = note.start_s + note.duration_s;
    now_s = std::max(now_s, last_end_s);
    // Daily work is played in bits and pieces: only in a part does time tell of the place.
    const bool in_part = exercise.steps.front().in_part.has_value();
    follower->hear({note.f0_hz,
                    note.duration_s,
                    silence_s,
                    in_part ? std::optional(std::max(gap_s, 0.0)) : std::nullopt});
    drain();
}

void Runner::State::take_trill(double until_s) {
    const std::uint32_t upcoming = follower->upcoming();
    if (upcoming >= follower->plan().size()) {
        return;
    }
    const Asked& asked = follower->plan()[upcoming];
    if (!asked.other_hz || asked.manner == Manner::slow_closing) {
        return;
    }
    const std::vector<Trace::Moment> heard_inside = trace.between(last_end_s, until_s);
    if (trill_of(heard_inside, asked.target_hz, *asked.other_hz).changes < kLeastTrillChanges) {
        return;
    }
    trainer::PlayedNote note;
    note.index = heard > 0 ? notes[(heard - 1) % kNotes].index : 0;
    note.start_s = heard_inside.front().time_s;
    note.duration_s = heard_inside.back().time_s - note.start_s;
    note.written = asked.written;
    note.partial = asked.partial;
    note.hand = asked.hand;
    note.f0_hz = std::sqrt(asked.target_hz * *asked.other_hz);
    note.target_hz = asked.target_hz;
    note.deviation_cents = cents_between(note.f0_hz, note.target_hz);
    note.finished = true;
    accept(note);
}

void Runner::State::begin_part() {
    where.tuning = settings.tuning;
    const bool several = exercise.each_crook && !exercise.crooks.empty();
    const std::uint32_t begin = settings.start_step.value_or(settings.first_step);
    where.tuning.crook = several ? crooks[where.part] : crook_of(exercise, begin, crooks.front());
    PlanSettings how;
    how.tuning = where.tuning;
    if (settings.hand) { // another crook is another tube
        how.hand = settings.hand(where.tuning);
        how.hand_on = settings.hand;
    }
    how.pitch_factor = settings.tolerances.pitch_factor;
    how.measure = settings.measure;
    how.root = settings.root;
    std::vector<Asked> plan = plan_of(exercise, how);
    const std::uint32_t last =
        settings.last_step.value_or(static_cast<std::uint32_t>(exercise.steps.size()) - 1U);
    plan.erase(std::remove_if(plan.begin(),
                              plan.end(),
                              [&](const Asked& asked) {
                                  return asked.step < settings.first_step || asked.step > last;
                              }),
               plan.end());
    rounds_of_missed = 0;
    where.repeating_missed = false;
    const auto start = std::find_if(
        plan.begin(), plan.end(), [begin](const Asked& asked) { return asked.step >= begin; });
    const auto start_at = static_cast<std::uint32_t>(start - plan.begin());
    begin_round(std::move(plan), passes, start_at);
}

void Runner::State::begin_round(std::vector<Asked> plan, int times, std::uint32_t start) {
    wrong.assign(plan.size(), false);
    follower.emplace(std::move(plan), times, settings.notes_behind, quarter_s, start);
    heard = 0;
    before.reset();
    pulse.stop();
    where.pass = 0;
    where.passes = static_cast<std::uint32_t>(times);
    where.next = follower->plan()[follower->upcoming()].step;
}

/// The last step was played and nothing followed.
void Runner::State::end_round() {
    follower->settle_all();
    drain();
    close_open();
    withheld.release();
    tell();
    remark_on_tempo(true);
    const std::vector<Asked> bars = bars_with(follower->plan(), wrong);
    if (!bars.empty() && rounds_of_missed < settings.repeat_missed) {
        ++rounds_of_missed;
        where.repeating_missed = true;
        begin_round(bars, 1);
        return;
    }
    if (where.part + 1 < where.parts) {
        ++where.part;
        begin_part();
        return;
    }
    where.phase = Phase::finished;
}

void Runner::State::drain() {
    std::vector<Aligned> skipped; // steps left out wait for the note after them
    for (Aligned aligned; follower->next(aligned);) {
        if (aligned.kind == Aligned::Kind::skipped) {
            skipped.push_back(aligned);
            continue;
        }
        const std::uint32_t asked = aligned.asked;
        if (aligned.kind == Aligned::Kind::played && !skipped.empty()) {
            aligned.asked = begins_at(aligned, static_cast<std::uint32_t>(skipped.size()));
            skipped.resize(skipped.size() - (asked - aligned.asked));
        }
        const bool unheard = aligned.kind == Aligned::Kind::played &&
                             drowned(aligned, static_cast<std::uint32_t>(skipped.size()));
        for (const Aligned& step : skipped) {
            if (unheard) {
                take_undecided(step, step.asked);
            } else {
                take_skipped(step);
            }
        }
        skipped.clear();
        take(aligned);
        for (std::uint32_t step = aligned.asked; step < asked; ++step) {
            take_undecided(aligned, step + 1);
        }
    }
    for (const Aligned& step : skipped) {
        take_skipped(step);
    }
}

void Runner::State::take_skipped(const Aligned& aligned) {
    if (before && aligned.asked > before->asked && aligned.asked <= before->asked + before->also) {
        take_undecided(aligned, aligned.asked);
        return;
    }
    close_open();
    Judgement missed;
    missed.step = follower->plan()[aligned.asked].step;
    missed.tolerance_cents = follower->plan()[aligned.asked].tolerance_cents;
    missed.faults.push_back(Fault::missed);
    wrong[aligned.asked] = true;
    put(std::move(missed), aligned);
}

void Runner::State::take_undecided(Aligned aligned, std::uint32_t asked) {
    close_open();
    aligned.asked = asked;
    Judgement undecided;
    undecided.step = follower->plan()[asked].step;
    undecided.tolerance_cents = follower->plan()[asked].tolerance_cents;
    wrong[asked] = false;
    put(std::move(undecided), aligned);
}

void Runner::State::take_extra(const Aligned& aligned, const trainer::PlayedNote& note) {
    close_open();
    const std::vector<Asked>& plan = follower->plan();
    const std::size_t upcoming = std::min<std::size_t>(aligned.asked, plan.size() - 1);
    if (mistaken(plan[upcoming], note) || (before && mistaken(plan[before->asked], note))) {
        return;
    }
    Judgement extra;
    extra.step = plan[upcoming].step;
    extra.played = true;
    extra.extra = true;
    extra.note = note;
    extra.faults.push_back(Fault::wrong_note);
    put(std::move(extra), aligned);
    before.reset();
}

void Runner::State::take(const Aligned& aligned) {
    const trainer::PlayedNote& note = notes[aligned.note % kNotes];
    in_a_row = aligned.follows ? in_a_row + 1 : 0;
    if (aligned.kind == Aligned::Kind::extra) {
        take_extra(aligned, note);
        return;
    }
    if (open && open->aligned.asked == aligned.asked && open->aligned.pass == aligned.pass &&
        note.start_s - open->note.start_s - open->note.duration_s < kOneTrill_s) {
        open->note.duration_s = note.start_s + note.duration_s - open->note.start_s;
        return;
    }
    close_open();
    if (follower->plan()[aligned.asked].manner != Manner::plain) {
        open = Open{note, aligned};
    } else {
        judge_one(aligned, note);
    }
}

void Runner::State::close_open() {
    if (open) {
        const Open closed = *std::exchange(open, std::nullopt);
        judge_one(closed.aligned, closed.note);
    }
}

void Runner::State::judge_one(const Aligned& aligned, const trainer::PlayedNote& note) {
    const Asked& asked = follower->plan()[aligned.asked];
    if (mistaken(asked, note)) {
        take_undecided(aligned, aligned.asked);
        return;
    }
    Judgement judgement = judged(asked, note, around(aligned, note));
    wrong[aligned.asked] = is_wrong(judgement);
    before = Before{aligned.asked,
                    note.start_s,
                    note.level_dbfs,
                    !is_wrong(judgement),
                    sounds_through(aligned.asked, note)};
    put(std::move(judgement), aligned);
}

void Runner::State::put(Judgement judgement, const Aligned& aligned) {
    judgement.pass = where.repeating_missed
                         ? static_cast<std::uint32_t>(passes + rounds_of_missed - 1)
                         : aligned.pass;
    judgement.part = where.part;
    withheld.add(std::move(judgement));
    tell();
}

void Runner::State::tell() {
    if (withheld.another_tune()) {
        remarks.push_back({Remark::Kind::another_tune, 0.0, 0.0, false});
    }
    for (Judgement judgement; withheld.next(judgement);) {
        if (!judgement.extra && !judgement.undecided()) {
            ++where.judged;
            where.good += judgement.good() ? 1U : 0U;
        }
        judgements.push_back(std::move(judgement));
    }
}

/// The plan's note before this one is the exercise's note before it: only rests lie between.
bool Runner::State::in_turn(std::uint32_t asked) const {
    if (asked == 0) {
        return !where.repeating_missed;
    }
    const std::vector<Asked>& plan = follower->plan();
    for (std::uint32_t step = plan[asked - 1].step + 1; step < plan[asked].step; ++step) {
        if (exercise.steps[step].written) {
            return false;
        }
    }
    return plan[asked].step > plan[asked - 1].step;
}

double Runner::State::place_of(std::uint32_t asked, std::uint32_t pass) const {
    return follower->plan()[asked].at_quarters + pass * total_quarters;
}

std::optional<Pulse::Onset> Runner::State::onset_after(const Aligned& aligned) const {
    const std::vector<Asked>& plan = follower->plan();
    const bool last = aligned.asked + 1U >= plan.size();
    const std::uint32_t next = last ? 0 : aligned.asked + 1U;
    if (aligned.note + 1U >= heard || !in_turn(next) ||
        (last && aligned.pass + 1U >= where.passes)) {
        return std::nullopt;
    }
    const trainer::PlayedNote& after = notes[(aligned.note + 1U) % kNotes];
    if (after.start_unsure || relation_of(plan[next], after.f0_hz) != Relation::right) {
        return std::nullopt;
    }
    return Pulse::Onset{
        place_of(next, aligned.pass + (last ? 1U : 0U)), after.start_s, after.in_ringing_room};
}

std::optional<double> Runner::State::timing(const Aligned& aligned,
                                            const trainer::PlayedNote& played) {
    const double start_s = played.start_s;
    if (!(quarter_s > 0.0) ||
        exercise.steps[follower->plan()[aligned.asked].step].quarters <= 0.0) {
        pulse.stop();
        return std::nullopt;
    }
    const Pulse::Onset note{place_of(aligned.asked, aligned.pass),
                            start_s,
                            played.in_ringing_room,
                            played.start_unsure};
    const bool joined = before && aligned.asked > before->asked &&
                        aligned.asked <= before->asked + before->also + 1U;
    const bool goes_on = (aligned.follows || joined) && in_turn(aligned.asked);
    double behind_click_s = 0.0;
    if (click.beats() > 0) {
        const double click_quarters = exercise.metre.click_quarters();
        behind_click_s = click.hear(note.quarters / click_quarters,
                                    start_s,
                                    quarter_s * click_quarters,
                                    exercise.metre.clicks(),
                                    goes_on);
        if (const auto remark = click.remark()) {
            remarks.push_back(*remark);
        }
    }
    if (played.start_unsure && (!goes_on || !pulse.going())) {
        pulse.stop(); // it cannot set the phase
        return std::nullopt;
    }
    if (!goes_on || follower->plan()[aligned.asked].waited) {
        pulse.resume(note, behind_click_s);
        return std::nullopt;
    }
    const auto late_s = pulse.follow(note, onset_after(aligned), settings.tolerances.timing_s);
    remark_on_tempo(false);
    return late_s;
}

/// Where a metronome sounds, being away from it is a remark of its own.
void Runner::State::remark_on_tempo(bool at_end) {
    if (tempo_said || click.beats() > 0 || !(quarter_s > 0.0) ||
        pulse.notes() < (at_end ? kLeastForTempoAtEnd : kLeastForTempo)) {
        return;
    }
    const double played_s = pulse.mean_quarter_s();
    if (std::fabs(std::log(played_s / quarter_s)) > kOtherTempo) {
        tempo_said = true;
        remarks.push_back({Remark::Kind::tempo, 60.0 / played_s, 60.0 / quarter_s, false});
    }
}

Circumstances Runner::State::around(const Aligned& aligned, const trainer::PlayedNote& note) {
    Circumstances out;
    out.tolerances = settings.tolerances;
    out.timing_s = timing(aligned, note);
    out.quarter_s = quarter_s > 0.0 && pulse.known() ? pulse.quarter_s() : 0.0;
    const std::vector<Asked>& plan = follower->plan();
    const Asked& asked = plan[aligned.asked];
    const Asked& last = plan[aligned.asked + sounds_through(aligned.asked, note)];
    out.more_quarters = last.at_quarters + last.quarters - asked.at_quarters - asked.quarters;
    if (asked.hairpin != Hairpin::none || asked.manner != Manner::plain) {
        out.inside = trace.between(note.start_s, note.start_s + note.duration_s);
    }
    if (!exercise.even || asked.hairpin != Hairpin::none) {
        return out;
    }
    const auto alike = [&](const Asked& other) {
        return other.hairpin == Hairpin::none && other.dynamic == asked.dynamic;
    };
    double sum = 0.0;
    int count = 0;
    if (aligned.follows && before && before->right && alike(plan[before->asked])) {
        sum += before->level_dbfs;
        ++count;
        out.colour_as_before = true;
    }
    const std::uint32_t next_note = aligned.note + 1;
    const std::size_t next_asked = aligned.asked + 1U;
    if (next_note < heard && next_asked < plan.size() && alike(plan[next_asked])) {
        const trainer::PlayedNote& after = notes[next_note % kNotes];
        if (relation_of(plan[next_asked], after.f0_hz) == Relation::right) {
            sum += after.level_dbfs;
            ++count;
        }
    }
    if (count > 0) {
        out.neighbours_dbfs = sum / count;
    }
    return out;
}

} // namespace bellhand::drill
