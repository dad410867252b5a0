// The whole window drawn without a window: Dear ImGui with a display size, real fonts, keys and a pointer, no back end.
#include "core/assets.h"
#include "desk/desk.h"
#include "gui/fonts.h"
#include "gui/views/views.h"
#include "support/fake_ear.h"
#include "support/sounding_note.h"
#include "support/stage.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <cstddef>
#include <string_view>
#include <thread>

#include <doctest/doctest.h>
#include <imgui.h>

using namespace bellhand;
using namespace bellhand::desk;
using namespace bellhand::gui;
using test::sound;
using test::Stage;

namespace {

void type(Desk& desk, std::string_view characters) {
    for (const char character : characters) {
        Press press;
        press.character = static_cast<char32_t>(character);
        desk.press(press);
    }
}

void press(Desk& desk, Key key) {
    Press pressed;
    pressed.key = key;
    desk.press(pressed);
}

DeskStart demo_start() {
    DeskStart start;
    start.input.kind = InputChoice::Kind::demo;
    start.horn_profile = assets_folder() / "instruments" / "demo_coupler_horn.json";
    return start;
}

} // namespace

TEST_SUITE("gui/window without a window") {
    TEST_CASE("every written note of the chart is drawn on every screen, inside the window") {
        test::FakeEar ear;
        Stage stage(1280.0F, 800.0F);
        Desk desk(ear.ear(), demo_start());
        double at_s = 0.0;
        for (const horn::ChartEntry& entry : horn::hand_chart()) {
            CAPTURE(horn::ascii_name(entry.written));
            sound(*ear.shared->sessions.back(), at_s, entry.written, at_s < 10.0 ? -80.0 : 7.0);
            at_s += 2.0;
            for (const Screen screen : {Screen::practice,
                                        Screen::lesson,
                                        Screen::chart,
                                        Screen::bench,
                                        Screen::today,
                                        Screen::hand,
                                        Screen::closing}) {
                desk.show(screen);
                CHECK(stage.frame(desk) > 40);
                CHECK(stage.stray_corners() == 0);
            }
        }
    }

    TEST_CASE("all sheets fit at every size of type and window, with nothing drawn outside") {
        for (const auto& [width, height] : {std::array{1280.0F, 800.0F},
                                            std::array{1920.0F, 1080.0F},
                                            std::array{640.0F, 480.0F},
                                            std::array{480.0F, 900.0F}}) {
            for (const double scale : {0.75, 1.0, 1.5, 3.0}) {
                CAPTURE(width);
                CAPTURE(height);
                CAPTURE(scale);
                test::FakeEar ear;
                ear.shared->devices = {
                    test::input_device(
                        0, "a microphone with a name that is much longer than any row is wide", 64),
                    test::input_device(1, "monitor", 2, true)};
                Stage stage(width, height, scale);
                Desk desk(ear.ear(), demo_start());
                sound(*ear.shared->sessions.back(), 0.0, {73, 1}, 4.0);
                for (const Sheet sheet : {Sheet::none,
                                          Sheet::input,
                                          Sheet::crook,
                                          Sheet::pitch,
                                          Sheet::temperament,
                                          Sheet::exercises,
                                          Sheet::sound}) {
                    desk.open(sheet);
                    while (desk.session().looking_for_devices()) {
                        stage.frame(desk);
                        std::this_thread::sleep_for(std::chrono::milliseconds(1));
                    }
                    CAPTURE(static_cast<int>(sheet));
                    stage.frame(desk);
                    CHECK(stage.stray_corners() == 0);
                }
                desk.close_sheet();
                for (const Screen screen : {Screen::lesson,
                                            Screen::chart,
                                            Screen::bench,
                                            Screen::today,
                                            Screen::log,
                                            Screen::progress,
                                            Screen::run,
                                            Screen::hand,
                                            Screen::closing}) {
                    CAPTURE(static_cast<int>(screen));
                    desk.show(screen);
                    stage.frame(desk);
                    CHECK(stage.stray_corners() == 0);
                }
                for (const Sheet sheet : {Sheet::help,
                                          Sheet::about,
                                          Sheet::figures}) { // pages that scroll under a clip
                    desk.open(sheet);
                    for (int i = 0; i < 30; ++i) {
                        press(desk, Key::down);
                    }
                    CHECK(stage.frame(desk) > 100);
                }
            }
        }
    }

    TEST_CASE("the letters of the note are at least a sixth of the window high") {
        for (const auto& [width, height] :
             {std::array{1280.0F, 800.0F}, std::array{1920.0F, 1080.0F}}) {
            test::FakeEar ear;
            Stage stage(width, height);
            Desk desk(ear.ear(), demo_start());
            sound(*ear.shared->sessions.back(),
                  0.0,
                  {72, 0},
                  0.0); // written C5: one letter, no accidental
            stage.frame(desk);
            // The tallest quad of the picture that carries a letter: the C itself (round letters stand out a little).
            const FontBook::Cut& cut = stage.fonts().cut(Face::music, 0.21F * height, false);
            const ImFontGlyph* letter = cut.font->FindGlyph('C');
            float tallest = 0.0F;
            const ImDrawData* data = ImGui::GetDrawData();
            for (int i = 0; i < data->CmdListsCount; ++i) {
                const auto& corners = data->CmdLists[i]->VtxBuffer;
                for (int at = 0; at + 2 < corners.Size; ++at) {
                    if (corners[at].uv.x == letter->U0 && corners[at].uv.y == letter->V0) {
                        tallest = std::max(tallest, corners[at + 2].pos.y - corners[at].pos.y);
                    }
                }
            }
            CHECK(tallest >= height / 6.0F);
        }
    }

    TEST_CASE("a click on the crook at the head of the page opens its sheet, a click beside it "
              "closes it") {
        test::FakeEar ear;
        Stage stage(1280.0F, 800.0F);
        Desk desk(ear.ear(), demo_start());
        stage.frame(desk);
        stage.click(desk, 60.0F, 60.0F);
        CHECK(desk.sheet() == Sheet::crook);
        stage.click(desk, 60.0F, 400.0F);
        CHECK(desk.sheet() == Sheet::none);
    }

    TEST_CASE("a click on a row chooses it") {
        test::FakeEar ear;
        Stage stage(1280.0F, 800.0F);
        Desk desk(ear.ear(), demo_start());
        type(desk, "c");
        stage.frame(desk);
        stage.click(desk, 1000.0F, 112.0F); // the first row: C alto
        CHECK(desk.sheet() == Sheet::none);
        CHECK(desk.session().tuning().crook.transposition == 0);
    }

    TEST_CASE("the empty page, the lost device and the log that cannot be written are drawn with "
              "their sentence") {
        test::FakeEar ear;
        ear.shared->refuses = "No microphone was found: connect one, then press Space.";
        Stage stage(1280.0F, 800.0F);
        Desk desk(ear.ear(), {});
        const int with_sentence = stage.frame(desk);
        ear.shared->refuses.clear();
        type(desk, " ");
        CHECK(desk.session().listening());
        const int without = stage.frame(desk);
        CHECK(with_sentence > without);
        ear.shared->sessions.back()->log.message =
            "The log is locked by another program; 2 notes are waiting in memory.";
        CHECK(stage.frame(desk) != without);
    }

    TEST_CASE("a long practice draws every frame in a few milliseconds") {
        test::FakeEar ear;
        Stage stage(1280.0F, 800.0F);
        Desk desk(ear.ear(), demo_start());
        for (int i = 0; i < 40; ++i) {
            sound(*ear.shared->sessions.back(), 0.5 * i, {i % 2 == 0 ? 72 : 74, 0}, 3.0);
        }
        stage.frame(desk);
        const auto begin = std::chrono::steady_clock::now();
        constexpr int kFrames = 60;
        for (int i = 0; i < kFrames; ++i) {
            stage.frame(desk);
        }
        const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
        MESSAGE("milliseconds a frame, without the graphics card: ", 1e3 * took.count() / kFrames);
        CHECK(took.count() / kFrames < 0.1); // generous: a machine under sanitizers and load
    }
}
