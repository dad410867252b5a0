#include "instrument/measured_hand.h"

#include "horn/crook_chart.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::instrument;

namespace {

const horn::Tuning kOnD{*horn::parse_crook("D"), 430.0, {}};

Profile profile_with(AssemblyCalibration assembly) {
    Profile profile;
    profile.name = "school horn";
    profile.calibration.emplace();
    profile.calibration->assemblies.push_back(std::move(assembly));
    return profile;
}

AssemblyCalibration near_d() {
    AssemblyCalibration assembly;
    assembly.pieces = {"D crook"};
    assembly.f1_hz = horn::fundamental_hz(kOnD) * std::exp2(15.0 / 1200.0);
    return assembly;
}

horn::HandResponse measured(const AssemblyCalibration& assembly) {
    return *measured_hand_response(profile_with(assembly), kOnD, horn::hand_response(kOnD));
}

} // namespace

TEST_SUITE("instrument/measured_hand") {
    TEST_CASE("nothing measured but f1 leaves the hand as it was") {
        const auto nominal = horn::hand_response(kOnD);
        const auto response = measured(near_d());
        CHECK(response.open_cents == nominal.open_cents);
        CHECK(response.fall_cents == nominal.fall_cents);
        CHECK(response.source == "hand measured on school horn (D crook)");
    }

    TEST_CASE("a full stop that was found lands there, seen from the partial below") {
        AssemblyCalibration assembly = near_d();
        assembly.partials = {{7, -6.0, {}, 4}, {8, 4.0, {}, 4}};
        assembly.full_stops = {{92.0, {}, {}}, {110.0, {}, 8}};
        const auto response = measured(assembly);
        for (int partial = 2; partial <= 12; ++partial) {
            CAPTURE(partial);
            const double stopped =
                1200.0 * std::log2(partial) + horn::response_at(response, partial, 1.0);
            const double below =
                1200.0 * std::log2(partial - 1) + horn::response_at(response, partial - 1, 0.0);
            CHECK(stopped - below == doctest::Approx(partial == 8 ? 110.0 : 92.0).epsilon(1e-9));
        }
    }

    TEST_CASE("closing points replace the degrees they reach, and closing goes on falling beyond") {
        AssemblyCalibration assembly = near_d();
        assembly.hand_points = {{8, 0.5, -80.0}, {8, 0.25, -30.0}, {8, 0.125, -10.0}};
        const auto response = measured(assembly);
        CHECK(horn::response_at(response, 8, 0.25) == doctest::Approx(-30.0));
        CHECK(horn::response_at(response, 8, 0.5) == doctest::Approx(-80.0));
        const auto nominal = horn::hand_response(kOnD);
        CHECK(horn::response_at(response, 8, 1.0) - horn::response_at(response, 8, 0.5) ==
              doctest::Approx(horn::response_at(nominal, 8, 1.0) -
                              horn::response_at(nominal, 8, 0.5)));
        CHECK(horn::response_at(response, 9, 0.5) == horn::response_at(nominal, 9, 0.5));
    }

    TEST_CASE("what was measured loses the model's doubt, what was not keeps it") {
        AssemblyCalibration assembly = near_d();
        assembly.partials = {{6, 2.0, 1.2, 4}};
        assembly.full_stops = {{95.0, 2.5, 6}};
        assembly.hand_points = {{8, 0.5, -80.0}};
        const auto modelled = horn::hand_response(kOnD);
        const auto response = measured(assembly);
        CHECK(response.doubt_cents[5][0] == 1.2);
        CHECK(response.doubt_cents[5][4] == 2.5);
        CHECK(response.doubt_cents[5][2] == modelled.doubt_cents[5][2]);
        CHECK(response.doubt_cents[7][2] < 5.0);
        CHECK(response.doubt_cents[7][2] < modelled.doubt_cents[7][2]);
        CHECK(response.doubt_cents[7][3] == modelled.doubt_cents[7][3]);
        CHECK(response.doubt_cents[3] == modelled.doubt_cents[3]);
    }

    TEST_CASE("the chart asks the lips for what this player's horn leaves over") {
        AssemblyCalibration assembly = near_d();
        assembly.partials = {{5, -9.0, {}, 3}};
        for (const auto& note : horn::crook_chart(kOnD, measured(assembly))) {
            if (horn::ascii_name(note.written) == "E4") {
                // Source: computed, 1200 log2(5) is 13.69 cents below E4; 9 more are this horn's.
                CHECK(note.ways[0].lips_cents == doctest::Approx(13.69 + 9.0).epsilon(0.0005));
            }
        }
    }

    TEST_CASE("a horn measured in another key is no help, and the sentence says what to do") {
        AssemblyCalibration far = near_d();
        far.f1_hz = horn::fundamental_hz(kOnD) * std::exp2(90.0 / 1200.0);
        for (const Profile& profile : {profile_with(far), Profile{}}) {
            const auto response = measured_hand_response(profile, kOnD, horn::hand_response(kOnD));
            REQUIRE_FALSE(response);
            CHECK(response.error().message.find("calibrate") != std::string::npos);
        }
    }

    TEST_CASE("of two measured horns the nearer one counts") {
        Profile profile = profile_with(near_d());
        AssemblyCalibration nearer = near_d();
        nearer.f1_hz = horn::fundamental_hz(kOnD) * std::exp2(-4.0 / 1200.0);
        nearer.pieces = {"G crook", "fourth coupler"};
        profile.calibration->assemblies.push_back(nearer);
        const auto response = measured_hand_response(profile, kOnD, horn::hand_response(kOnD));
        REQUIRE(response);
        CHECK(response->source.find("G crook + fourth coupler") != std::string::npos);
    }
}
