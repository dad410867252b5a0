#include "audio/synth.h"
#include "practice/practice.h"
#include "support/fake_output.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <thread>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

/// A demo player who plays one note after the other for as long as wanted.
std::unique_ptr<audio::Source> player(double length_s) {
    audio::SynthScore score;
    for (double at_s = 0.2; at_s + 0.5 < length_s; at_s += 0.6) {
        score.tones.push_back({.start_s = at_s,
                               .duration_s = 0.4,
                               .f0_hz = horn::target_hz(horn::usual_spelling(67), {})});
    }
    score.length_s = length_s;
    return audio::make_synth(score, audio::Pace::real_time);
}

template <typename Condition>
bool until(Condition condition) {
    for (int i = 0; i < 4000; ++i) {
        if (condition()) {
            return true;
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(2));
    }
    return false;
}

} // namespace

TEST_SUITE("faults/output_lost") {
    TEST_CASE("when the output vanishes while the drone sounds practice goes on and says so; beats "
              "begin anew "
              "when it is back") {
        const auto output = std::make_shared<test::FakeOutput>();
        auto started = practice::Practice::start(
            player(12.0), {.tuning = {}, .log_path = std::nullopt, .output = output});
        REQUIRE(started);
        practice::Practice& practice = **started;
        audio::ReferenceSound sound;
        sound.drone_hz[0] = 174.6;
        sound.beats_per_minute = 240.0;
        practice.sound(sound);
        std::vector<practice::HeardBeat> beats;
        REQUIRE(until([&] {
            practice.take_beats(beats);
            return beats.size() >= 3;
        }));
        const std::uint32_t first_stream = beats.back().stream;

        output->there = false;
        REQUIRE(until([&] { return practice::own_sound_words(practice.own_sound()).warning; }));
        CHECK(practice.own_sound().output.state == audio::SourceState::waiting);
        std::vector<trainer::PlayedNote> notes;
        practice.take_notes(notes);
        const std::size_t before = notes.size();
        REQUIRE(until([&] {
            practice.take_notes(notes);
            return notes.size() >= before + 2;
        }));
        CHECK(std::all_of(notes.begin(), notes.end(), [](const trainer::PlayedNote& note) {
            return horn::ascii_name(note.written) == "G4";
        }));

        practice.take_beats(beats);
        beats.clear();
        output->there = true;
        REQUIRE(until([&] {
            practice.take_beats(beats);
            return beats.size() >= 3;
        }));
        CHECK(beats.back().stream > first_stream);
        CHECK(beats.front().number == 0);
        practice.stop();
        CHECK(output->status().state == audio::SourceState::idle);
    }
}
