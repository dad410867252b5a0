// The first notes of a session, open and exactly on n * f1, before anything was learnt of the player.
#include "core/cents.h"
#include "hand/hand_ear.h"
#include "support/modelled_player.h"

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

struct FirstNote {
    hand::HandEstimate live;
    hand::NoteHand note;
};

/// One note of 0.3 s into an ear that has heard nothing yet.
FirstNote
hear_first(const test::ModelledPlayer::Tone& tone, const horn::Tuning& tuning, int partial) {
    constexpr double kHop_s = 256.0 / 48000.0;
    constexpr int kHops = 56;
    hand::HandEar ear;
    ear.set_horn(horn::hand_response(tuning), hand::modelled_trust(), horn::fundamental_hz(tuning));
    FirstNote out;
    double time_s = 0.0;
    for (int i = 0; i < kHops; ++i) {
        time_s += kHop_s;
        auto frame = test::frame_of(tone, time_s, -28.0);
        frame.onset = i == 0;
        out.live = ear.hear(frame);
    }
    out.note =
        ear.note({0.0, time_s, tone.f0_hz, 0.0, tone.f0_hz, 8.0, horn::nearest_written(partial)});
    return out;
}

void check_open(const FirstNote& heard, int partial) {
    for (const hand::Position& position : {heard.live.position, heard.note.estimate.position}) {
        CHECK(position.degree != horn::Hand::full);
        CHECK(position.partial == partial);
        const bool told_closed = position.degree != horn::Hand::open && position.confidence > 0.5;
        CHECK_FALSE(told_closed);
        if (partial >= 5) {
            CHECK(position.degree == horn::Hand::open);
        }
    }
}

std::string measured_tones() {
    const char* shared = std::getenv("BELLHAND_SHARED");
    const char* root = std::getenv("BELLHAND_ROOT");
    const std::filesystem::path folder =
        shared != nullptr ? std::filesystem::path(shared)
                          : std::filesystem::path(root != nullptr ? root : ".") / ".." / "shared";
    return (folder / "audio" / "harmonics.csv").string();
}

} // namespace

TEST_SUITE("hand/first_notes") {
    TEST_CASE("what is heard as a closed hand lies where the crook's hand response lies") {
        const auto model = *hand::load_timbre_model();
        for (const horn::Crook& crook : horn::all_crooks()) {
            const horn::Tuning tuning{crook, 440.0, {}, {}};
            const horn::HandResponse response = horn::hand_response(tuning);
            const hand::ClosureGrid grid(response, hand::modelled_trust(), model);
            for (int partial = 2; partial <= 16; ++partial) {
                for (const horn::Hand hand : horn::kHands) {
                    const double closure = horn::closure_of(hand);
                    const double place =
                        1200.0 * std::log2(partial) + horn::response_at(response, partial, closure);
                    CHECK(std::fabs(grid.place_cents(partial, closure) - place) < 0.01);
                }
            }
        }
    }

    TEST_CASE("open notes of modelled players are never told as closed, on any crook") {
        for (const horn::Crook& crook : horn::all_crooks()) {
            const horn::Tuning tuning{crook, 440.0, {}, {}};
            const test::ModelledPlayer player(tuning, {});
            for (const auto blown : {test::Blown::soft, test::Blown::middling, test::Blown::loud}) {
                for (int partial = 3; partial <= 12; ++partial) {
                    CAPTURE(std::string(crook.id));
                    CAPTURE(partial);
                    const double onto_series =
                        -player.response().open_cents[static_cast<std::size_t>(partial - 1)];
                    check_open(hear_first(player.play(partial, 0.0, onto_series, blown, {}),
                                          tuning,
                                          partial),
                               partial);
                }
            }
        }
    }

    TEST_CASE(
        "nor are notes with the colour of measured open tones, on D, C basso and B flat basso") {
        const auto tones = test::read_measured_tones(measured_tones());
        if (tones.empty()) {
            MESSAGE("skipped: the measured tones (harmonics.csv) are not there");
            return;
        }
        int played = 0;
        for (const char* crook : {"D", "C-basso", "Bb-basso", "F"}) {
            const horn::Tuning tuning{*horn::parse_crook(crook), 440.0, {}, {}};
            for (int partial = 4; partial <= 12; ++partial) {
                const double hz = horn::partial_hz(partial, tuning);
                for (const auto& tone : tones) {
                    if (tone.technique == "muted" ||
                        std::fabs(cents_between(tone.f0_hz, hz)) > 60.0) {
                        continue;
                    }
                    ++played;
                    CAPTURE(std::string(crook));
                    CAPTURE(partial);
                    CAPTURE(tone.f0_hz);
                    check_open(hear_first({hz, tone.amplitudes}, tuning, partial), partial);
                }
            }
        }
        MESSAGE(played << " first notes with measured colour");
        CHECK(played > 100);
    }
}
