#include "instrument/calibration/calibration_profile.h"

#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::instrument;

namespace {

Piece tube(PieceKind kind, const char* name, double length_m) {
    Piece piece;
    piece.kind = kind;
    piece.name = name;
    piece.length_m = length_m;
    return piece;
}

Profile invented_horn() {
    Profile profile;
    profile.name = "Invented horn";
    profile.body.length_m = 2.235;
    profile.slide = {0.05, 0.0, 2};
    profile.crooks = {tube(PieceKind::terminal_crook, "G crook", 1.0),
                      tube(PieceKind::terminal_crook, "D crook", 2.1)};
    profile.couplers = {tube(PieceKind::coupler, "tone", 0.4)};
    return profile;
}

PlayedCalibration played(double f1_hz, std::vector<int> partials) {
    PlayedCalibration out;
    out.f1_hz = f1_hz;
    out.f1_sd_cents = 0.4;
    out.drift_sd_cents_per_min = 2.0;
    for (int n = 1; n <= 24; ++n) {
        out.partials.push_back({n, 1.5 * n, 1.0, 0});
    }
    for (const int n : partials) {
        out.partials[static_cast<std::size_t>(n - 1)].notes = 2;
    }
    return out;
}

MeasuredClosing closing(int partial, double fall_cents) {
    MeasuredClosing out;
    out.partial = partial;
    out.fall_cents = fall_cents;
    out.rise_cents = 110.0;
    out.fall_sd_cents = 3.0;
    out.rise_sd_cents = 3.5;
    for (int i = 0; i <= 20; ++i) {
        out.curve.push_back({i / 20.0, fall_cents * i / 20.0});
    }
    return out;
}

} // namespace

TEST_SUITE("instrument/calibration_profile") {
    TEST_CASE("only what was played goes into the profile") {
        const std::vector closings{closing(8, -120.0)};
        const auto found =
            assembly_calibration({{"G crook"}, 0.004, 22.0, *bellhand::horn::parse_crook("G")},
                                 played(48.999, {4, 8}),
                                 closings);
        REQUIRE(found.partials.size() == 2);
        CHECK(found.partials[1].partial == 8);
        CHECK(found.partials[1].cents == doctest::Approx(12.0));
        CHECK_FALSE(found.drift_cents_per_min.has_value()); // not known to a cent a minute
        CHECK(std::abs(*found.a4_hz - 440.0) < 0.01);       // G at 440: f1 48.999 Hz (computed)
        REQUIRE(found.full_stops.size() == 1);
        CHECK(found.full_stops[0].rise_cents == doctest::Approx(110.0));
        REQUIRE(found.hand_points.size() == 5);
        CHECK(found.hand_points[2].closure == doctest::Approx(0.5));
        CHECK(found.hand_points[2].cents == doctest::Approx(-60.0));
    }

    TEST_CASE("repeated landings shrink to their mean, what is not known below stays") {
        std::vector<MeasuredClosing> closings{
            closing(8, -120.0), closing(6, -200.0), closing(8, -120.0)};
        closings[0].rise_cents = 111.0; // a true 108.0, three times
        closings[2].rise_cents = 105.9;
        closings.push_back(closing(8, -120.0));
        closings.back().rise_cents = 108.0;
        const auto joined = repeats_joined(closings);
        REQUIRE(joined.size() == 2);
        CHECK(joined[0].partial == 8);
        CHECK(joined[0].rise_cents == doctest::Approx(108.3));
        CHECK(joined[0].rise_sd_cents < 3.0);
        CHECK(joined[0].rise_sd_cents >
              1.8); // sqrt(3.5^2 - 3^2): the partial below is no better known
        CHECK(joined[1].rise_sd_cents == doctest::Approx(3.5));
    }

    TEST_CASE("notes of another crook are refused with the crook that fits") {
        Profile profile = invented_horn();
        profile.name = "two crooks";
        // Both crooks were measured: G stands at 48.999 Hz, D at 36.708 (f1 at A440, computed).
        for (std::size_t i = 0; i < 2; ++i) {
            for (const int partial : {4, 6, 8}) {
                PitchMeasurement pitch;
                pitch.partial = partial;
                pitch.hz = partial * (i == 0 ? 48.999 : 36.708);
                pitch.temperature_c = 22.0;
                profile.crooks[i].pitches.push_back(pitch);
            }
        }
        const auto right =
            check_it_was_played(profile, {{"G crook"}, 0.0, 22.0, {}}, played(48.9, {4, 5, 6, 8}));
        CHECK_MESSAGE(right.has_value(), (right ? "" : right.error().message));
        const auto wrong =
            check_it_was_played(profile, {{"G crook"}, 0.0, 22.0, {}}, played(36.7, {4, 5, 6, 8}));
        REQUIRE_FALSE(wrong.has_value());
        CHECK(wrong.error().message.find("they fit D crook") != std::string::npos);
        CHECK(wrong.error().message.find("Nothing was written") != std::string::npos);
        const auto neither =
            check_it_was_played(profile, {{"G crook"}, 0.0, 22.0, {}}, played(41.5, {4, 5, 6, 8}));
        REQUIRE_FALSE(neither.has_value());
        CHECK(check_it_was_played(profile, {{"X crook"}, 0.0, 22.0, {}}, played(48.9, {4}))
                  .error()
                  .message.find("X crook") != std::string::npos);
    }

    TEST_CASE("a profile with findings is written and read again") {
        Profile profile = invented_horn();
        const std::vector closings{closing(8, -120.0)};
        store_calibration(profile,
                          assembly_calibration({{"G crook", "tone"}, 0.0, 22.0, {}},
                                               played(45.0, {4, 8}),
                                               closings));
        const auto again = parse_profile(profile_text(profile), "profile");
        REQUIRE_MESSAGE(again.has_value(), (again ? "" : again.error().message));
        REQUIRE(again->calibration.has_value());
        REQUIRE(again->calibration->assemblies.size() == 1);
        const AssemblyCalibration& read = again->calibration->assemblies[0];
        CHECK(*read.f1_hz == doctest::Approx(45.0));
        CHECK(read.partials.size() == 2);
        CHECK(read.hand_points.size() == 5);
    }

    TEST_CASE("a second session replaces what it measured and keeps the rest") {
        Profile profile = invented_horn();
        const std::vector first{closing(8, -120.0), closing(6, -200.0)};
        store_calibration(
            profile,
            assembly_calibration({{"G crook"}, 0.0, 22.0, {}}, played(48.9, {4, 8}), first));
        const std::vector second{closing(8, -100.0)};
        store_calibration(
            profile,
            assembly_calibration({{"G crook"}, 0.0002, 24.0, {}}, played(49.1, {5, 8}), second));
        REQUIRE(profile.calibration->assemblies.size() == 1);
        const AssemblyCalibration& kept = profile.calibration->assemblies[0];
        CHECK(*kept.f1_hz == doctest::Approx(49.1));
        REQUIRE(kept.partials.size() == 3);
        CHECK(kept.partials[0].partial == 4);
        CHECK(kept.partials[2].partial == 8);
        CHECK(kept.full_stops.size() == 2);
        CHECK(kept.hand_points.size() == 10);
        store_calibration(
            profile, assembly_calibration({{"G crook"}, 0.010, 24.0, {}}, played(48.0, {5}), {}));
        CHECK(profile.calibration->assemblies.size() == 2); // another slide is another horn
    }

    TEST_CASE("tubes with a tape length become crooks to fit, others are left out") {
        Profile profile = invented_horn();
        profile.couplers.push_back(tube(PieceKind::coupler, "unmeasured", 0.3));
        profile.couplers.back().length_m.reset();
        const auto add = [&](std::vector<std::string> pieces, double slide_m, double f1_hz) {
            store_calibration(profile,
                              assembly_calibration(
                                  {std::move(pieces), slide_m, 20.0, {}}, played(f1_hz, {8}), {}));
        };
        add({"G crook"}, 0.01, 48.5);
        add({"D crook", "tone"}, 0.0, 33.0);
        add({"D crook", "unmeasured"}, 0.0, 34.0);
        const auto crooks = measured_crooks(profile);
        REQUIRE(crooks.size() == 2);
        CHECK(crooks[0].tube_length_m == doctest::Approx(1.02)); // two legs of 10 mm
        CHECK(crooks[1].tube_length_m == doctest::Approx(2.5));
        CHECK(crooks[1].name == "D crook + tone");
    }

    TEST_CASE("tape over acoustic length of the modelled horn lies where narrow tubes have it") {
        std::vector<MeasuredCrook> crooks;
        for (const double length_m : {1.0, 2.5}) {
            crooks.push_back({"crook",
                              length_m,
                              bellhand::horn::acoustics::model_f1_hz(
                                  {}, length_m, bellhand::horn::acoustics::keefe_air(20)),
                              0.5,
                              20.0});
        }
        const auto fit = fit_tube(crooks);
        REQUIRE(fit.has_value());
        const auto factor = fitted_tube_factor(*fit, crooks);
        REQUIRE(factor.has_value());
        // Phase velocity over speed of sound in such tube, 0.96 to 0.99 (Keefe 1984; 0.986 for 5.5 mm at 440 Hz).
        CHECK(*factor > 0.96);
        CHECK(*factor < 0.995);
        CHECK_FALSE(fitted_tube_factor(*fit, std::vector<MeasuredCrook>{crooks[0]}).has_value());
    }
}
