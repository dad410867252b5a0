// Every page and sheet, in every state that has keys of its own, laid out at the sizes of window that people have: nothing that is
// written lies over another word, is cut off by an edge, is smaller than can be read, or fades into its ground.
#include "gui/drawn.h"
#include "support/desk_states.h"
#include "support/sounding_note.h"
#include "support/stage.h"

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using gui::Box;
using gui::Drawn;
using gui::DrawnThings;

namespace {

// Contrast of text and of signs (WCAG 2.1, success criteria 1.4.3 and 1.4.11).
constexpr double kTextContrast = 4.5;
constexpr double kSignContrast = 3.0;
// A capital of Inter or DejaVu is 0.73 of the type's size: no type below 10.5 pixels. common practice, no source
constexpr float kLeastCap_px = 7.5F;

bool meets(const Box& one, const Box& other, float slack) {
    return std::min(one.x1, other.x1) - std::max(one.x0, other.x0) > slack &&
           std::min(one.y1, other.y1) - std::max(one.y0, other.y0) > slack;
}

bool within(const Box& inner, const Box& outer, float slack) {
    return inner.x0 >= outer.x0 - slack && inner.x1 <= outer.x1 + slack &&
           inner.y0 >= outer.y0 - slack && inner.y1 <= outer.y1 + slack;
}

bool written(const Drawn& thing) {
    return thing.kind != Drawn::Kind::fill && thing.box.x1 > thing.box.x0;
}

/// With what hangs below the line.
Box body(const Drawn& thing) {
    Box box = thing.box;
    if (thing.words.find_first_of("gjpqy,;()") != std::string::npos) {
        box.y1 += 0.25F * thing.cap_px;
    }
    return box;
}

std::string told(const Drawn& thing) {
    return "\"" + thing.words + "\" at " + std::to_string(static_cast<int>(thing.box.x0)) + "," +
           std::to_string(static_cast<int>(thing.box.y1)) + " (" +
           std::to_string(static_cast<int>(thing.cap_px)) + ")";
}

/// The picture of one frame, with what lies hidden under a sheet left out.
class Picture {
public:
    Picture(DrawnThings things, gui::Colour paper, float height)
        : things_(std::move(things)), paper_(paper), height_(height) {
        for (std::size_t i = 0; i < things_.size(); ++i) {
            if (written(things_[i]) && !covered(i)) {
                seen_.push_back(i);
            }
        }
    }

    /// A fault of each kind in a sentence, without those of contrast.
    [[nodiscard]] std::vector<std::string> faults_of_layout(const Box& window) const {
        std::vector<std::string> faults;
        for (std::size_t a = 0; a < seen_.size(); ++a) {
            const Drawn& one = things_[seen_[a]];
            if (!within(one.box, window, 0.5F) && meets(one.box, one.clip, 0.5F)) {
                faults.push_back("leaves the window: " + told(one));
            }
            if (!within(one.box, one.clip, 0.5F) && meets(one.box, one.clip, 0.5F)) {
                faults.push_back("clipped: " + told(one));
            }
            if (one.kind == Drawn::Kind::text && one.cap_px < kLeastCap_px) {
                faults.push_back("too small: " + told(one));
            }
            for (std::size_t b = a + 1; b < seen_.size(); ++b) {
                const Drawn& other = things_[seen_[b]];
                const float slack = std::max(1.0F, 0.12F * std::min(one.cap_px, other.cap_px));
                if (meets(body(one), body(other), slack) && meets(one.box, one.clip, 0.5F) &&
                    meets(other.box, other.clip, 0.5F)) {
                    faults.push_back("overlap: " + told(one) + " and " + told(other));
                }
            }
        }
        return faults;
    }

    [[nodiscard]] std::vector<std::string> faults_of_contrast() const {
        std::vector<std::string> faults;
        for (const std::size_t i : seen_) {
            const Drawn& thing = things_[i];
            const gui::Colour ground = ground_of(i);
            const double had = gui::contrast(over(thing.ink, ground), ground);
            if (had < (thing.kind == Drawn::Kind::text ? kTextContrast : kSignContrast)) {
                faults.push_back("contrast " + std::to_string(had).substr(0, 4) + ": " +
                                 told(thing));
            }
        }
        return faults;
    }

    /// Words that end in an ellipsis.
    [[nodiscard]] std::vector<std::string> cut() const {
        std::vector<std::string> words;
        for (const std::size_t i : seen_) {
            if (things_[i].cut) {
                words.push_back(told(things_[i]));
            }
        }
        return words;
    }

    [[nodiscard]] const std::vector<std::size_t>& seen() const { return seen_; }
    [[nodiscard]] const DrawnThings& things() const { return things_; }

private:
    static gui::Colour over(gui::Colour ink, gui::Colour ground) {
        const float opacity = static_cast<float>(ink >> 24U) / 255.0F;
        return gui::mixed(ground, ink, opacity) | 0xFF000000U;
    }
    [[nodiscard]] gui::Colour ground_of(std::size_t at) const {
        const float x = things_[at].box.middle_x();
        const float y = things_[at].box.middle_y();
        gui::Colour ground = paper_;
        for (std::size_t i = 0; i < at; ++i) {
            const Drawn& thing = things_[i];
            const bool line = thing.box.height() < 0.7F * things_[at].cap_px ||
                              thing.box.width() < 0.7F * things_[at].cap_px;
            if (thing.kind == Drawn::Kind::fill && !line && thing.box.x0 <= x &&
                x <= thing.box.x1 && thing.box.y0 <= y && y <= thing.box.y1) {
                ground = over(thing.ink, ground);
            }
        }
        return ground;
    }
    /// Something as large was laid over it: a sheet, or the veil beside it.
    [[nodiscard]] bool covered(std::size_t at) const {
        const Drawn& below = things_[at];
        return std::any_of(things_.begin() + static_cast<std::ptrdiff_t>(at),
                           things_.end(),
                           [&](const Drawn& thing) {
                               return thing.kind == Drawn::Kind::fill &&
                                      meets(thing.box, below.box, 0.0F) &&
                                      thing.box.height() > 12.0F * below.cap_px &&
                                      thing.box.width() > 12.0F * below.cap_px;
                           });
    }

    DrawnThings things_;
    gui::Colour paper_;
    float height_; ///< of the window
    std::vector<std::size_t> seen_;
};

struct Size {
    float width;
    float height;
};
constexpr std::array kSizes{
    Size{1024.0F, 600.0F}, Size{1280.0F, 800.0F}, Size{1920.0F, 1080.0F}, Size{3840.0F, 2160.0F}};
constexpr std::array kTypes{1.0, 1.4, 2.0};

/// A note sounds and others ended, with everything that can be said of them.
void fill(test::Room& room) {
    room.ear.shared->devices = {
        test::input_device(
            0, "a microphone with a name that is much longer than any row is wide", 64),
        test::input_device(1, "monitor", 2, true)};
    double at_s = 0.0;
    for (const horn::Note note :
         {horn::Note{61, 1}, horn::Note{70, -1}, horn::Note{77, 0}, horn::Note{66, 1}}) {
        test::sound(*room.ear.shared->sessions.back(), at_s, note, 7.0);
        at_s += 0.5;
    }
    room.settle();
}

/// The first notes of an exercise, one of them flat and held for long.
void play_in_run(test::Room& room) {
    room.type("5 ");
    test::FakeState& state = *room.ear.shared->sessions.back();
    test::play_asked(state, 0, {60, 0}, -14.0, 2.5);
    room.settle();
    test::play_asked(state, 1, {67, 0}, 1.0, 1.0);
    room.settle();
}

std::vector<test::State> all_states() {
    std::vector<test::State> all = test::states();
    all.push_back({"practice, a note", [](test::Room& room) { fill(room); }});
    all.push_back({"large, a note", [](test::Room& room) {
                       fill(room);
                       room.type("2");
                   }});
    all.push_back({"chart, a note", [](test::Room& room) {
                       fill(room);
                       room.type("3");
                   }});
    all.push_back({"last notes, a note", [](test::Room& room) {
                       fill(room);
                       room.type("8");
                   }});
    all.push_back({"run, notes judged", [](test::Room& room) { play_in_run(room); }});
    all.push_back({"sheet input, devices", [](test::Room& room) {
                       fill(room);
                       room.type("7i");
                   }});
    return all;
}

std::string at_size(const Size& size, double type) {
    return std::to_string(static_cast<int>(size.width)) + " by " +
           std::to_string(static_cast<int>(size.height)) + ", type " +
           std::to_string(type).substr(0, 3);
}

Picture picture_of(test::Stage& stage, const test::State& state, bool dark) {
    test::Room room;
    if (room.desk->preferences().dark != dark) {
        room.type("d");
    }
    state.come(room);
    (void)stage.look(*room.desk); // lists settle
    return {stage.look(*room.desk),
            dark ? gui::dark_palette().paper : gui::light_palette().paper,
            stage.height()};
}

/// How high running text is on the whole; what is as large as the window allows is left out.
double mean_cap(const Picture& picture, const test::Stage& stage) {
    double sum = 0.0;
    int count = 0;
    for (const std::size_t i : picture.seen()) {
        const Drawn& thing = picture.things()[i];
        if (thing.kind == Drawn::Kind::text && thing.cap_px < 1.2F * stage.scale().em_px) {
            sum += static_cast<double>(thing.cap_px);
            ++count;
        }
    }
    return count == 0 ? 0.0 : sum / count;
}

} // namespace

TEST_SUITE("gui/screens") {
    TEST_CASE(
        "nothing overlaps, is clipped or too small on any page, at any size of window and type") {
        const std::vector<test::State> all = all_states();
        for (const Size& size : kSizes) {
            for (const double type : kTypes) {
                test::Stage stage(size.width, size.height, type);
                for (const test::State& state : all) {
                    const Picture picture = picture_of(stage, state, false);
                    CHECK_MESSAGE(picture.seen().size() > 3, state.name << " is empty");
                    for (const std::string& fault :
                         picture.faults_of_layout({0.0F, 0.0F, size.width, size.height})) {
                        FAIL_CHECK(at_size(size, type) << ", " << state.name << ": " << fault);
                    }
                }
            }
        }
    }

    TEST_CASE("larger type is larger on every page") {
        test::Stage usual(1280.0F, 800.0F, 1.0);
        test::Stage large(1280.0F, 800.0F, 1.4);
        for (const test::State& state : all_states()) {
            const double before = mean_cap(picture_of(usual, state, false), usual);
            const double after = mean_cap(picture_of(large, state, false), large);
            CHECK_MESSAGE(after >= 1.06 * before, state.name << ": " << before << " and " << after);
        }
    }

    TEST_CASE("what is written stands out from its ground, in light and dark") {
        test::Stage stage(1280.0F, 800.0F);
        for (const bool dark : {false, true}) {
            for (const test::State& state : all_states()) {
                for (const std::string& fault :
                     picture_of(stage, state, dark).faults_of_contrast()) {
                    FAIL_CHECK(state.name << (dark ? ", dark: " : ", light: ") << fault);
                }
            }
        }
    }

    TEST_CASE("words of the program's own are not cut short") {
        for (const Size& size : kSizes) {
            test::Stage stage(size.width, size.height);
            for (const test::State& state : all_states()) {
                for (const std::string& words : picture_of(stage, state, false).cut()) {
                    // A name that somebody gave a microphone, a way to build a horn and its many pieces: they end where there is no room.
                    const bool given =
                        words.find("a microphone with a name") != std::string::npos ||
                        words.find(" + ") != std::string::npos;
                    CHECK_MESSAGE(given, at_size(size, 1.0) << ", " << state.name << ": " << words);
                }
            }
        }
    }

    // The least height of what is read while one plays. common practice, no source
    TEST_CASE("what is read while playing is at least 14 pixels high") {
        constexpr float kLeastFigure_px = 14.0F;
        // Above and below stand what is chosen before one plays, and the keys.
        constexpr float kHead = 0.17F;
        constexpr float kFoot = 0.90F;
        // On the run page and in a lesson everything is of the playing. Elsewhere the figures are: not sentences, the small
        // figure of an octave beside its letter, nor what explains a figure once (a target in hertz).
        const auto is_read = [](const std::string& page, const std::string& words) {
            const bool figure = words.find_first_of("0123456789") != std::string::npos;
            const bool alone = words.find(' ') == std::string::npos && words.size() > 1;
            return page == "run, notes judged" || (figure && (alone || page == "large, a note"));
        };
        const std::vector<std::string> kPlayed{
            "run, notes judged", "large, a note", "practice, a note", "bench"};
        for (const Size& size : kSizes) {
            test::Stage stage(size.width, size.height);
            for (const test::State& state : all_states()) {
                if (std::find(kPlayed.begin(), kPlayed.end(), state.name) == kPlayed.end()) {
                    continue;
                }
                int figures = 0;
                const Picture picture = picture_of(stage, state, false);
                for (const std::size_t i : picture.seen()) {
                    const Drawn& thing = picture.things()[i];
                    const bool read =
                        thing.kind == Drawn::Kind::text && is_read(state.name, thing.words) &&
                        thing.box.y0 > kHead * size.height && thing.box.y1 < kFoot * size.height;
                    figures += read ? 1 : 0;
                    CHECK_MESSAGE((!read || thing.cap_px >= kLeastFigure_px - 0.01F),
                                  at_size(size, 1.0) << ", " << state.name << ": " << told(thing));
                }
                CHECK(figures > 2);
            }
        }
    }

    TEST_CASE("the check itself sees faults") {
        const auto text =
            [](float x, float y, const char* words, gui::Colour ink = gui::rgb(0x000000)) {
                return Drawn{Drawn::Kind::text,
                             {x, y, x + 40.0F, y + 10.0F},
                             {0, 0, 100, 100},
                             ink,
                             10.0F,
                             false,
                             words};
            };
        const Box window{0.0F, 0.0F, 100.0F, 100.0F};
        const gui::Colour paper = gui::rgb(0xFFFFFF);
        CHECK(Picture({text(5, 5, "a"), text(50, 5, "b")}, paper, 1000.0F)
                  .faults_of_layout(window)
                  .empty());
        CHECK(Picture({text(5, 5, "a"), text(30, 9, "b")}, paper, 1000.0F)
                  .faults_of_layout(window)
                  .size() == 1);
        CHECK(Picture({text(80, 5, "a")}, paper, 1000.0F).faults_of_layout(window).size() >= 1);
        CHECK(Picture({text(5, 5, "a", gui::rgb(0x999999))}, paper, 1000.0F)
                  .faults_of_contrast()
                  .size() == 1);
        Drawn small = text(5, 5, "a");
        small.cap_px = 6.0F;
        CHECK(Picture({small}, paper, 1000.0F).faults_of_layout(window).size() == 1);
    }
}
