// One table of keys: what is shown is what acts, on every page and sheet.
#include "desk/keys.h"

#include "core/assets.h"
#include "desk/desk.h"
#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/keys.h"
#include "support/set_work.h"

#include <functional>
#include <map>
#include <set>
#include <sstream>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using test::key;
using test::letter;

namespace {

std::shared_ptr<test::FakeShelf> full_shelf() {
    auto shelf = std::make_shared<test::FakeShelf>();
    const auto exercise = test::exercise_of("two notes", {"C4", "G4"});
    shelf->all = {exercise, test::exercise_of("three notes", {"C4", "E4", "G4"})};
    shelf->next_plan.blocks = {test::block_of(exercise, 60.0), test::block_of(exercise, 60.0)};
    for (std::int64_t id = 3; id > 0; --id) {
        logbook::SessionRecord session;
        session.id = id;
        session.started_at = "2026-03-0" + std::to_string(id) + "T10:11:12Z";
        shelf->log.push_back(session);
        for (std::int64_t take = 0; take < 2; ++take) {
            logbook::TakeRecord record;
            record.id = 10 * id + take;
            record.session = id;
            record.duration_s = 10.0;
            shelf->contents[id].takes.push_back(record);
        }
    }
    for (const char* const crook : {"F", "Eb"}) {
        progress::CrookMap map;
        map.crook = map.label = crook;
        shelf->past.maps.push_back(map);
    }
    for (const char* const id : {"week-two", "week-one"}) {
        homework::Given given;
        given.homework = test::set_work(2);
        given.homework.id = given.homework.title = id;
        given.done = {0, 0};
        shelf->work.to_do.push_back(given);
        homework::WorkTake take;
        take.take.id = 7;
        take.take.duration_s = 10.0;
        shelf->work.work_takes[id] = {take, take};
        shelf->work.work_takes[id][1].take.id = 8;
    }
    shelf->work.blocks = {test::block_of(exercise, 60.0)};
    homework::Filed filed;
    filed.file = "/set/set.hornwork";
    filed.homework = test::set_work(2);
    shelf->work.files.push_back(filed);
    filed.file = "/set/back.hornwork";
    homework::Return& back = filed.homework.returned.emplace();
    homework::Attempt attempt;
    for (std::uint32_t step = 0; step < 3; ++step) {
        attempt.steps.push_back(test::judged(step, {drill::Fault::flat}));
    }
    back.attempts = {attempt, attempt};
    homework::Take take;
    take.attempt = 0;
    take.duration_s = 10.0;
    back.takes.push_back(take);
    homework::Comment comment;
    comment.text = "Support it.";
    filed.homework.comments = {comment, comment};
    shelf->work.files.push_back(filed);
    return shelf;
}

/// A desk with something on every page.
struct Room {
    test::FakeEar ear;
    std::shared_ptr<test::FakeShelf> shelf = full_shelf();
    std::unique_ptr<Desk> desk;
    std::string copied;

    Room() {
        DeskStart start;
        start.input.kind = InputChoice::Kind::demo;
        start.shelf = shelf;
        start.horn_profile = assets_folder() / "instruments" / "demo_coupler_horn.json";
        start.sound.cautioned = true;
        start.preferences.type_scale = 1.2;
        desk = std::make_unique<Desk>(ear.ear(), start);
        test::FakeState& state = *ear.shared->sessions.back();
        for (std::uint32_t index = 0; index < 3; ++index) {
            trainer::PlayedNote note;
            note.index = index;
            note.written = {60, 0};
            note.finished = true;
            note.duration_s = 1.0;
            state.ended.push_back(note);
        }
        settle();
    }
    void settle() {
        for (int i = 0; i < 500; ++i) {
            desk->update(1.0);
            if (!desk->session().looking_for_devices()) {
                break;
            }
        }
        desk->update(1.0);
    }
    Room& press(const Press& press) {
        desk->press(press);
        settle();
        if (auto words = desk->take_clipboard()) {
            copied += *words;
        }
        return *this;
    }
    Room& type(const char* letters) {
        for (const char* c = letters; *c != '\0'; ++c) {
            press(letter(*c));
        }
        return *this;
    }

    /// Everything that a key may change, as text.
    [[nodiscard]] std::string all() const {
        std::ostringstream out;
        Desk& d = *desk;
        const Session& s = d.session();
        out << static_cast<int>(d.screen()) << ' ' << static_cast<int>(d.sheet()) << ' '
            << s.tuning().a4_hz << s.tuning().crook.id << s.tuning().temperament.id << ' '
            << s.listening() << s.number() << s.tolerance_factor() << s.just_kept() << ' '
            << d.preferences().dark << d.preferences().type_scale << d.preferences().large_hold_s
            << d.full_screen() << d.wants_to_quit() << copied << ' ' << s.input().device.channel;
        const audio::ReferenceSound sound = s.sound().wanted(s.tuning());
        out << sound.drone_hz[0] << sound.drone_dbfs << sound.note_request
            << sound.beats_per_minute;
        for (int row = 0; row < SoundDesk::kRows; ++row) {
            out << s.sound().words(static_cast<SoundDesk::Row>(row), s.tuning()).how;
        }
        Pages& p = d.pages();
        out << '|' << p.chart.chosen() << ' ' << p.today.chosen() << p.today.minutes() << ' '
            << p.log.chosen() << p.log.take() << static_cast<int>(p.log.focus()) << p.log.problem()
            << p.log.half_speed() << shelf->status.sounding << shelf->work.status.sounding
            << shelf->work.status.at_s << ' ' << static_cast<int>(p.progress.range())
            << p.progress.crook() << p.progress.said() << ' ' << p.homework.chosen()
            << p.homework.said() << p.homework.problem() << static_cast<int>(p.homework.inner())
            << p.homework.work().take();
        for (const std::int64_t id : p.homework.work().going_back()) {
            out << ' ' << id;
        }
        const ComposePage& compose = p.homework.compose();
        out << '|' << compose.row() << compose.part_row() << static_cast<int>(compose.focus())
            << compose.problem() << compose.now().parts.size() << compose.now().a4_hz
            << compose.now().due_on << compose.picker().chosen() << compose.picker().typed().text()
            << (compose.entry() ? compose.entry()->text() : "");
        for (const homework::Part& part : compose.now().parts) {
            out << part.exercise.title << part.repetitions.value_or(0)
                << (part.crook ? part.crook->id : "none");
        }
        if (p.homework.inner() == HomeworkPage::Inner::review) {
            const ReviewPage& review = p.homework.review();
            out << '|' << review.row() << review.step() << review.comment()
                << static_cast<int>(review.focus()) << review.all_steps()
                << (review.entry() ? review.entry()->with_cursor() : "")
                << review.now().comments.size();
        }
        out << '|' << (p.log.entry() ? p.log.entry()->with_cursor() : "")
            << (p.log.room_entry() ? p.log.room_entry()->with_cursor() : "")
            << (p.homework.work().entry() ? p.homework.work().entry()->with_cursor() : "");
        if (const Bench* bench = p.bench.bench()) {
            out << '|' << bench->chosen() << bench->way() << bench->refusal();
            for (int i = 0; i < bench->pieces(); ++i) {
                out << bench->mounted(i);
            }
        }
        out << '|' << (p.hand.note() != nullptr ? static_cast<int>(p.hand.note()->index) : -1)
            << p.closing.closing().pace_s() << static_cast<int>(p.run.view().stage)
            << p.run.view().block << p.run.view().kept;
        for (int sheet = 1; sheet <= static_cast<int>(Sheet::figures); ++sheet) {
            out << ' ' << d.sheets().at(static_cast<Sheet>(sheet))->selected();
        }
        out << d.sheets().pitch.typed() << d.sheets().input.typed();
        for (const KeyLine& line : d.keys()) {
            out << line.cap << line.words;
        }
        return out.str();
    }
};

struct State {
    std::string name;
    std::function<void(Room&)> come;
};

/// Every page and sheet, and every state of theirs that has keys of its own.
std::vector<State> states() {
    const auto on_homework = [](Room& room, int row) {
        room.type("0");
        for (int i = 0; i < row; ++i) {
            room.press(key(Key::down));
        }
    };
    return {
        {"practice", [](Room&) {}},
        {"large", [](Room& room) { room.type("2"); }},
        {"chart", [](Room& room) { room.type("3").press(key(Key::right)); }},
        {"bench", [](Room& room) { room.type("4").press(key(Key::down)); }},
        {"today", [](Room& room) { room.type("5"); }},
        {"progress", [](Room& room) { room.type("6"); }},
        {"progress, written", [](Room& room) { room.type("6s"); }},
        {"log", [](Room& room) { room.type("7"); }},
        {"log, undo", [](Room& room) { room.type("7x"); }},
        {"log, takes", [](Room& room) { room.type("7").press(key(Key::enter)); }},
        {"log, words", [](Room& room) { room.type("7wab").press(key(Key::left)); }},
        {"log, room", [](Room& room) { room.type("7z").press(key(Key::left)); }},
        {"last notes", [](Room& room) { room.type("8").press(key(Key::down)); }},
        {"slow closing", [](Room& room) { room.type("9"); }},
        {"homework, to do", [](Room& room) { room.type("0"); }},
        {"homework, takes", [](Room& room) { room.type("0").press(key(Key::enter)); }},
        {"homework, words", [](Room& room) { room.type("0wab").press(key(Key::left)); }},
        {"homework, sent", [](Room& room) { room.type("0s"); }},
        {"homework, a file", [=](Room& room) { on_homework(room, 2); }},
        {"composing",
         [=](Room& room) {
             on_homework(room, 2);
             room.press(key(Key::enter)).press(key(Key::down));
         }},
        {"composing, a part",
         [=](Room& room) {
             on_homework(room, 2);
             room.press(key(Key::enter)).press(key(Key::end));
         }},
        {"composing, how it is played",
         [=](Room& room) {
             on_homework(room, 2);
             room.press(key(Key::enter)).press(key(Key::end)).press(key(Key::enter));
         }},
        {"composing, exercises",
         [=](Room& room) {
             on_homework(room, 2);
             room.press(key(Key::enter)).type("enote").press(key(Key::left));
         }},
        {"composing, a field",
         [=](Room& room) {
             on_homework(room, 2);
             room.press(key(Key::enter)).press(key(Key::enter)).press(key(Key::left));
         }},
        {"what came back",
         [=](Room& room) {
             on_homework(room, 3);
             room.press(key(Key::enter));
         }},
        {"what came back, its comments",
         [=](Room& room) {
             on_homework(room, 3);
             room.press(key(Key::enter)).press(key(Key::enter));
         }},
        {"what came back, note by note",
         [=](Room& room) {
             on_homework(room, 3);
             room.press(key(Key::enter)).press(key(Key::down)).press(key(Key::enter));
         }},
        {"what came back, words",
         [=](Room& room) {
             on_homework(room, 3);
             room.press(key(Key::enter)).type("wab").press(key(Key::left));
         }},
        {"run", [](Room& room) { room.type("5 "); }},
        {"run, paused", [](Room& room) { room.type("5  "); }},
        {"sheet input", [](Room& room) { room.type("i"); }},
        {"sheet input, a path", [](Room& room) { room.type("i/ab"); }},
        {"sheet crook", [](Room& room) { room.type("c"); }},
        {"sheet pitch", [](Room& room) { room.type("a43"); }},
        {"sheet temperament", [](Room& room) { room.type("t").press(key(Key::down)); }},
        {"sheet exercises", [](Room& room) { room.type("e"); }},
        {"sheet sound",
         [](Room& room) { room.type("o").press(key(Key::down)).press(key(Key::right)); }},
        {"sheet help", [](Room& room) { room.press(key(Key::f1)).press(key(Key::down)); }},
        {"sheet about", [](Room& room) { room.type("v").press(key(Key::down)); }},
        {"sheet figures", [](Room& room) { room.type("8q").press(key(Key::down)); }},
    };
}

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
           line.words == "complete the path" ||  // nothing is there
           line.words == "move it" ||            // needs Shift
           line.words == "straight to a page" || // the one that is shown
           line.words == "write" || state == "homework, sent" ||
           state == "progress, written" || // the same file once more
           line.words == "look again";
}

} // namespace

TEST_SUITE("desk/keys") {
    TEST_CASE("every key on every page and sheet does what the table says, and nothing else") {
        for (const State& state : states()) {
            CAPTURE(state.name);
            Room still;
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
                    Room room;
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
                    Room room;
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
            {'c', {"crook"}},
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
            {'n', {"what is asked next", "compose what is asked next", "go on with the draft"}},
            {'o', {"sound: drone, reference note, metronome"}},
            {'p', {"play", "stop", "play the reference note"}},
            {'r', {"again from the beginning", "once more", "look again"}},
            {'s',
             {"save a page to send", "send it back", "save the file", "save it with your horn"}},
            {'t', {"temperament"}},
            {'v', {"version and licences"}},
            {'w', {"words on it", "words with it"}},
            {'x', {"delete", "delete take", "delete session", "forget your open notes"}}};
        std::set<char> common;
        for (const LetterMeaning& each : letter_meanings()) {
            common.insert(each.letter);
        }
        std::map<char, std::set<std::string>> of_page; // letters that belong to one page
        for (const State& state : states()) {
            Room room;
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
            Room room;
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
        Room room;
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
        Room bench;
        bench.type("4d");
        CHECK(bench.desk->preferences().dark);
        bench.type("c");
        CHECK(bench.desk->sheet() == Sheet::crook);
        bench.type("h"); // was taken for Enter
        CHECK(bench.desk->sheet() == Sheet::crook);
        Room composing;
        composing.type("0n").press(key(Key::f1));
        CHECK(composing.desk->sheet() == Sheet::help);
        composing.press(key(Key::escape));
        for (const char c : {'c', 'a', 't', 'i'}) {
            CHECK_FALSE(composing.desk->acts(c)); // the header shows them asleep
            composing.press(letter(c));
            CHECK(composing.desk->sheet() == Sheet::none);
        }
        Room takes;
        takes.type("0").press(key(Key::enter));
        REQUIRE(takes.desk->pages().homework.work().on_takes());
        takes.type("wHi ");
        CHECK(takes.desk->sheet() == Sheet::none);
        CHECK(takes.desk->pages().homework.work().entry()->text() == "Hi ");
    }
}
