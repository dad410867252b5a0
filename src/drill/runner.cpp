#include "drill/runner.h"

#include "drill/runner_state.h"

#include <algorithm>
#include <utility>

namespace bellhand::drill {

namespace {

std::vector<horn::Crook> crooks_of(const Exercise& exercise, const horn::Crook& own) {
    if (!exercise.each_crook || exercise.crooks.empty()) {
        return {own};
    }
    std::vector<horn::Crook> crooks;
    for (const int transposition : exercise.crooks) {
        crooks.push_back(crook_at(transposition));
    }
    return crooks;
}

} // namespace

Runner::Runner(std::unique_ptr<State> state) : state_(std::move(state)) {}
Runner::~Runner() = default;
Runner::Runner(Runner&& other) noexcept = default;
Runner& Runner::operator=(Runner&& other) noexcept = default;

Result<Runner> Runner::make(const Exercise& exercise, const RunSettings& settings) {
    const std::uint32_t last = settings.last_step.value_or(
        exercise.steps.empty() ? 0U : static_cast<std::uint32_t>(exercise.steps.size()) - 1U);
    const std::vector<horn::Crook> crooks = crooks_of(exercise, settings.tuning.crook);
    bool any = false;
    for (std::uint32_t step = settings.first_step; step <= last && step < exercise.steps.size();
         ++step) {
        const auto& written = exercise.steps[step].written;
        any = any || written.has_value();
        for (const horn::Crook& crook : crooks) {
            if (written && horn::chart_entry(played_note(exercise, *written, crook)) == nullptr) {
                return usage_error("Exercise \"" + exercise.title + "\" asks for " +
                                   horn::display_name(played_note(exercise, *written, crook)) +
                                   ", which no natural horn plays on " + crook.label +
                                   ": leave it out or take another crook.");
            }
        }
    }
    if (!any || last >= exercise.steps.size()) {
        return usage_error("Exercise \"" + exercise.title + "\" has no notes from step " +
                           std::to_string(settings.first_step + 1) + " to " +
                           std::to_string(last + 1) + ": choose another stretch.");
    }
    auto state = std::make_unique<State>();
    state->exercise = exercise;
    state->settings = settings;
    state->crooks = crooks;
    state->passes = std::max(1, settings.repetitions.value_or(exercise.repetitions));
    const double tempo = settings.quarters_per_minute.value_or(exercise.quarters_per_minute);
    state->quarter_s = tempo > 0.0 ? 60.0 / tempo : 0.0;
    state->pulse = Pulse(std::max(state->quarter_s, 1e-3));
    for (std::uint32_t step = settings.first_step; step <= last; ++step) {
        state->total_quarters += quarters_of(exercise, exercise.steps[step]);
    }
    state->where.parts = static_cast<std::uint32_t>(state->crooks.size());
    state->where.beats_to_go = exercise.metre.clicks();
    state->begin_part();
    return Runner(std::move(state));
}

void Runner::finished(const trainer::PlayedNote& note) {
    State& s = *state_;
    s.where.sounding = false;
    if (s.where.phase == Phase::finished || !(note.f0_hz > 0.0)) {
        return;
    }
    advance(std::max(s.now_s, note.start_s));
    if (s.where.phase == Phase::finished) {
        return;
    }
    s.take_trill(note.start_s);
    s.accept(note);
    s.look();
}

void Runner::sounding(const trainer::PlayedNote& note) {
    State& s = *state_;
    if (s.where.phase == Phase::finished || !(note.f0_hz > 0.0)) {
        return;
    }
    const std::uint32_t place = s.follower->place_of(note.f0_hz);
    const std::vector<Asked>& plan = s.follower->plan();
    s.where.sounding = true;
    s.where.step = plan[place].step;
    s.listen_on(plan[place].crook);
    s.where.next = plan[std::min<std::size_t>(place + 1U, plan.size() - 1)].step;
    s.last_sound_s = std::max(s.last_sound_s, note.start_s + note.duration_s);
    s.now_s = std::max(s.now_s, s.last_sound_s);
    s.any_sound = true;
    s.look();
}

void Runner::hear(const trainer::Reading& reading) {
    State& s = *state_;
    s.trace.add(reading);
    s.levels.add(reading);
    if (reading.has_note) {
        s.last_sound_s = std::max(s.last_sound_s, reading.frame.time_s);
    }
    advance(reading.frame.time_s);
}

void Runner::beat(double time_s, bool heard) {
    State& s = *state_;
    if (s.click.beats() == 0 && s.quarter_s > 0.0) {
        s.pulse = Pulse(s.quarter_s, true);
    }
    s.click.beat(time_s + s.settings.click_delay_s, heard);
    s.where.beats_to_go = std::max(0, s.exercise.metre.clicks() - s.click.beats());
    advance(time_s);
}

void Runner::set_click_delay(double delay_s) noexcept {
    state_->settings.click_delay_s = delay_s;
    state_->click.begin_anew();
}

void Runner::advance(double time_s) {
    State& s = *state_;
    s.now_s = std::max(s.now_s, time_s);
    s.look();
}

void Runner::finish() {
    State& s = *state_;
    if (s.where.phase == Phase::finished) {
        return;
    }
    s.where.sounding = false;
    if (s.where.repeating_missed && s.heard == 0) {
        s.where.phase = Phase::finished; // what was asked again was not taken up
        return;
    }
    s.follower->finish();
    s.drain();
    s.close_open();
    s.withheld.release();
    s.tell();
    s.remark_on_tempo(true);
    s.where.phase = Phase::finished;
}

bool Runner::next(Judgement& out) {
    if (state_->judgements.empty()) {
        return false;
    }
    out = std::move(state_->judgements.front());
    state_->judgements.pop_front();
    return true;
}

bool Runner::next(Remark& out) {
    if (state_->remarks.empty()) {
        return false;
    }
    out = state_->remarks.front();
    state_->remarks.pop_front();
    return true;
}

const Where& Runner::where() const noexcept {
    return state_->where;
}

const Exercise& Runner::exercise() const noexcept {
    return state_->exercise;
}

const std::vector<Asked>& Runner::asked() const noexcept {
    return state_->follower->plan();
}

} // namespace bellhand::drill
