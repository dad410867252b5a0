#include "desk/model/lesson_sides.h"

#include "core/cents.h"
#include "desk/desk.h"
#include "desk/model/lesson_summary.h"
#include "desk/model/lesson_words.h"
#include "desk/model/status_line.h"
#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/keys.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

trainer::PlayedNote
played(int number, double start_s, double duration_s, double cents = 0.0, double level_db = -20.0) {
    trainer::PlayedNote note;
    note.written = horn::usual_spelling(number);
    note.partial = horn::chart_entry(note.written)->usual().partial;
    note.start_s = start_s;
    note.duration_s = duration_s;
    note.deviation_cents = cents;
    note.f0_hz = horn::target_hz(note.written, {}) * ratio_of_cents(cents);
    note.level_dbfs = level_db;
    note.finished = true;
    return note;
}

/// A lesson that hears a call, whose echo in the microphone was heard of five notes, 0.2 s late and 12 dB softer.
Lesson with_known_way() {
    Lesson lesson;
    lesson.hear_call();
    for (int i = 0; i < 5; ++i) {
        lesson.end(Side::call, played(60 + 2 * i, i, 0.4));
        lesson.end(Side::here, played(60 + 2 * i, i + 0.2, 0.42, 0.0, -32.0));
    }
    return lesson;
}

struct TwoInputs {
    test::FakeEar ear;
    std::shared_ptr<test::FakeShelf> shelf = std::make_shared<test::FakeShelf>();
    std::unique_ptr<Desk> desk;

    TwoInputs() {
        DeskStart start;
        start.shelf = shelf;
        desk = std::make_unique<Desk>(ear.ear(), start);
        InputChoice call;
        call.device.name = "what the computer plays";
        desk->session().listen_also(call);
    }
    [[nodiscard]] test::FakeState& here() const { return *ear.shared->sessions[0]; }
    [[nodiscard]] test::FakeState& call() const { return *ear.shared->sessions[1]; }
    [[nodiscard]] Session& session() const { return desk->session(); }
    [[nodiscard]] const std::vector<LessonNote>& notes() const {
        return session().lesson().notes();
    }
    /// What the lesson view says.
    [[nodiscard]] std::string said() const {
        return status_line_of_both(session().view(),
                                   session().listening(),
                                   session().problem(),
                                   session().call_problem())
            .words;
    }
};

} // namespace

TEST_SUITE("desk/lesson") {
    TEST_CASE(
        "what comes back of the other side counts as nobody's; who plays it anew, longer or at "
        "another pitch is told") {
        Lesson lesson = with_known_way();
        CHECK(lesson.notes().size() == 5);
        CHECK(lesson.echoes().size() == 5);
        const auto is_told = [&](const trainer::PlayedNote& note) {
            Lesson then = lesson;
            then.end(Side::call, played(67, 10.0, 0.5));
            then.end(Side::here, note);
            return std::any_of(then.notes().begin(), then.notes().end(), [&](const auto& each) {
                return each.side == Side::here && each.start_s == note.start_s;
            });
        };
        CHECK_FALSE(is_told(played(67, 10.2, 0.5, 1.0, -32.0)));
        CHECK_FALSE(is_told(played(67, 10.22, 0.58, 1.0, -29.0))); // the room rings, gain rides
        CHECK(is_told(played(67, 10.2, 0.5, 20.0, -32.0)));        // another pitch
        CHECK(is_told(played(69, 10.2, 0.5, 0.0, -32.0)));
        CHECK(is_told(played(67, 10.2, 1.2, 0.0, -32.0)));  // longer than what it would echo
        CHECK(is_told(played(67, 10.35, 0.5, 0.0, -20.0))); // later than echoes are, and loud
        CHECK(is_told(played(67, 11.5, 0.5, 0.0, -32.0)));
        CHECK(is_told(played(67, 9.8, 0.5, 0.0, -32.0))); // an echo never comes first
    }

    TEST_CASE("notes that answer each other stand in one column, of which the difference is told") {
        Lesson lesson;
        lesson.hear_call();
        for (int i = 0; i < 3; ++i) {
            lesson.end(Side::here, played(60 + 2 * i, i, 0.8, 4.0));
        }
        lesson.end(Side::call, played(60, 4.0, 0.7, -8.0));
        lesson.end(Side::call, played(65, 5.0, 0.7)); // nobody asked for that
        lesson.end(Side::call, played(64, 6.0, 0.7, 9.0));
        REQUIRE(lesson.columns().size() == 4);
        const auto& columns = lesson.columns();
        REQUIRE((columns[0].here && columns[0].call));
        CHECK(apart_words(lesson.notes()[*columns[0].here], lesson.notes()[*columns[0].call]) ==
              "−12");
        CHECK_FALSE(columns[1].call);
        REQUIRE((columns[2].here && columns[2].call));
        CHECK(apart_words(lesson.notes()[*columns[2].here], lesson.notes()[*columns[2].call]) ==
              "+5");
        CHECK_FALSE(columns[3].here);
    }

    TEST_CASE("an answer goes on under what it answers while the other side begins anew") {
        Lesson lesson;
        lesson.hear_call();
        for (int i = 0; i < 3; ++i) {
            lesson.end(Side::here, played(60 + 2 * i, i, 0.8));
            lesson.end(Side::call, played(60 + 2 * i, i + 3.0, 0.8, 1.0));
        }
        lesson.end(Side::here, played(72, 4.5, 0.8));
        REQUIRE(lesson.columns().size() == 4);
        CHECK(lesson.columns()[2].call);
        CHECK_FALSE(lesson.columns()[3].call);
        lesson.end(Side::call, played(72, 8.0, 0.8, 1.0));
        CHECK(lesson.columns().size() == 4);
        CHECK(lesson.columns()[3].call);
    }

    TEST_CASE(
        "with a call the student is at its other end: what is off there is practised, and what "
        "was marked on either side") {
        Lesson lesson;
        lesson.hear_call();
        for (int i = 0; i < 3; ++i) {
            lesson.end(Side::here, played(60, 4.0 * i, 0.8, -60.0));
            lesson.end(Side::call, played(67, 4.0 * i + 2.0, 0.8, 40.0));
        }
        const auto items = what_to_practise(lesson.notes());
        REQUIRE(items.size() == 1);
        CHECK(items[0].asked.written.number == 67);
        CHECK(items[0].times == 3);
    }

    TEST_CASE(
        "two inputs: both are told by the side that carries them; what the program sounds is no "
        "note of the call") {
        TwoInputs room;
        REQUIRE(room.ear.shared->sessions.size() == 2);
        CHECK_FALSE(room.ear.shared->options[1].log_path.has_value());
        room.here().ended.push_back(played(60, 1.0, 0.6));
        room.call().ended.push_back(played(64, 2.0, 0.6));
        room.desk->update(1.0);
        const Lesson& lesson = room.desk->session().lesson();
        REQUIRE(lesson.notes().size() == 2);
        CHECK(lesson.notes()[0].side == Side::here);
        CHECK(lesson.notes()[1].side == Side::call);

        room.here().sound.drone_hz[0] = horn::target_hz(horn::usual_spelling(67), {});
        room.call().ended.push_back(played(67, 3.0, 0.6, 3.0));
        room.call().ended.push_back(played(69, 4.0, 0.6));
        room.desk->update(1.1);
        REQUIRE(lesson.notes().size() == 3);
        CHECK(lesson.notes().back().written.number == 69);
        room.here().sound = {};
        room.desk->update(2.0);
        room.desk->update(4.0); // the tone has died away
        room.call().ended.push_back(played(67, 6.0, 0.6, 3.0));
        room.desk->update(4.1);
        CHECK(lesson.notes().size() == 4);
    }

    TEST_CASE(
        "a call that is lost, or cannot be heard at all, is said in a sentence; this side goes "
        "on and nothing is lost") {
        TwoInputs room;
        room.call().ended.push_back(played(64, 2.0, 0.6));
        room.desk->update(1.0);
        room.call().source.state = audio::SourceState::waiting;
        room.call().source.message = "The input was unplugged.";
        room.here().ended.push_back(played(60, 3.0, 0.6));
        room.desk->update(1.1);
        CHECK(room.said() == "The call: The input was unplugged. This side goes on.");
        CHECK(room.desk->session().lesson().notes().size() == 2);
        room.desk->session().listen_also(std::nullopt);
        CHECK(room.call().stopped);
        CHECK_FALSE(room.here().stopped);
        CHECK(room.desk->session().call_problem().empty());
        CHECK(room.desk->session().lesson().notes().size() == 2);

        room.ear.shared->refuses = "There is no such input.";
        room.desk->session().listen_also(InputChoice{});
        CHECK(room.desk->session().call_problem() ==
              "The call is not heard: There is no such input.");
        CHECK(room.desk->session().listening());
        room.ear.shared->refuses.clear();
        room.desk->session().listen_also(InputChoice{});
        CHECK(room.desk->session().call_problem().empty());
    }

    TEST_CASE("without a microphone the call goes on; without either, one answer says so of both") {
        TwoInputs room;
        room.here().source.state = audio::SourceState::waiting;
        room.here().source.message = "'microphone' is not there now.";
        room.call().ended.push_back(played(64, 2.0, 0.6));
        room.desk->update(1.0);
        CHECK(room.said() == "'microphone' is not there now.");
        REQUIRE(room.notes().size() == 1);
        CHECK(room.notes()[0].side == Side::call);
        room.call().source = room.here().source;
        room.call().source.message = "'headset' is not there now.";
        room.desk->update(1.1);
        CHECK(room.said() == "Neither side is heard. 'microphone' is not there now. The call: "
                             "'headset' is not there now.");
        CHECK(room.notes().size() == 1);
        room.here().source.state = audio::SourceState::running;
        room.here().ended.push_back(played(60, 0.5, 0.6));
        room.desk->update(1.2);
        CHECK(room.said() == "The call: 'headset' is not there now. This side goes on.");
        CHECK(room.notes().size() == 2);
    }

    TEST_CASE("a wrong file that is dropped in a lesson is answered, and nothing else happens") {
        TwoInputs room;
        room.desk->press(test::letter('l'));
        room.here().ended.push_back(played(60, 1.0, 0.6));
        room.call().ended.push_back(played(64, 2.0, 0.6));
        room.desk->update(1.0);
        room.ear.shared->refuses = "letter.txt is no sound file.";
        room.desk->take_file("letter.txt");
        room.desk->update(1.1);
        CHECK(room.desk->pages().lesson.sentence() == "letter.txt is no sound file.");
        CHECK_FALSE(room.here().stopped);
        CHECK_FALSE(room.call().stopped);
        CHECK(room.session().listening());
        CHECK(room.session().problem().empty());
        CHECK(room.desk->screen() == Screen::lesson);
        CHECK(room.notes().size() == 2);
    }

    TEST_CASE("an input that was away for a while comes back to its place in the lesson") {
        TwoInputs room;
        double wall_s = 0.0;
        double here_s = 0.0;
        double call_s = 0.0;
        const auto go_on = [&](double for_s, bool here, bool call) {
            for (const double end_s = wall_s + for_s; wall_s < end_s; wall_s += 0.02) {
                room.here().elapsed_s = here_s += here ? 0.02 : 0.0;
                room.call().elapsed_s = call_s += call ? 0.02 : 0.0;
                room.desk->update(wall_s);
            }
        };
        const auto plays = [&](test::FakeState& input, double now_s, int number) {
            input.ended.push_back(played(number, now_s - 0.6, 0.5));
            go_on(0.02, true, true);
        };
        go_on(5.0, true, true);
        plays(room.here(), here_s, 60);
        go_on(30.0, false, true); // the microphone was unplugged
        plays(room.call(), call_s, 62);
        go_on(2.0, true, true);
        plays(room.here(), here_s, 64);
        go_on(20.0, true, false); // and then the call was lost
        plays(room.here(), here_s, 65);
        go_on(1.0, true, true);
        plays(room.call(), call_s, 67);
        REQUIRE(room.notes().size() == 5);
        const std::array expected{60, 62, 64, 65, 67};
        for (std::size_t i = 0; i < expected.size(); ++i) {
            CHECK(room.notes()[i].written.number == expected[i]);
        }
        CHECK(room.notes()[4].start_s - room.notes()[3].start_s ==
              doctest::Approx(1.02).epsilon(0.05));
        CHECK(room.notes()[2].own_start_s < 12.0); // in its own session it is where its take has it
    }

    TEST_CASE(
        "both sides are marked; after the lesson both marks are there, and N makes homework of "
        "what the student missed") {
        TwoInputs room;
        room.desk->press(test::letter('l'));
        const auto mark_framed = [&](Side side) {
            REQUIRE(room.session().lesson().framed() != nullptr);
            CHECK(room.session().lesson().framed()->side == side);
            room.desk->press(test::letter('m'));
        };
        room.here().ended.push_back(played(60, 1.0, 0.8));
        room.desk->update(1.0);
        mark_framed(Side::here);
        room.call().elapsed_s = 4.0;
        room.call().ended.push_back(played(67, 3.0, 0.8, 40.0));
        room.desk->update(4.0);
        mark_framed(Side::call);
        room.desk->update(4.1);
        REQUIRE(room.here().records.size() == 2); // the log is of this side
        CHECK(room.call().records.empty());
        const auto here = std::get<run::MarkRecord>(room.here().records[0]);
        const auto call = std::get<run::MarkRecord>(room.here().records[1]);
        CHECK(here.note.has_value());
        CHECK_FALSE(call.note.has_value());
        CHECK(call.words.rfind("the call, G4", 0) == 0);
        room.desk->press(test::letter('m')); // taken away, and put there again: at the same place
        room.here().elapsed_s = 5.0;
        room.desk->update(5.0);
        room.desk->press(test::letter('m'));
        room.desk->update(5.1);
        REQUIRE(room.here().records.size() == 4);
        CHECK(std::get<run::MarkRecord>(room.here().records[2]).words.empty());
        CHECK(std::get<run::MarkRecord>(room.here().records[2]).at_s == call.at_s);
        CHECK(std::get<run::MarkRecord>(room.here().records[3]).at_s == call.at_s);

        room.desk->press(test::letter(' '));
        room.desk->update(5.2);
        REQUIRE_FALSE(room.session().listening());
        CHECK(room.call().stopped);
        REQUIRE(room.desk->pages().lesson.after());
        CHECK(room.desk->pages().lesson.marks().size() == 2);
        REQUIRE(room.desk->pages().lesson.to_practise().size() == 2);
        room.desk->press(test::letter('n'));
        CHECK(room.desk->screen() == Screen::homework);
        CHECK(room.desk->pages().homework.compose().now().tasks.size() == 2);
    }

    TEST_CASE("what an input heard is out of reach when it was left, and never another input's") {
        TwoInputs room;
        room.desk->press(test::letter('l'));
        auto memory = std::make_shared<takes::SoundMemory>();
        audio::Block block;
        block.sample_rate_hz = 48000.0;
        block.count = audio::kBlockSamples;
        for (int i = 0; i < 48000 * 12 / static_cast<int>(audio::kBlockSamples); ++i) {
            memory->hear(block, i * static_cast<double>(audio::kBlockSamples) / 48000.0);
        }
        room.call().memory = memory;
        room.call().elapsed_s = 11.9;
        room.call().ended.push_back(played(67, 5.0, 0.8));
        room.desk->update(12.0);
        room.desk->press(test::letter('p'));
        CHECK(room.shelf->heard_sound_s == doctest::Approx(10.0).epsilon(0.01));
        CHECK(room.desk->pages().lesson.sentence().rfind("Playing the last ten seconds of the call",
                                                         0) == 0);
        room.desk->update(12.1);
        CHECK(room.here().overlooks);
        CHECK(room.call().overlooks);
        room.desk->press(test::letter('p'));
        room.desk->press(test::key(Key::left));
        room.desk->press(test::letter('p'));
        CHECK(room.shelf->heard_sound_s == doctest::Approx(4.8).epsilon(0.01));
        room.desk->press(test::letter('p'));
        room.session().listen_also(InputChoice{});
        room.ear.shared->sessions.back()->memory = memory;
        room.ear.shared->sessions.back()->elapsed_s = 11.9;
        room.desk->update(12.2);
        room.desk->press(test::letter('p'));
        CHECK_FALSE(room.shelf->status.sounding);
        CHECK(room.desk->pages().lesson.problem().rfind("That is more than two minutes ago", 0) ==
              0);
    }

    TEST_CASE("Tab in the list of inputs hears one more, as the call, and lets it go again") {
        test::FakeEar ear;
        ear.shared->devices = {test::input_device(0, "microphone", 1),
                               test::input_device(1, "what is played", 2, true)};
        DeskStart start;
        start.shelf = std::make_shared<test::FakeShelf>();
        Desk desk(ear.ear(), start);
        desk.press(test::letter('i'));
        do {
            desk.update(1.0);
        } while (desk.session().looking_for_devices());
        desk.press(test::key(Key::down));
        desk.press(test::key(Key::tab));
        REQUIRE(desk.session().call());
        CHECK(ear.shared->sessions.size() == 2);
        const std::string name = name_of(*desk.session().call());
        CHECK((name == "what is played" || name == "microphone"));
        desk.press(test::key(Key::tab));
        CHECK_FALSE(desk.session().call());
        CHECK(ear.shared->sessions[1]->stopped);
    }
}
