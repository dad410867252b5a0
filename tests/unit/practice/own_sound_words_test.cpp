#include "practice/practice.h"

#include <doctest/doctest.h>

using namespace bellhand;
using practice::own_sound_words;

TEST_SUITE("practice/words on the program's own sound") {
    TEST_CASE("clicks that the microphone hears ask for headphones, with the drone or without it") {
        practice::OwnSoundStatus status;
        CHECK(own_sound_words(status).words.empty());
        status.wanted.beats_per_minute = 72.0;
        CHECK(own_sound_words(status).words.empty()); // nobody knows that they are heard
        status.round_trip_measured = true;
        for (const bleed::State state :
             {bleed::State::silent, bleed::State::unheard, bleed::State::removed}) {
            status.bleed.state = state;
            status.bleed.heard = 1e-4;
            status.bleed.left = 1e-8; // 40 dB taken away
            const auto words = own_sound_words(status);
            CHECK(words.warning);
            CHECK(words.words.find("headphones, turned down") != std::string::npos);
            CHECK(words.words.find("metronome") != std::string::npos);
        }
        status.wanted.beats_per_minute = 0.0; // it is silent now
        CHECK_FALSE(own_sound_words(status).warning);
    }

    TEST_CASE("a drone that stays in the sound asks for headphones, clicks or not") {
        practice::OwnSoundStatus status;
        status.wanted.beats_per_minute = 72.0;
        status.round_trip_measured = true;
        status.bleed.state = bleed::State::removed;
        status.bleed.heard = 1e-4;
        status.bleed.left = 1e-5; // 10 dB taken away: too little
        CHECK(own_sound_words(status).words.find("The drone cannot be taken out") == 0);
    }
}
