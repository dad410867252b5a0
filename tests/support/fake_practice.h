#pragma once

#include "practice/practice.h"

#include <cmath>
#include <deque>
#include <memory>
#include <utility>

namespace bellhand::test {

/// A practice session in the hands of a test: it hands out what it was given.
struct FakeState {
    std::deque<trainer::Reading> readings;
    std::deque<trainer::PlayedNote> ended;
    std::optional<trainer::PlayedNote> sounding;
    audio::SourceStatus source;
    practice::LogStatus log;
    horn::Tuning tuning;
    double tolerance_factor = 1.0;
    audio::ReferenceSound sound;
    std::deque<practice::HeardBeat> beats;
    practice::OwnSoundStatus own_sound;
    std::vector<run::Record> records;
    std::optional<practice::OwnHand> own;
    hand::OpenReference learnt = hand::unknown_player();
    double elapsed_s = 0.0;
    bool source_ended = false;
    bool stopped = false;
    std::shared_ptr<takes::SoundMemory> memory; ///< null: no sound is kept
    bool overlooks = false;
    std::shared_ptr<takes::Recorder> recorder; ///< null: nothing is recorded
};

class FakePractice : public practice::Practice {
public:
    explicit FakePractice(std::shared_ptr<FakeState> state) : state_(std::move(state)) {}

    void stop() override { state_->stopped = true; }
    void set_tuning(const horn::Tuning& tuning,
                    const std::optional<practice::OwnHand>& own) override {
        state_->tuning = tuning;
        state_->own = own;
    }
    void expect(const trainer::ExpectedPitches& /*pitches*/) override {}
    void set_tolerance_factor(double factor) override { state_->tolerance_factor = factor; }
    void sound(const audio::ReferenceSound& sound) override { state_->sound = sound; }
    void take_beats(std::vector<practice::HeardBeat>& out) override {
        out.insert(out.end(), state_->beats.begin(), state_->beats.end());
        state_->beats.clear();
    }
    [[nodiscard]] practice::OwnSoundStatus own_sound() const override {
        practice::OwnSoundStatus status = state_->own_sound;
        status.wanted = state_->sound;
        return status;
    }
    void log(run::Record record) override { state_->records.push_back(std::move(record)); }
    bool poll(const std::function<void(const trainer::Reading&)>& each) override {
        while (!state_->readings.empty()) {
            each(state_->readings.front());
            state_->readings.pop_front();
        }
        return !state_->source_ended;
    }
    void take_notes(std::vector<trainer::PlayedNote>& out) override {
        out.insert(out.end(), state_->ended.begin(), state_->ended.end());
        state_->ended.clear();
    }
    [[nodiscard]] std::optional<trainer::PlayedNote> sounding() const override {
        return state_->sounding;
    }
    [[nodiscard]] hand::OpenReference learnt() const override { return state_->learnt; }
    void forget_learnt() override { state_->learnt = hand::unknown_player(); }
    [[nodiscard]] audio::SourceStatus source_status() const override { return state_->source; }
    [[nodiscard]] practice::LogStatus log_status() const override { return state_->log; }
    [[nodiscard]] double elapsed_s() const override { return state_->elapsed_s; }
    [[nodiscard]] std::shared_ptr<const takes::SoundMemory> memory() const override {
        return state_->memory;
    }
    void overlook(bool on) override { state_->overlooks = on; }
    [[nodiscard]] takes::Recorder* recorder() override { return state_->recorder.get(); }

private:
    std::shared_ptr<FakeState> state_;
};

/// What the analysis says of a note that sounds `cents` beside its target.
inline trainer::Reading
reading_of(double time_s, horn::Note written, double cents, const horn::Tuning& tuning = {}) {
    trainer::Reading reading;
    reading.frame.time_s = time_s;
    reading.frame.voiced = true;
    reading.frame.level_dbfs = -20.0F;
    reading.frame.noise_dbfs = -60.0F;
    reading.frame.snr_db = 35.0F;
    reading.has_note = true;
    reading.note.written = written;
    reading.note.target_hz = horn::target_hz(written, tuning);
    if (const horn::ChartEntry* entry = horn::chart_entry(written)) {
        reading.note.partial = entry->ways.front().partial;
        reading.note.hand = entry->ways.front().hand;
    }
    reading.note.deviation_cents = cents;
    reading.frame.f0_hz = reading.note.target_hz * std::exp2(cents / 1200.0);
    return reading;
}

inline trainer::Reading silence_at(double time_s) {
    trainer::Reading reading;
    reading.frame.time_s = time_s;
    reading.frame.level_dbfs = -60.0F;
    reading.frame.noise_dbfs = -60.0F;
    return reading;
}

} // namespace bellhand::test
