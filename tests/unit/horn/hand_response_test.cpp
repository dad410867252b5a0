#include "horn/hand_response.h"

#include "core/cents.h"
#include "horn/crook_chart.h"

#include <algorithm>
#include <cmath>
#include <string>

#include <doctest/doctest.h>

using bellhand::cents_between;
using namespace bellhand::horn;

namespace {

Tuning on(const char* crook, double a4_hz = 440.0, const char* temperament = "equal") {
    return {*parse_crook(crook), a4_hz, *parse_temperament(temperament), {}};
}

PlayedNote played(const std::vector<PlayedNote>& chart, const char* name) {
    for (const PlayedNote& note : chart) {
        if (ascii_name(note.written) == name) {
            return note;
        }
    }
    FAIL("no note " << name);
    return chart.front();
}

} // namespace

TEST_SUITE("horn/hand_response") {
    TEST_CASE("closing never raises a partial before the full stop, on any crook") {
        for (const Crook& crook : all_crooks()) {
            const HandResponse response = hand_response({crook, 415.0, {}, {}});
            for (int partial = 1; partial <= kPartials; ++partial) {
                double before = 0.0;
                for (double closure = 0.0; closure <= 1.0; closure += 0.01) {
                    const double cents = response_at(response, partial, closure);
                    CHECK(cents <= before + 1e-12);
                    before = cents;
                }
            }
        }
    }

    TEST_CASE("the closure found gives the pitch asked for whenever the range reaches it") {
        const HandResponse response = hand_response(on("Eb"));
        for (int partial = 3; partial <= 13; ++partial) {
            for (double closure = 0.5; closure <= 1.0; closure += 0.05) {
                const double cents = response_at(response, partial, closure);
                const double found =
                    nearest_closure(response, partial, Hand::half, Hand::full, cents);
                CHECK(response_at(response, partial, found) ==
                      doctest::Approx(cents).epsilon(1e-9));
            }
            CHECK(nearest_closure(response, partial, Hand::half, Hand::full, 500.0) == 0.5);
            CHECK(nearest_closure(response, partial, Hand::half, Hand::full, -5000.0) == 1.0);
            CHECK(nearest_closure(response, partial, Hand::quarter, Hand::quarter, -5000.0) ==
                  0.25);
        }
    }
}

TEST_SUITE("horn/crook_chart") {
    TEST_CASE("hand and lips together make the note, exactly") {
        for (const Crook& crook : all_crooks()) {
            for (const Temperament& temperament : all_temperaments()) {
                const Tuning tuning{crook, 430.0, temperament, {}};
                for (const PlayedNote& note : crook_chart(tuning, hand_response(tuning))) {
                    for (const PlayedWay& way : note.ways) {
                        const double sum = way.hand_cents + way.lips_cents;
                        CHECK(sum == doctest::Approx(way.needed_cents).epsilon(1e-9));
                        const double hz =
                            partial_hz(way.way.partial, tuning) * std::exp2(sum / 1200.0);
                        CHECK(std::fabs(cents_between(hz, note.target_hz)) < 1e-6);
                        CHECK(way.closure >= closure_of(way.way.hand));
                        CHECK(way.closure <= closure_of(way.way.hand_to));
                    }
                }
            }
        }
    }

    TEST_CASE("in equal temperament what is needed is the chart's shift; elsewhere the sounding "
              "note's offset comes in") {
        const Tuning equal = on("D", 415.0);
        const Tuning meantone = on("D", 415.0, "quarter-comma");
        const auto in_equal = crook_chart(equal, hand_response(equal));
        const auto in_meantone = crook_chart(meantone, hand_response(meantone));
        REQUIRE(in_equal.size() == in_meantone.size());
        for (std::size_t i = 0; i < in_equal.size(); ++i) {
            const double offset = offset_from_equal_cents(meantone, in_equal[i].sounding.number);
            for (std::size_t w = 0; w < in_equal[i].ways.size(); ++w) {
                CHECK(in_equal[i].ways[w].needed_cents ==
                      doctest::Approx(in_equal[i].ways[w].way.shift_cents).epsilon(1e-9));
                CHECK(in_meantone[i].ways[w].needed_cents ==
                      doctest::Approx(in_equal[i].ways[w].needed_cents + offset).epsilon(1e-9));
            }
        }
    }

    TEST_CASE("no note lacks a partial that the hand can bend onto it, on any crook") {
        constexpr double kLips_cents = 20.0; // what lips give without anybody noticing
        for (const Crook& crook : all_crooks()) {
            const Tuning tuning{crook, 440.0, {}};
            const HandResponse response = hand_response(tuning);
            for (const PlayedNote& note : crook_chart(tuning, response)) {
                for (int partial = 2; partial <= kPartials; ++partial) {
                    const double needed = shift_from_partial_cents(note.written, partial);
                    const double reach = response_at(response, partial, 1.0);
                    if (needed > kLips_cents || needed < reach - kLips_cents) {
                        continue;
                    }
                    CAPTURE(ascii_name(note.written));
                    CAPTURE(partial);
                    CHECK(std::any_of(note.ways.begin(), note.ways.end(), [&](const auto& way) {
                        return way.way.partial == partial;
                    }));
                }
            }
        }
    }

    TEST_CASE("naming a full stop from below or from above is one resonance") {
        // C sharp 5: partial 9 fully closed and the full stop above partial 8.
        const Tuning tuning = on("Eb");
        const HandResponse response = hand_response(tuning);
        const auto chart = crook_chart(tuning, response);
        const PlayedWay from_below = played(chart, "C#5").ways[1];
        const double from_above = response_at(response, 9, 1.0) + 1200.0 * std::log2(9.0);
        CHECK(from_below.hand_cents + 1200.0 * std::log2(8.0) ==
              doctest::Approx(from_above).epsilon(1e-9));
    }

    TEST_CASE("a player's own hand takes the place of the modelled one") {
        const Tuning tuning = on("F");
        HandResponse mine = hand_response(tuning);
        mine.source = "measured";
        mine.open_cents[8 - 1] = -12.0;
        mine.fall_cents[8 - 1] = {0.0, -30.0, -88.0, -110.0, -125.0};
        const auto chart = crook_chart(tuning, mine);
        CHECK(played(chart, "C5").ways[0].lips_cents == doctest::Approx(12.0));
        CHECK(played(chart, "B4").ways[0].hand_cents == doctest::Approx(-100.0));
        CHECK(played(chart, "B4").ways[0].lips_cents == doctest::Approx(0.0));
    }

    TEST_CASE("a taught sign that the hand does not bear out by more than 50 cents is doubted") {
        // Half stop for F sharp 4 is taught on every crook; on B flat basso it falls 48 cents of the 102, on F 131.
        const auto way = [](const char* crook) {
            const Tuning tuning = on(crook);
            return played(crook_chart(tuning, hand_response(tuning)), "F#4").ways[0];
        };
        CHECK(way("Bb-basso").sign_doubted);
        CHECK(degree_of(way("Bb-basso").best_closure) == Hand::three_quarters);
        CHECK(way("Bb-basso").doubt_cents > 30.0);
        CHECK(sign_remark(way("Bb-basso")).find("½ gives −48 ± ") == 0);
        CHECK(sign_remark(way("Bb-basso")).find("¾ comes nearer.") != std::string::npos);
        CHECK_FALSE(way("F").sign_doubted);
        CHECK(sign_remark(way("F")).empty());
        int doubted = 0;
        for (const PlayedNote& note : crook_chart(on("C-alto"), hand_response(on("C-alto")))) {
            for (const PlayedWay& one : note.ways) {
                CHECK(one.sign_doubted == (one.way.hand_to != Hand::open && !one.way.lip &&
                                           !one.way.poor && std::fabs(one.lips_cents) > 50.0));
                doubted += one.sign_doubted ? 1 : 0;
            }
        }
        CHECK(doubted > 3);
    }

    TEST_CASE("drawing the hand out lifts no further than the note asks") {
        const Tuning tuning = on("F");
        HandResponse wide = hand_response(tuning);
        wide.hand_out_cents.fill(80.0);
        const PlayedWay way = played(crook_chart(tuning, wide), "Bb4").ways[0];
        CHECK(way.lips_cents == doctest::Approx(0.0));
        CHECK(way.hand_cents == doctest::Approx(31.17).epsilon(0.0005)); // computed, 1200 log2(7)
    }

    TEST_CASE("evenness and tone follow the degree of the hand") {
        // Source: common practice, no source.
        const auto usual = [](const char* name) { return chart_entry(*parse_note(name))->usual(); };
        CHECK(evenness_of(usual("C5")) == 5);
        CHECK(evenness_of(usual("Ab5")) == 4);
        CHECK(evenness_of(usual("B4")) == 3);
        CHECK(evenness_of(usual("D4")) == 2);
        CHECK(evenness_of(usual("Ab3")) == 1);
        CHECK(evenness_of(usual("C#3")) == 1);
        CHECK(evenness_of(usual("G2")) == 4);
        CHECK(tone_of(usual("Bb4")) == Tone::open);
        CHECK(tone_of(usual("B4")) == Tone::covered);
        CHECK(tone_of(usual("F4")) == Tone::stopped);
        CHECK(tone_of(usual("G2")) == Tone::lipped);
        CHECK(tone_of(usual("D3")) == Tone::lipped);
        CHECK(tone_of(usual("A5")) == Tone::open);
    }

    TEST_CASE("old notation writes the bass clef an octave lower") {
        // Source: common practice, no source.
        CHECK(ascii_name(in_bass_clef(*parse_note("C3"), BassClef::octave_lower)) == "C2");
        CHECK(ascii_name(in_bass_clef(*parse_note("G3"), BassClef::octave_lower)) == "G2");
        CHECK(ascii_name(in_bass_clef(*parse_note("Bb2"), BassClef::sounding_octave)) == "Bb2");
    }
}
