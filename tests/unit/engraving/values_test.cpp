#include "engraving/values.h"

#include <doctest/doctest.h>

using namespace bellhand::engraving;

namespace {

constexpr Metre kFour{4, 4, "4", false};
constexpr int kEighth = kQuarter / 2;

std::string written(const std::vector<Piece>& pieces) {
    static constexpr const char* kNames[] = {"1", "2", "4", "8", "16", "32", "64"};
    std::string text;
    for (const Piece& piece : pieces) {
        text += (text.empty() ? "" : " ") +
                std::string(kNames[static_cast<std::size_t>(piece.value.halvings)]) +
                std::string(static_cast<std::size_t>(piece.value.dots), '.') +
                (piece.value.actual != 1 ? "/" + std::to_string(piece.value.actual) : "");
    }
    return text;
}

std::string note(int eighths_before, int eighths, const Metre& metre = kFour) {
    return written(note_pieces(eighths_before * kEighth, eighths * kEighth, metre));
}

std::string rest(int eighths_before, int eighths, const Metre& metre = kFour) {
    return written(rest_pieces(eighths_before * kEighth, eighths * kEighth, metre));
}

/// Notes of these eighths from the beginning of a bar; a length of 0 is a sixteenth.
Score bar_of(const Metre& metre, std::initializer_list<int> eighths) {
    Score score;
    Bar bar;
    bar.metre = metre;
    bar.ticks = metre.bar_ticks();
    score.bars.push_back(bar);
    int tick = 0;
    for (const int length : eighths) {
        Event event;
        event.tick = tick;
        event.ticks = length > 0 ? length * kEighth : kEighth / 2;
        event.value = *value_of(event.ticks);
        event.head = bellhand::horn::StaffName{'G', 4, 0};
        tick += event.ticks;
        score.events.push_back(event);
    }
    return score;
}

std::string groups(const Metre& metre, std::initializer_list<int> eighths) {
    const Score score = bar_of(metre, eighths);
    std::string text;
    int before = -2;
    for (const int group : beam_groups(score, metres_of(score))) {
        text += group != before && !text.empty() ? " " : "";
        text += group < 0 ? "." : "n";
        before = group < 0 ? before - 10 : group;
    }
    return text;
}

} // namespace

TEST_SUITE("engraving/values") {
    TEST_CASE("a length and its value name each other") {
        for (int halvings = 0; halvings <= 6; ++halvings) {
            for (int dots = 0; dots <= 2; ++dots) {
                const Value value{halvings, dots, 1, 1};
                CHECK(value_of(ticks_of(value)) == value);
            }
        }
        CHECK(value_of(kQuarter / 3) == Value{3, 0, 3, 2});
        CHECK(value_of(2 * kQuarter / 3) == Value{2, 0, 3, 2});
        CHECK(value_of(kQuarter / 5) == Value{4, 0, 5, 4});
        CHECK_FALSE(value_of(5 * kQuarter));
        CHECK_FALSE(value_of(kQuarter / 2 * 5));
    }

    // E. Gould, Behind Bars (2011), "Ties: where to divide a note".
    TEST_CASE("notes in four quarters show the middle of the bar") {
        CHECK(note(0, 8) == "1");
        CHECK(note(0, 6) == "2.");
        CHECK(note(2, 6) == "2.");  // from the second quarter to the end
        CHECK(note(2, 4) == "2");   // the usual syncopation
        CHECK(note(1, 2) == "4");   // the same on a smaller scale
        CHECK(note(3, 2) == "8 8"); // but not over the middle
        CHECK(note(3, 4) == "8 4.");
        CHECK(note(0, 5) == "2 8");
        CHECK(note(0, 7) == "2..");
        CHECK(note(1, 7) == "4. 2");
        CHECK(note(0, 3) == "4.");
        CHECK(note(1, 3) == "4.");
    }

    TEST_CASE("other metres keep their beats") {
        CHECK(note(0, 6, {3, 4, "3", false}) == "2.");
        CHECK(note(2, 4, {3, 4, "3", false}) == "2");
        CHECK(note(0, 5, {6, 8, "6", false}) == "4. 4");
        CHECK(note(2, 2, {6, 8, "6", false}) == "8 8");
        CHECK(note(0, 6, {6, 8, "6", false}) == "2.");
        CHECK(note(0, 9, {9, 8, "9", false}) == "2. 4.");
        CHECK(note(0, 12, {12, 8, "12", false}) == "1.");
        CHECK(note(2, 4, {2, 2, "2", false}) == "2");
    }

    TEST_CASE("rests never hide a beat that weighs more than where they begin") {
        CHECK(rest(0, 4) == "2");
        CHECK(rest(4, 4) == "2");
        CHECK(rest(2, 4) == "4 4"); // over the middle
        CHECK(rest(2, 6) == "4 2");
        CHECK(rest(0, 6) == "2 4");
        CHECK(rest(1, 3) == "8 4");
        CHECK(rest(0, 3, {6, 8, "6", false}) == "4.");
        CHECK(rest(1, 5, {6, 8, "6", false}) == "8 8 4.");
        CHECK(rest(0, 4, {3, 4, "3", false}) == "2");
        CHECK(rest(2, 4, {3, 4, "3", false}) == "4 4");
    }

    TEST_CASE("every cut adds up, wherever it begins") {
        const Metre metres[] = {kFour,
                                {3, 4, "3", false},
                                {6, 8, "6", false},
                                {2, 2, "2", false},
                                {5, 4, "5", false},
                                {3, 8, "3", false}};
        for (const Metre& metre : metres) {
            constexpr int kStep = kQuarter / 8;
            for (int from = 0; from < metre.bar_ticks(); from += kStep) {
                for (int length = kStep; from + length <= metre.bar_ticks(); length += kStep) {
                    for (const auto& pieces :
                         {note_pieces(from, length, metre), rest_pieces(from, length, metre)}) {
                        int at = from;
                        for (const Piece& piece : pieces) {
                            CHECK(piece.tick == at);
                            at += ticks_of(piece.value);
                        }
                        CHECK(at == from + length);
                    }
                }
            }
        }
    }

    // E. Gould, Behind Bars (2011), "Beaming according to metre".
    TEST_CASE("beams follow the metre") {
        CHECK(groups(kFour, {1, 1, 1, 1, 1, 1, 1, 1}) == "nnnn nnnn");
        CHECK(groups(kFour, {2, 1, 1, 1, 1, 2}) == ". nn nn .");
        CHECK(groups(kFour, {0, 0, 0, 0, 1, 1, 1, 1, 1, 1}) == "nnnn nn nnnn");
        CHECK(groups({3, 4, "3", false}, {1, 1, 1, 1, 1, 1}) == "nnnnnn");
        CHECK(groups({6, 8, "6", false}, {1, 1, 1, 1, 1, 1}) == "nnn nnn");
        CHECK(groups({2, 2, "2", true}, {1, 1, 1, 1, 1, 1, 1, 1}) == "nnnn nnnn");
        CHECK(groups({3, 8, "3", false}, {1, 1, 1}) == "nnn");
        CHECK(groups(kFour, {3, 1, 4}) == ". . .");
    }

    TEST_CASE("beams that the file prescribes are kept where they hold together") {
        Score score = bar_of(kFour, {1, 1, 1, 1, 1, 1, 1, 1});
        const Beam beams[] = {Beam::begins,
                              Beam::ends,
                              Beam::begins,
                              Beam::ends,
                              Beam::begins,
                              Beam::goes_on,
                              Beam::goes_on,
                              Beam::ends};
        for (std::size_t i = 0; i < 8; ++i) {
            score.events[i].beam = beams[i];
        }
        CHECK(beam_groups(score, metres_of(score)) == std::vector<int>{0, 0, 1, 1, 2, 2, 2, 2});
    }

    TEST_CASE("triplets are told by their values") {
        Score score = bar_of(kFour, {});
        for (int i = 0; i < 6; ++i) {
            Event event;
            event.tick = i * kQuarter / 3;
            event.ticks = kQuarter / 3;
            event.value = {3, 0, 3, 2};
            event.head = bellhand::horn::StaffName{'C', 5, 0};
            score.events.push_back(event);
        }
        const auto tuplets = tuplets_of(score);
        REQUIRE(tuplets.size() == 2);
        CHECK(tuplets[0].to == 2);
        CHECK(tuplets[1].from == 3);
    }
}
