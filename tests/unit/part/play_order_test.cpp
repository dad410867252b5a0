#include "part/read/play_order.h"

#include <doctest/doctest.h>

using namespace bellhand::part;

namespace {

Music bars(int count) {
    Music music;
    for (int i = 0; i < count; ++i) {
        Bar bar;
        bar.number = std::to_string(i + 1);
        bar.ticks = 4 * kQuarter;
        music.bars.push_back(bar);
    }
    return music;
}

Signs& signs(Music& music, int bar) {
    return music.bars[static_cast<std::size_t>(bar - 1)].signs;
}

/// Numbers of the bars as played.
std::string played(const Music& music) {
    std::string text;
    for (const int bar : play_order(music).bars) {
        text += (text.empty() ? "" : " ") + music.bars[static_cast<std::size_t>(bar)].number;
    }
    return text;
}

} // namespace

TEST_SUITE("part/play_order") {
    TEST_CASE("straight, repeats, and more than twice") {
        Music music = bars(4);
        CHECK(played(music) == "1 2 3 4");
        signs(music, 2).repeat_begins = true;
        signs(music, 3).repeat_ends = true;
        CHECK(played(music) == "1 2 3 2 3 4");
        signs(music, 3).repeat_times = 3;
        CHECK(played(music) == "1 2 3 2 3 2 3 4");
        signs(music, 2).repeat_begins = false; // back to the beginning
        signs(music, 3).repeat_times = 2;
        CHECK(played(music) == "1 2 3 1 2 3 4");
    }

    TEST_CASE("two sections in a row") {
        Music music = bars(4);
        signs(music, 2).repeat_ends = true;
        signs(music, 3).repeat_begins = true;
        signs(music, 4).repeat_ends = true;
        CHECK(played(music) == "1 2 1 2 3 4 3 4");
    }

    TEST_CASE("endings") {
        Music music = bars(5);
        signs(music, 1).repeat_begins = true;
        signs(music, 3).ending_begins = {1};
        signs(music, 3).ending_ends = true;
        signs(music, 3).repeat_ends = true;
        signs(music, 4).ending_begins = {2};
        signs(music, 4).ending_ends = true;
        CHECK(played(music) == "1 2 3 1 2 4 5");
        signs(music, 3).ending_begins = {1, 2};
        signs(music, 4).ending_begins = {3};
        CHECK(played(music) == "1 2 3 1 2 3 1 2 4 5");
    }

    TEST_CASE("da capo al fine, without the repeats") {
        Music music = bars(6);
        signs(music, 2).repeat_ends = true;
        signs(music, 3).fine = true;
        signs(music, 6).da_capo = true;
        CHECK(played(music) == "1 2 1 2 3 4 5 6 1 2 3");
    }

    TEST_CASE("dal segno al coda, and the same in words") {
        Music music = bars(7);
        signs(music, 2).segno = true;
        signs(music, 3).to_coda = true;
        signs(music, 5).dal_segno = true;
        signs(music, 6).coda = true;
        CHECK(played(music) == "1 2 3 4 5 2 3 6 7");
        signs(music, 3).to_coda = false;
        signs(music, 5).dal_segno = false;
        music.words = {{{2, 0}, "To Coda", {}}, {{4, 0}, "D.S. al Coda", {}}};
        CHECK(played(music) == "1 2 3 4 5 2 3 6 7");
    }

    TEST_CASE("after a da capo the last ending is taken") {
        Music music = bars(5);
        signs(music, 2).ending_begins = {1};
        signs(music, 2).ending_ends = true;
        signs(music, 2).repeat_ends = true;
        signs(music, 3).ending_begins = {2};
        signs(music, 3).ending_ends = true;
        signs(music, 3).fine = true;
        signs(music, 5).da_capo = true;
        CHECK(played(music) == "1 2 1 3 4 5 1 3");
    }

    TEST_CASE("what leads nowhere is played straight, and said") {
        const auto straight = [](const Music& music) {
            const PlayOrder order = play_order(music);
            CHECK(order.doubt.back() == '.');
            CHECK(order.bars.size() == music.bars.size());
        };
        Music music = bars(3);
        signs(music, 2).repeat_ends = true;
        signs(music, 2).repeat_times = 1'000'000'000;
        straight(music);
        music = bars(3);
        signs(music, 2).dal_segno = true;
        straight(music);
        music = bars(3);
        signs(music, 1).to_coda = true;
        signs(music, 3).da_capo = true;
        straight(music);
        music = bars(3);
        signs(music, 1).ending_begins = {2};
        straight(music);
        // A hundred times three hundred notes.
        music = bars(3);
        signs(music, 2).repeat_ends = true;
        signs(music, 2).repeat_times = 100;
        for (int i = 0; i < 300; ++i) {
            Note note;
            note.at = {1, i};
            music.notes.push_back(note);
        }
        straight(music);
    }
}
