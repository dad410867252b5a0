// The lesson view as a shared screen shows it at the other end of a call: 640 by 360 pixels, H.264 at 150 kbit/s, five frames a
// second. Note, asked hand, heard hand and cents are read from each frame by comparison with pictures of every text that may
// stand there; those are made from the window itself, scaled down, never from what the codec gave back.
// Codec: x264 in ffmpeg (Debian ffmpeg), made by others; H.264 is ITU-T recommendation H.264.
#include "audio/exact_math.h"
#include "desk/model/heard_hand.h"
#include "desk/model/lesson_words.h"
#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/keys.h"
#include "support/painter.h"
#include "support/stage.h"
#include "support/temporary_folder.h"

#include <array>
#include <cstdlib>
#include <fstream>
#include <limits>
#include <map>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

constexpr std::size_t kWide = 640;
constexpr std::size_t kHigh = 360;
constexpr int kFramesOfNote = 8; // 1.6 s: notes are framed for 1.5 s at least

trainer::PlayedNote played(int number, double cents, double low, double high) {
    static std::uint32_t index = 0;
    trainer::PlayedNote note;
    note.index = index++;
    note.written = horn::usual_spelling(number);
    note.partial = horn::chart_entry(note.written)->usual().partial;
    note.start_s = 2.0 * note.index;
    note.duration_s = 1.2;
    note.deviation_cents = cents;
    note.finished = true;
    note.heard.heard = true;
    note.heard.estimate.position.known = true;
    note.heard.estimate.position.low = low;
    note.heard.estimate.position.high = high;
    return note;
}

/// A lesson view in a window of 1280 by 720.
struct Lesson {
    test::FakeEar ear;
    std::unique_ptr<desk::Desk> desk;
    test::Stage stage{2.0F * kWide, 2.0F * kHigh};
    test::Painter painter{gui::light_palette().paper};

    Lesson() {
        desk::DeskStart start;
        start.shelf = std::make_shared<test::FakeShelf>();
        desk = std::make_unique<desk::Desk>(ear.ear(), start);
        desk->press(test::letter('l'));
    }
    void play(const trainer::PlayedNote& note) {
        ear.shared->sessions.back()->ended.push_back(note);
        desk->session().lesson().follow();
        wall_s_ += 10.0;
        desk->update(wall_s_);
        REQUIRE(desk->session().lesson().framed()->index == note.index);
    }
    test::Pixels picture() {
        (void)stage.look(*desk);
        return painter.paint(*ImGui::GetDrawData()).halved();
    }

private:
    double wall_s_ = 0.0;
};

/// What stands in the four places.
struct Texts {
    std::array<std::string, 4> of; ///< note, asked, heard, cents
};
constexpr std::array<const char*, 4> kPlaces{"note", "asked hand", "heard hand", "cents"};

Texts texts_of(const desk::LessonNote& note) {
    return {{horn::display_name(note.written),
             desk::asked_signs(note.asked),
             desk::heard_signs(note.hand),
             desk::off_words(note)}};
}

struct Region {
    std::size_t x0 = 0;
    std::size_t y0 = 0;
    std::size_t x1 = 0;
    std::size_t y1 = 0;
};

/// Where they stand: under the headings of the columns, left of them, and below them.
std::array<Region, 4> regions(const gui::DrawnThings& drawn) {
    const auto find = [&](const std::string& words) {
        const auto at = std::find_if(drawn.begin(), drawn.end(), [&](const gui::Drawn& thing) {
            return thing.words == words && thing.box.y0 < kHigh; // of the window's upper half
        });
        REQUIRE_MESSAGE(at != drawn.end(), words << " is not drawn");
        return at->box;
    };
    const gui::Box asked = find("asked");
    const gui::Box heard = find("heard");
    const gui::Box partial = find("partial");
    const gui::Box cents = find("7 sharp");
    const auto region = [](float x0, float y0, float x1, float y1) {
        const auto half = [](float px) { return static_cast<std::size_t>(0.5F * px); };
        return Region{half(x0), half(y0), half(x1), half(y1)};
    };
    const float under = asked.y1 + 4.0F;
    const float over_cents = cents.y0 - 4.0F;
    return {region(0.03F * 2.0F * kWide, asked.y0, asked.x0 - 8.0F, cents.y1),
            region(asked.x0, under, heard.x0 - 4.0F, over_cents),
            region(heard.x0, under, partial.x0 - 4.0F, over_cents),
            region(cents.x0, over_cents, 2.0F * kWide - 8.0F, cents.y1 + 8.0F)};
}

/// Brightness of what stands there.
using Patch = std::vector<float>;

Patch patch_of(const test::Pixels& picture, const Region& where) {
    Patch patch;
    for (std::size_t y = where.y0; y < where.y1; ++y) {
        for (std::size_t x = where.x0; x < where.x1; ++x) {
            patch.push_back(picture.luma(x, y));
        }
    }
    return patch;
}

float difference(const Patch& a, const Patch& b) {
    float sum = 0.0F;
    for (std::size_t i = 0; i < a.size(); ++i) {
        sum += (a[i] - b[i]) * (a[i] - b[i]);
    }
    return sum;
}

/// Pictures of every text that may stand in each place.
class Reader {
public:
    explicit Reader(Lesson& lesson) {
        lesson.play(played(67, 7.0, 0.0, 0.0));
        where_ = regions(lesson.stage.look(*lesson.desk));
        for (int number = 36; number <= 84; ++number) {
            if (horn::chart_entry(horn::usual_spelling(number)) != nullptr) {
                notes_.push_back(number);
                learn(lesson, played(number, 7.0, 0.0, 0.0), {0, 1});
            }
        }
        for (const double low : kDegrees) {
            for (const double high : kDegrees) {
                if (high >= low && high - low <= 0.5) {
                    hands_.push_back({low, high});
                    learn(lesson, played(67, 7.0, low, high), {2});
                }
            }
        }
        for (int cents = -kMostCents; cents <= kMostCents; ++cents) {
            learn(lesson, played(67, cents, 0.0, 0.0), {3});
        }
    }

    [[nodiscard]] Texts read(const test::Pixels& picture) const {
        Texts texts;
        for (std::size_t place = 0; place < where_.size(); ++place) {
            const Patch seen = patch_of(picture, where_[place]);
            float least = std::numeric_limits<float>::max();
            for (const auto& [text, known] : known_[place]) {
                const float off = difference(seen, known);
                if (off < least) {
                    least = off;
                    texts.of[place] = text;
                }
            }
        }
        return texts;
    }
    /// A note that could be played, with everything about it.
    [[nodiscard]] trainer::PlayedNote any(audio::exact::Random& chance) const {
        const auto pick = [&](const auto& list) {
            return list[static_cast<std::size_t>(chance.uniform() *
                                                 static_cast<double>(list.size())) %
                        list.size()];
        };
        const auto hand = pick(hands_);
        return played(pick(notes_),
                      std::clamp(20.0 * chance.normal(), -1.0 * kMostCents, 1.0 * kMostCents),
                      hand[0],
                      hand[1]);
    }
    [[nodiscard]] std::string sizes() const {
        std::string words;
        for (std::size_t place = 0; place < known_.size(); ++place) {
            words += std::string(place == 0 ? "" : ", ") + kPlaces[place] + " of " +
                     std::to_string(known_[place].size());
        }
        return words;
    }

private:
    static constexpr int kMostCents = 60;
    static constexpr std::array kDegrees{0.0, 0.25, 0.5, 0.75, 1.0};

    void
    learn(Lesson& lesson, const trainer::PlayedNote& note, const std::vector<std::size_t>& places) {
        lesson.play(note);
        const test::Pixels picture = lesson.picture();
        const Texts texts = texts_of(*lesson.desk->session().lesson().framed());
        for (const std::size_t place : places) {
            known_[place].emplace(texts.of[place], patch_of(picture, where_[place]));
        }
    }

    std::array<Region, 4> where_;
    std::array<std::map<std::string, Patch>, 4> known_;
    std::vector<int> notes_;
    std::vector<std::array<double, 2>> hands_;
};

/// A film in H.264 of frames that are added one by one.
class Film {
public:
    void add(const test::Pixels& frame) {
        there_.write(reinterpret_cast<const char*>(frame.bytes.data()),
                     static_cast<std::streamsize>(frame.bytes.size()));
        ++frames_;
    }
    /// Hands over what the codec gives back; returns how many frames.
    template <class Each>
    int carry(Each each) {
        there_.close();
        const std::string quiet = "ffmpeg -nostdin -loglevel error -y ";
        const std::string pictures = "-f rawvideo -pix_fmt rgb24 ";
        const std::string encode =
            quiet + pictures + "-s 640x360 -r 5 -i " + name("there.rgb") +
            " -c:v libx264 -pix_fmt yuv420p -preset veryfast"
            " -tune zerolatency -b:v 150k -maxrate 150k -bufsize 150k -g 100 " +
            name("call.mp4");
        const std::string decode =
            quiet + "-i " + name("call.mp4") + " " + pictures + name("back.rgb");
        REQUIRE(std::system(encode.c_str()) == 0);
        REQUIRE(std::system(decode.c_str()) == 0);
        std::ifstream back(name("back.rgb"), std::ios::binary);
        test::Pixels frame{kWide, kHigh, std::vector<std::uint8_t>(3 * kWide * kHigh)};
        int count = 0;
        while (back.read(reinterpret_cast<char*>(frame.bytes.data()),
                         static_cast<std::streamsize>(frame.bytes.size()))) {
            each(frame);
            ++count;
        }
        return count;
    }
    [[nodiscard]] double kbit_s() const {
        const auto bytes = static_cast<double>(std::filesystem::file_size(name("call.mp4")));
        return 8e-3 * bytes * 5.0 / frames_;
    }

private:
    [[nodiscard]] std::string name(const char* file) const { return (folder_ / file).string(); }

    test::TemporaryFolder folder_;
    std::ofstream there_{name("there.rgb"), std::ios::binary};
    int frames_ = 0;
};

} // namespace

TEST_SUITE("gui/lesson") {
    TEST_CASE("over a call note, asked hand, heard hand and cents are read from 99 frames of 100") {
        if (std::system("command -v ffmpeg > /dev/null") != 0) {
            MESSAGE("skipped: ffmpeg is not installed");
            return;
        }
        constexpr int kNotes = 50;
        Lesson lesson;
        const Reader reader(lesson);
        audio::exact::Random chance(11);
        Film film;
        std::vector<Texts> truth;
        for (int i = 0; i < kNotes; ++i) {
            lesson.play(reader.any(chance));
            const test::Pixels picture = lesson.picture();
            for (int frame = 0; frame < kFramesOfNote; ++frame) {
                film.add(picture);
                truth.push_back(texts_of(*lesson.desk->session().lesson().framed()));
            }
        }
        int right = 0;
        std::array<int, 4> wrong{};
        std::size_t at = 0;
        const int frames = film.carry([&](const test::Pixels& picture) {
            REQUIRE(at < truth.size());
            const Texts read = reader.read(picture);
            right += read.of == truth[at].of ? 1 : 0;
            for (std::size_t place = 0; place < wrong.size(); ++place) {
                wrong[place] += read.of[place] == truth[at].of[place] ? 0 : 1;
            }
            ++at;
        });
        MESSAGE(reader.sizes(),
                "; ",
                film.kbit_s(),
                " kbit/s; right ",
                right,
                " of ",
                frames,
                " frames; wrong: note ",
                wrong[0],
                ", asked ",
                wrong[1],
                ", heard ",
                wrong[2],
                ", cents ",
                wrong[3]);
        CHECK(frames == kNotes * kFramesOfNote);
        CHECK(film.kbit_s() < 160.0);
        CHECK(right >= 0.99 * frames);
    }
}
