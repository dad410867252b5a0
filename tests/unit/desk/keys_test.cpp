// One table of keys: what is shown is what acts, on every page and sheet.
#include "desk/keys.h"

#include "desk/desk.h"
#include "support/desk_states.h"
#include "support/keys.h"

#include <map>
#include <set>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using test::key;
using test::letter;
using test::State;
using test::states;

namespace {

std::vector<Press> every_press() {
    std::vector<Press> all;
    for (char c = ' '; c <= '~'; ++c) {
        all.push_back(letter(c));
        all.push_back(test::with_control(c));
    }
    for (int k = static_cast<int>(Key::enter); k <= static_cast<int>(Key::f11); ++k) {
        all.push_back(key(static_cast<Key>(k)));
    }
    return all;
}

std::string name_of_press(const Press& press) {
    return std::string(press.control ? "Ctrl " : "") +
           (press.key == Key::none ? std::string(1, static_cast<char>(press.character))
                                   : "key " + std::to_string(static_cast<int>(press.key)));
}

/// Lines that may leave everything as it is, and why.
bool may_be_still(const KeyLine& line, const std::string& state) {
    return line.words.rfind("keep the last two minutes", 0) == 0 || // nothing was recorded
           line.words == "forget your open notes" ||
           (line.words == "tap the beat") ||     // the first of two beats
           line.words == "complete the name" ||  // nothing is there
           line.words == "move it" ||            // needs Shift
           line.words == "straight to a page" || // the one that is shown
           (line.words == "the part to play from" && state.rfind("part", 0) == 0) ||
           line.words == "write" || state == "homework, sent" ||
           state == "progress, written" ||                            // the same file once more
           (line.words == "open a file" && state == "sheet files") || // it is open
           line.words == "look again";
}

} // namespace

TEST_SUITE("desk/keys") {
    TEST_CASE("every key on every page and sheet does what the table says, and nothing else") {
        for (const State& state : states()) {
            CAPTURE(state.name);
            test::Room still;
            state.come(still);
            const KeyTable table = still.desk->keys();
            const bool writing = still.desk->sheet() == Sheet::none
                                     ? still.desk->pages().at(still.desk->screen()).writing()
                                     : still.desk->sheets().at(still.desk->sheet())->writing();
            const std::string before = still.all();
            std::set<const KeyLine*> moved;
            for (const Press& press : every_press()) {
                const KeyLine* line = line_for(table, press);
                if (line == nullptr && !writing) {
                    still.press(press);
                    CAPTURE(name_of_press(press));
                    CHECK(still.all() == before); // a key that is not in the table does nothing
                } else if (line != nullptr) {
                    test::Room room;
                    state.come(room);
                    REQUIRE(room.all() == before);
                    room.press(press);
                    if (room.all() != before) {
                        moved.insert(line);
                    }
                }
            }
            for (const KeyLine& line : table) {
                CAPTURE(line.cap);
                CAPTURE(line.words);
                CHECK_FALSE(line.words.empty());
                CHECK(line_for(table, line.keys.front()) ==
                      &line); // none is shown that another hides
                if (!may_be_still(line, state.name)) {
                    CHECK(moved.count(&line) == 1);
                }
            }
            if (writing) { // what the table does not name is a letter
                for (const char c : {'x', ' ', 'i', '1', 'U'}) {
                    test::Room room;
                    state.come(room);
                    if (line_for(table, letter(c)) == nullptr) {
                        room.press(letter(c));
                        CAPTURE(c);
                        CHECK(room.all() != before);
                        CHECK(room.desk->sheet() == still.desk->sheet());
                    }
                }
            }
        }
    }

    TEST_CASE("a letter means one thing in the whole window, or belongs to one page") {
        const std::map<char, std::set<std::string>> says{
            {'a', {"pitch of the day"}},
            {'c', {"crook", "which crook is easiest"}},
            {'d', {"light or dark"}},
            {'e', {"all exercises", "all exercises, to play one by itself", "add an exercise"}},
            {'h', {"half speed", "full speed"}},
            {'i', {"input: microphone, file, demo player"}},
            {'j', {"how strictly", "how strictly pitch is judged"}},
            {'k',
             {"keep the last two minutes as a take",
              "keep",
              "keep no longer",
              "keep that",
              "kept; keep again"}},
            {'l', {"lesson"}},
            {'m', {"mark it", "take the mark away"}},
            {'n', {"what is asked next", "compose what is asked next", "go on with the draft"}},
            {'o', {"sound: drone, reference note, metronome"}},
            {'p', {"play", "stop", "play the reference note"}},
            {'r', {"again from the beginning", "once more", "look again", "again, another part"}},
            {'s',
             {"save a page to send",
              "send it back",
              "save the file",
              "save it with your horn",
              "save it with hand signs"}},
            {'t', {"temperament"}},
            {'v', {"version and licences"}},
            {'w', {"words on it", "words with it"}},
            {'x',
             {"delete",
              "delete take",
              "delete session",
              "delete the pin",
              "forget your open notes"}}};
        std::set<char> common;
        for (const LetterMeaning& each : letter_meanings()) {
            common.insert(each.letter);
        }
        std::map<char, std::set<std::string>> of_page; // letters that belong to one page
        for (const State& state : states()) {
            test::Room room;
            state.come(room);
            for (const KeyLine& line : room.desk->keys()) {
                for (const Press& press : line.keys) {
                    const auto c = static_cast<char>(press.character);
                    if (press.control || press.key != Key::none || ((c < 'a' || c > 'z'))) {
                        continue;
                    }
                    CAPTURE(state.name);
                    CAPTURE(c);
                    CAPTURE(line.words);
                    if (c == 'u') {
                        CHECK(line.words.rfind("undo", 0) == 0);
                    } else if (common.count(c) == 1) {
                        REQUIRE(says.count(c) == 1);
                        CHECK(says.at(c).count(line.words) == 1);
                    } else {
                        const std::string name = state.name;
                        of_page[c].insert(name.substr(0, name.find(',')));
                    }
                }
            }
        }
        for (const auto& [c, pages] : of_page) {
            CAPTURE(c);
            CHECK(pages.size() == 1);
        }
    }

    TEST_CASE(
        "the foot keeps the way out and saving whatever room there is, then the page's order") {
        const auto wide = [](const KeyLine& line) { return static_cast<float>(line.words.size()); };
        for (const State& state : states()) {
            CAPTURE(state.name);
            test::Room room;
            state.come(room);
            const KeyTable table = room.desk->keys_of_page();
            const auto none = at_foot(table, wide, 0.0F);
            const auto all = at_foot(table, wide, 1e9F);
            for (const KeyLine& line : table) {
                const auto shown = [&](const auto& foot) {
                    return std::find(foot.begin(), foot.end(), &line) != foot.end();
                };
                CAPTURE(line.words);
                CHECK(shown(none) == (line.foot == Foot::always));
                CHECK((line.foot != Foot::usual || shown(all)));
            }
            CHECK(std::is_sorted(all.begin(), all.end())); // pointers into one table: its order
            const Press escape = key(Key::escape);
            const bool alone = room.desk->pages().at(room.desk->screen()).alone() ||
                               room.desk->pages().at(room.desk->screen()).writing();
            if (alone) {
                REQUIRE(line_for(table, escape) != nullptr);
                CHECK(line_for(table, escape)->foot == Foot::always);
            }
        }
    }

    TEST_CASE("a pedal that is kept down acts once on a page, too; a choice goes on") {
        test::Room room;
        room.type("5");
        Press held = letter(' ');
        held.repeated = true;
        room.press(held);
        CHECK(room.desk->screen() == Screen::today);
        held = key(Key::right);
        held.repeated = true;
        room.press(held);
        CHECK(room.desk->pages().today.minutes() == 25.0);
    }

    TEST_CASE("faults that one if-chain had: bench, sheets, composing, words on homework's takes") {
        test::Room bench;
        bench.type("4d");
        CHECK(bench.desk->preferences().dark);
        bench.type("c");
        CHECK(bench.desk->sheet() == Sheet::crook);
        bench.type("h"); // was taken for Enter
        CHECK(bench.desk->sheet() == Sheet::crook);
        test::Room composing;
        composing.type("0n").press(key(Key::f1));
        CHECK(composing.desk->sheet() == Sheet::help);
        composing.press(key(Key::escape));
        for (const char c : {'c', 'a', 't', 'i'}) {
            CHECK_FALSE(composing.desk->acts(c)); // the header shows them asleep
            composing.press(letter(c));
            CHECK(composing.desk->sheet() == Sheet::none);
        }
        test::Room takes;
        takes.type("0").press(key(Key::enter));
        REQUIRE(takes.desk->pages().homework.work().on_takes());
        takes.type("wHi ");
        CHECK(takes.desk->sheet() == Sheet::none);
        CHECK(takes.desk->pages().homework.work().entry()->text() == "Hi ");
    }
}
