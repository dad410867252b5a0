#include "desk/model/bench.h"

#include "core/assets.h"
#include "core/cents.h"
#include "desk/desk.h"
#include "support/fake_ear.h"
#include "support/temporary_folder.h"

#include <cmath>
#include <filesystem>
#include <fstream>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

std::filesystem::path demo_horn() {
    return assets_folder() / "instruments" / "demo_coupler_horn.json";
}

Bench demo_bench(double a4_hz = 430.0) {
    auto bench = Bench::open(demo_horn());
    REQUIRE(bench.has_value());
    horn::Tuning tuning;
    tuning.a4_hz = a4_hz;
    bench->aim(tuning);
    return std::move(*bench);
}

void press(Desk& desk, Key key, char32_t character = 0) {
    Press pressed;
    pressed.key = key;
    pressed.character = character;
    desk.press(pressed);
}

} // namespace

TEST_SUITE("gui/bench") {
    TEST_CASE("aimed at a key, the planner's best way lies on the bench and sounds it") {
        const Bench bench = demo_bench();
        REQUIRE_FALSE(bench.ways().ways.empty());
        CHECK(bench.way() == 0);
        CHECK(std::abs(bench.slide().left_cents) <= instrument::kUsualTolerance_cents);
        // The 8th partial of a horn in F sounds F4, which the tuning says by itself.
        horn::Tuning tuning;
        tuning.a4_hz = 430.0;
        const double off =
            cents_between(8.0 * bench.assembly().f1_hz, 8.0 * horn::fundamental_hz(tuning));
        CHECK(off == doctest::Approx(bench.slide().left_cents).epsilon(0.02));
    }

    TEST_CASE("partials 2 to 16 are named by their sounding note, with the deviation of the "
              "harmonic series") {
        Bench bench = demo_bench();
        REQUIRE(bench.partials().size() == 15);
        const double left = bench.slide().left_cents;
        CHECK(horn::ascii_name(bench.partials()[6].sounding) == "F4"); // partial 8 in F
        CHECK(bench.partials()[6].cents == doctest::Approx(left).epsilon(0.05));
        CHECK(horn::ascii_name(bench.partials()[5].sounding) == "Eb4"); // partial 7
        CHECK(bench.partials()[5].cents - left ==
              doctest::Approx(-31.17).epsilon(0.01)); // 1200 log2(7/4) - 1000
    }

    TEST_CASE("a piece taken off by hand raises the horn, and the planner's way is left") {
        Bench bench = demo_bench();
        const double before_hz = bench.assembly().f1_hz;
        int coupler = -1;
        for (int i = 0; i < bench.pieces(); ++i) {
            if (bench.mounted(i) && bench.piece(i).kind == instrument::PieceKind::coupler) {
                coupler = i;
            }
        }
        REQUIRE(coupler >= 0);
        bench.choose(coupler);
        bench.toggle_chosen();
        CHECK_FALSE(bench.mounted(coupler));
        CHECK(bench.assembly().f1_hz > before_hz);
        CHECK(bench.way() == -1);
        bench.toggle_chosen();
        CHECK(bench.way() == 0);
        CHECK(bench.assembly().f1_hz == doctest::Approx(before_hz));
    }

    TEST_CASE(
        "the only crook cannot be taken off a body that needs one: it is said, nothing changes") {
        Bench bench = demo_bench();
        const instrument::Stack before = bench.stack();
        bench.choose(before.crook);
        bench.toggle_chosen();
        CHECK_FALSE(bench.refusal().empty());
        CHECK(bench.stack() == before);
        bench.choose(before.crook == 0 ? 1 : 0); // another crook replaces it
        bench.toggle_chosen();
        CHECK(bench.refusal().empty());
        CHECK(bench.stack().crook != before.crook);
    }

    TEST_CASE("another key or pitch is planned anew, the same one is left as it lies") {
        Bench bench = demo_bench();
        bench.take_way(2);
        horn::Tuning tuning;
        tuning.a4_hz = 430.0;
        bench.aim(tuning);
        CHECK(bench.way() == 2);
        tuning.crook = horn::all_crooks()[9]; // E flat
        bench.aim(tuning);
        CHECK(bench.way() == 0);
        CHECK(bench.length_for_m(tuning.crook) > bench.length_for_m(horn::Crook{}));
    }

    TEST_CASE("a key that nothing reaches says what to have made; a room says what warms up") {
        Bench bench = demo_bench();
        CHECK(bench.missing().empty());
        CHECK(bench.warm_up().later_c ==
              doctest::Approx(26.8).epsilon(0.01)); // (20 + 34) / 2, almost
        const double slide_m = bench.warm_slide().later.pull_m;
        CHECK(slide_m >= bench.warm_slide().now.pull_m); // warmer is higher: further out
        bench.set_room(8.0);
        CHECK(bench.warm_up().rise_cents > 15.0);
        horn::Tuning tuning;
        tuning.a4_hz = 430.0;
        tuning.crook = horn::parse_crook("C-alto").value();
        bench.aim(tuning);
        CHECK_FALSE(bench.ways().in_tune);
        CHECK(bench.missing().find("C alto") != std::string::npos);
        CHECK(bench.missing().find("m of tube") != std::string::npos);
        CHECK(bench.missing().find("±") != std::string::npos);
        tuning.crook = horn::Crook{};
        bench.aim(tuning);
        CHECK(bench.missing().empty());
    }

    TEST_CASE("on the desk: the bench opens with its screen, and keys put pieces on and off") {
        test::FakeEar ear;
        DeskStart start;
        start.horn_profile = demo_horn();
        Desk desk(ear.ear(), start);
        desk.update(0.0);
        CHECK(desk.pages().bench.bench() == nullptr); // nothing is read before it is looked at
        press(desk, Key::none, U'4');
        CHECK(desk.screen() == Screen::bench);
        desk.update(0.1);
        REQUIRE(desk.pages().bench.bench() != nullptr);
        press(desk, Key::right);
        CHECK(desk.pages().bench.bench()->way() == 1);
        press(desk, Key::left);
        press(desk, Key::left);
        CHECK(desk.pages().bench.bench()->way() == 0);
        press(desk, Key::down);
        press(desk, Key::down);
        CHECK(desk.pages().bench.bench()->chosen() == 2);
        const bool was = desk.pages().bench.bench()->mounted(2);
        press(desk, Key::enter);
        CHECK(desk.pages().bench.bench()->mounted(2) != was);
    }

    TEST_CASE("a dropped profile comes to the bench; one that cannot be read is named and the old "
              "horn stays") {
        test::FakeEar ear;
        DeskStart start;
        start.horn_profile = "/nowhere/horn.json";
        Desk desk(ear.ear(), start);
        desk.show(Screen::bench);
        desk.update(0.0);
        CHECK(desk.pages().bench.bench() == nullptr);
        CHECK(desk.pages().bench.problem().find("/nowhere/horn.json") != std::string::npos);
        desk.show(Screen::practice);
        desk.take_file(demo_horn());
        CHECK(desk.screen() == Screen::bench);
        REQUIRE(desk.pages().bench.bench() != nullptr);
        CHECK(desk.pages().bench.problem().empty());
        const test::TemporaryFolder folder;
        const auto broken = folder / "bellhand broken horn.json";
        std::ofstream(broken) << "{";
        desk.take_file(broken);
        CHECK(desk.pages().bench.bench() != nullptr);
        CHECK_FALSE(desk.pages().bench.problem().empty());
        CHECK(desk.session().horn_profile() == demo_horn());
    }
}
