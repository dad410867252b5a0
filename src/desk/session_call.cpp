// The second input of a session: a call that this computer plays.
#include "desk/session.h"

#include <algorithm>

namespace bellhand::desk {

void Session::listen_also(const std::optional<InputChoice>& call) {
    stop_call();
    call_input_ = call;
    if (practice_) {
        begin_call();
    }
}

void Session::begin_call() {
    if (!call_input_) {
        return;
    }
    practice::PracticeOptions options;
    options.tuning = tuning_;
    options.tolerance_factor = tolerance_factor_;
    if (log_path_ && keep_ == Keep::everything) {
        options.beside = practice::BesideSession{
            *log_path_, [first = practice_.get()] { return first->log_status().session; }};
    }
    auto call = ear_.begin(*call_input_, options);
    if (call) {
        call_ = std::move(*call);
        clocks_[place(Side::call)] = {};
        own_tones_ = {};
        lesson_.hear_call();
    } else {
        call_problem_ = "The call is not heard: " + call.error().message;
    }
}

/// The second input: what it carries, and whether it is still there. Nothing of it holds the first one up.
void Session::hear_call() {
    if (!call_) {
        return;
    }
    tie(Side::call);
    call_heard_.readings.clear();
    call_heard_.notes.clear();
    call_->poll(
        [this](const trainer::Reading& reading) { call_heard_.readings.push_back(reading); });
    call_->take_notes(call_heard_.notes);
    call_heard_.sounding = call_->sounding();
    leave_out_own_tones();
    add_to_lesson(Side::call, call_heard_);
    const audio::SourceStatus source = call_->source_status();
    const bool lost =
        source.state == audio::SourceState::failed || source.state == audio::SourceState::waiting;
    call_problem_ = !lost                    ? std::string()
                    : source.message.empty() ? "Waiting for the call's input."
                                             : "The call: " + source.message;
}

/// What this computer plays is heard in the call's input with all else it plays.
void Session::leave_out_own_tones() {
    own_tones_.follow(practice_->own_sound().wanted, wall_s_);
    const auto own = [this](const trainer::PlayedNote& note) {
        return own_tones_.may_be(note.f0_hz, wall_s_);
    };
    auto& notes = call_heard_.notes;
    notes.erase(std::remove_if(notes.begin(), notes.end(), own), notes.end());
    if (call_heard_.sounding && own(*call_heard_.sounding)) {
        call_heard_.sounding.reset();
    }
}

void Session::stop_call() {
    if (!call_) {
        call_problem_.clear(); // why it could not begin
        return;
    }
    marks_.keep(lesson_, *practice_, call_.get(), call_.get());
    call_->stop();
    hear_call(); // its last note, now closed
    lesson_.leave(Side::call);
    call_.reset();
    call_problem_.clear();
}

void Session::tie(Side side) {
    InputClock& clock = clocks_[place(side)];
    clock.see(input_of(side)->elapsed_s(), wall_s_);
    lesson_.set_later(side, clock.later_s());
}

std::string Session::call_name() const {
    const std::string live = call_ ? call_->source_status().name : std::string();
    return live.empty() && call_input_ ? name_of(*call_input_) : live;
}

} // namespace bellhand::desk
