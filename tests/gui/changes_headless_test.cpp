// The crook-change drill drawn without a window, at every size: nothing leaves it, and the pointer reaches what keys reach.
#include "core/assets.h"
#include "desk/desk.h"
#include "desk/model/piece_choice.h"
#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/keys.h"
#include "support/stage.h"

#include <memory>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using test::key;
using test::letter;
using test::Stage;
using Place = ChangesPage::Stage;

namespace {

DeskStart with_box(bool own) {
    DeskStart start;
    start.shelf = std::make_shared<test::FakeShelf>();
    start.horn_profile = assets_folder() / "instruments" / "demo_coupler_horn.json";
    start.own_horn = own;
    return start;
}

void draw(Stage& stage, Desk& desk, Place place) {
    do {
        stage.frame(desk);
    } while (desk.pages().changes.stage() == Place::planning);
    CHECK(desk.pages().changes.stage() == place);
    CHECK(stage.frame(desk) > 400);
    CHECK(stage.stray_corners() == 0);
}

} // namespace

TEST_SUITE("gui/changes") {
    TEST_CASE("every stage of the drill stays inside the window at every size of window and type") {
        for (const bool own : {false, true}) {
            for (const auto& [width, height] : {std::pair{1024.0F, 600.0F},
                                                std::pair{1280.0F, 800.0F},
                                                std::pair{1920.0F, 1080.0F}}) {
                for (const double scale : {0.75, 1.0, 3.0}) {
                    CAPTURE(own);
                    CAPTURE(width);
                    CAPTURE(scale);
                    test::FakeEar ear;
                    Desk desk(ear.ear(), with_box(own));
                    Stage stage(width, height, scale);
                    desk.take_file(assets_folder() / "setlists" / "demo_opera.json");
                    draw(stage, desk, Place::ready);
                    desk.press(key(Key::enter));
                    draw(stage, desk, Place::called);
                    desk.press(letter('1'));
                    desk.press(key(Key::enter));
                    draw(stage, desk, Place::judged);
                    for (int i = 0; i < 7; ++i) { // to a key with a long name
                        desk.press(letter(' '));
                        desk.press(key(Key::page_down));
                    }
                    draw(stage, desk, Place::judged);
                    desk.press(key(Key::escape));
                    draw(stage, desk, Place::over);
                    desk.press(key(Key::escape));
                    desk.press(key(Key::down));
                    desk.press(key(Key::right));
                    desk.press(key(Key::enter));
                    draw(stage, desk, Place::called); // mounted and played
                }
            }
        }
    }

    TEST_CASE("a click on a piece puts it on") {
        test::FakeEar ear;
        Desk desk(ear.ear(), with_box(true));
        Stage stage(1280.0F, 800.0F);
        desk.show(Screen::changes);
        desk.press(key(Key::enter));
        draw(stage, desk, Place::called);
        // The pieces stand in the right third of the window.
        int clicked = 0;
        for (float y = 120.0F; y < 700.0F; y += 20.0F) {
            const instrument::Stack before = desk.pages().changes.named();
            stage.click(desk, 1200.0F, y);
            clicked += desk.pages().changes.named() == before ? 0 : 1;
        }
        CHECK(clicked >= 8);
    }

    TEST_CASE("no box to be read: the page says so") {
        test::FakeEar ear;
        DeskStart start = with_box(true);
        start.horn_profile = "/nowhere/horn.json";
        Desk desk(ear.ear(), start);
        Stage stage(1280.0F, 800.0F);
        desk.show(Screen::changes);
        draw(stage, desk, Place::ready);
    }
}
