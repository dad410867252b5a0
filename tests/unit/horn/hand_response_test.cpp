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
    return {*parse_crook(crook), a4_hz, *parse_temperament(temperament)};
}

double full_fall(const Tuning& tuning, int partial) {
    return response_at(nominal_hand_response(tuning), partial, 1.0);
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
    TEST_CASE(
        "full stop rises by the crook: a semitone on F, more on short crooks, less on long ones") {
        // Source: computed, 1200 log2(L / (L - 0.2208 m)), c = 343.4 m/s.
        const auto rise = [](const char* crook) {
            return full_stop_rise_cents(fundamental_hz(on(crook)));
        };
        CHECK(rise("F") == doctest::Approx(100.0).epsilon(1e-9));
        CHECK(rise("Bb-alto") == doctest::Approx(134.8).epsilon(0.0004));
        CHECK(rise("C-basso") == doctest::Approx(74.4).epsilon(0.0007));
        // Rounded to whole cents.
        CHECK(std::lround(rise("C-alto")) == 152);
        CHECK(std::lround(rise("A")) == 127);
        CHECK(std::lround(rise("Ab")) == 120);
        CHECK(std::lround(rise("G")) == 113);
        CHECK(std::lround(rise("E")) == 94);
        CHECK(std::lround(rise("Eb")) == 89);
        CHECK(std::lround(rise("D")) == 84);
        CHECK(std::lround(rise("Bb-basso")) == 66);
    }

    TEST_CASE("on F a full stop falls from each partial to a semitone above the one below") {
        // Source: computed, 1200 log2(n / ((n - 1) 2^(1/12))); n = 4: players report a major third, n = 8: a semitone
        // (List of horn techniques, dwikipedia).
        const Tuning f = on("F");
        const int falls[] = {602, 398, 286, 216, 167, 131, 104, 82, 65, 51, 39, 28, 19, 12};
        for (int partial = 3; partial <= 16; ++partial) {
            CAPTURE(partial);
            CHECK(std::fabs(full_fall(f, partial) + falls[partial - 3]) < 0.51);
        }
        CHECK(full_fall(f, 4) == doctest::Approx(-398.0).epsilon(0.0002));
        CHECK(full_fall(f, 8) == doctest::Approx(-131.2).epsilon(0.0003));
        CHECK(full_fall(f, 12) == doctest::Approx(-50.6).epsilon(0.001));
    }

    TEST_CASE("closing never raises a partial before the full stop, on any crook") {
        for (const Crook& crook : all_crooks()) {
            const HandResponse response = nominal_hand_response({crook, 415.0, {}});
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
        const HandResponse response = nominal_hand_response(on("Eb"));
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
                const Tuning tuning{crook, 430.0, temperament};
                for (const PlayedNote& note : crook_chart(tuning, nominal_hand_response(tuning))) {
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
        const auto in_equal = crook_chart(equal, nominal_hand_response(equal));
        const auto in_meantone = crook_chart(meantone, nominal_hand_response(meantone));
        REQUIRE(in_equal.size() == in_meantone.size());
        for (std::size_t i = 0; i < in_equal.size(); ++i) {
            const double offset =
                offset_from_equal_cents(meantone.temperament, in_equal[i].sounding.number);
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
            const HandResponse response = nominal_hand_response(tuning);
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
        const HandResponse response = nominal_hand_response(tuning);
        const auto chart = crook_chart(tuning, response);
        const PlayedWay from_below = played(chart, "C#5").ways[1];
        const double from_above = response_at(response, 9, 1.0) + 1200.0 * std::log2(9.0);
        CHECK(from_below.hand_cents + 1200.0 * std::log2(8.0) ==
              doctest::Approx(from_above).epsilon(1e-9));
        CHECK(from_below.hand_cents ==
              doctest::Approx(full_stop_rise_cents(fundamental_hz(tuning))).epsilon(1e-9));
    }

    TEST_CASE("a player's own hand takes the place of the nominal one") {
        const Tuning tuning = on("F");
        HandResponse mine = nominal_hand_response(tuning);
        mine.source = "measured";
        mine.open_cents[8 - 1] = -12.0;
        mine.fall_cents[8 - 1] = {0.0, -30.0, -88.0, -110.0, -125.0};
        const auto chart = crook_chart(tuning, mine);
        CHECK(played(chart, "C5").ways[0].lips_cents == doctest::Approx(12.0));
        CHECK(played(chart, "B4").ways[0].hand_cents == doctest::Approx(-100.0));
        CHECK(played(chart, "B4").ways[0].lips_cents == doctest::Approx(0.0));
    }

    TEST_CASE("drawing the hand out lifts no further than the note asks") {
        const Tuning tuning = on("F");
        HandResponse wide = nominal_hand_response(tuning);
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
