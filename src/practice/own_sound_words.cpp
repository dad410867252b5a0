#include "practice/practice.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace bellhand::practice {

namespace {

constexpr double kEnough_db = 15.0; // less than that and the drone still pulls at the pitch
constexpr int kOften = 3;

double decibels(double power) {
    return 10.0 * std::log10(std::max(power, 1e-20));
}

OwnSoundWords headphones(const char* why) {
    return {std::string("The drone cannot be taken out of the microphone's sound (") + why +
                "): use headphones, turned down before you put them on.",
            true,
            {}};
}

/// Clicks split notes when they come near to the horn (`metronome_heard_test`), and are not taken out. That the microphone
/// hears them is known by their having measured the way back.
bool clicks_heard(const OwnSoundStatus& status) {
    return status.wanted.beats_per_minute > 0.0 && status.round_trip_measured;
}

OwnSoundWords clicks_words() {
    return {"The microphone hears the metronome, whose clicks are not taken out: use headphones, "
            "turned "
            "down before you put them on.",
            true,
            {}};
}

} // namespace

OwnSoundWords own_sound_words(const OwnSoundStatus& status) {
    if (!status.output.message.empty()) {
        return {status.output.message, true, {}};
    }
    const bleed::Report& bleed = status.bleed;
    const double removed_db = decibels(bleed.heard) - decibels(bleed.left);
    switch (bleed.state) {
    case bleed::State::silent:
        return clicks_heard(status) ? clicks_words() : OwnSoundWords{};
    case bleed::State::learning:
        return {"Listening how the drone comes back to the microphone: do not play for a second.",
                false,
                {}};
    case bleed::State::unheard:
        if (clicks_heard(status)) {
            return clicks_words();
        }
        return {"The microphone does not hear the drone.", false, {}};
    case bleed::State::stuck:
        return headphones(
            "it does not stand still: the microphone moves, or you play all the time");
    case bleed::State::removed:
        break;
    }
    if (status.limited) {
        return headphones("it is so loud that the limiter cuts it");
    }
    if (bleed.changes >= kOften) {
        return headphones("its way to the microphone keeps changing");
    }
    if (removed_db < kEnough_db) {
        return headphones("too much of it is left");
    }
    if (clicks_heard(status)) {
        return clicks_words();
    }
    char figures[96];
    std::snprintf(figures,
                  sizeof figures,
                  "heard at %.0f dBFS, %.0f dB taken away",
                  decibels(bleed.heard),
                  removed_db);
    return {"The drone is taken out of the microphone's sound.", false, figures};
}

} // namespace bellhand::practice
