#include "desk/model/lesson.h"

#include "desk/desk.h"
#include "desk/model/ask_choice.h"
#include "desk/model/lesson_summary.h"
#include "desk/model/lesson_words.h"
#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/keys.h"
#include "takes/sound_memory.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

trainer::PlayedNote played(std::uint32_t index,
                           int number,
                           double start_s,
                           double duration_s,
                           double closure = -1.0,
                           bool finished = true) {
    trainer::PlayedNote note;
    note.index = index;
    note.written = horn::usual_spelling(number);
    note.partial = horn::chart_entry(note.written)->usual().partial;
    note.start_s = start_s;
    note.duration_s = duration_s;
    note.finished = finished;
    if (closure >= 0.0) {
        note.heard.heard = true;
        note.heard.estimate.position.known = true;
        note.heard.estimate.position.closure = closure;
        note.heard.estimate.position.low = note.heard.estimate.position.high = closure;
    }
    return note;
}

trainer::Reading with_hand(double time_s, int number, double closure) {
    trainer::Reading reading = test::reading_of(time_s, horn::usual_spelling(number), 0.0);
    reading.hand.position.known = true;
    reading.hand.position.closure = closure;
    reading.hand.position.low = reading.hand.position.high = closure;
    return reading;
}

/// Eleven short notes, C4 to B♭4, one after the other.
Lesson many() {
    Lesson lesson;
    for (std::uint32_t i = 0; i < 11; ++i) {
        lesson.end(Side::here, played(i, 60 + static_cast<int>(i), 0.2 * i, 0.15));
        lesson.settle(0.2 * (i + 1));
    }
    return lesson;
}

int framed_number(const Lesson& lesson) {
    return lesson.framed() == nullptr ? 0 : lesson.framed()->written.number;
}

} // namespace

TEST_SUITE("desk/lesson") {
    TEST_CASE(
        "a note stays framed for the time it is to be held; short notes go to the strip alone") {
        Lesson lesson;
        lesson.set_hold(1.5);
        CHECK(lesson.framed() == nullptr);
        lesson.end(Side::here, played(0, 60, 0.0, 0.3));
        lesson.settle(10.0);
        CHECK(framed_number(lesson) == 60);
        for (std::uint32_t i = 1; i < 5; ++i) {
            lesson.end(Side::here, played(i, 60 + static_cast<int>(i), 0.3 * i, 0.1));
            lesson.settle(10.0 + 0.3 * i);
            CHECK(framed_number(lesson) == 60);
        }
        lesson.settle(11.5);
        CHECK(framed_number(lesson) == 64); // what was played last, not what waits
        CHECK(lesson.strip() == std::array<std::size_t, 2>{0, 5});
    }

    TEST_CASE("of a note that sounds the hand is that of its own readings, and all is replaced "
              "when it ends") {
        Lesson lesson;
        for (int i = 0; i < 40; ++i) { // the note before: three-quarters
            lesson.add(Side::here, with_hand(0.005 * i, 65, 0.75));
        }
        for (int i = 0; i < 80; ++i) { // its hand comes late: the note is there first
            trainer::Reading reading = with_hand(0.2 + 0.005 * i, 67, 0.0);
            reading.hand.position.known = i > 60;
            lesson.add(Side::here, reading);
            lesson.stand(Side::here, played(1, 67, 0.2, 0.005 * i, -1.0, false));
            lesson.settle(0.2 + 0.005 * i);
            if (const LessonNote* framed = lesson.framed()) {
                CHECK(framed->written.number == 67);
                CHECK((!framed->hand.position.known || framed->hand.position.closure == 0.0));
            }
        }
        REQUIRE(lesson.framed() != nullptr);
        const std::uint32_t number = lesson.framed()->number;
        lesson.end(Side::here, played(1, 67, 0.2, 0.4, 0.25));
        lesson.settle(0.7);
        CHECK(lesson.notes().size() == 1);
        CHECK(lesson.framed()->number == number);
        CHECK(lesson.framed()->ended);
        CHECK(lesson.framed()->hand.position.closure == 0.25);
    }

    TEST_CASE("a note that is heard too unsurely to judge by is pale while it sounds") {
        Lesson lesson;
        const auto sound = [&](int from, int to, bool doubtful) {
            for (int i = from; i < to; ++i) {
                trainer::Reading reading = with_hand(0.005 * i, 67, 0.0);
                reading.frame.doubtful = doubtful;
                lesson.add(Side::here, reading);
                lesson.stand(Side::here, played(0, 67, 0.0, 0.005 * i, -1.0, false));
            }
        };
        sound(0, 100, false);
        REQUIRE(lesson.notes().size() == 1);
        CHECK(lesson.notes()[0].sure);
        sound(100, 120, true); // a moment changes nothing
        CHECK(lesson.notes()[0].sure);
        sound(120, 200, true);
        CHECK_FALSE(lesson.notes()[0].sure);
        sound(200, 210, false);
        CHECK(lesson.notes()[0].sure);
        sound(210, 300, true);
        lesson.end(Side::here, played(0, 67, 0.0, 1.0)); // its figures are of what was sure
        CHECK(lesson.notes()[0].sure);
    }

    TEST_CASE("a short note whose end is told late goes before the one that sounds by now") {
        Lesson lesson;
        lesson.add(Side::here, with_hand(0.6, 67, 0.0));
        lesson.stand(Side::here, played(0, 67, 0.3, 0.3, -1.0, false));
        lesson.end(Side::here, played(0, 60, 0.0, 0.1));
        REQUIRE(lesson.notes().size() == 2);
        CHECK(lesson.notes()[0].written.number == 60);
        CHECK(lesson.notes()[1].written.number == 67);
        lesson.end(Side::here, played(1, 67, 0.3, 0.5));
        CHECK(lesson.notes().size() == 2);
        // What sounded and was never ended was no note.
        lesson.stand(Side::here, played(2, 72, 1.0, 0.3, -1.0, false));
        CHECK(lesson.notes().size() == 3);
        lesson.add(Side::here, test::silence_at(2.0));
        lesson.stand(Side::here, std::nullopt);
        CHECK(lesson.notes().size() == 3);
        lesson.add(Side::here, test::silence_at(2.4));
        lesson.stand(Side::here, std::nullopt);
        CHECK(lesson.notes().size() == 2);
    }

    TEST_CASE("looking back freezes frame and strip over all notes of the lesson, and leads forth "
              "to the newest") {
        Lesson lesson = many();
        lesson.settle(20.0);
        REQUIRE(framed_number(lesson) == 70);
        CHECK(lesson.strip() == std::array<std::size_t, 2>{3, 11});
        lesson.look(1); // nothing is newer
        CHECK_FALSE(lesson.looking_back());
        lesson.look(-1);
        CHECK(lesson.looking_back());
        CHECK(framed_number(lesson) == 69);
        lesson.end(Side::here, played(11, 72, 3.0, 0.5));
        lesson.settle(40.0);
        CHECK(framed_number(lesson) == 69);
        CHECK(lesson.strip() == std::array<std::size_t, 2>{3, 11});
        for (int i = 0; i < 20; ++i) {
            lesson.look(-1);
        }
        CHECK(framed_number(lesson) == 60);
        CHECK(lesson.strip() == std::array<std::size_t, 2>{0, 8});
        for (int i = 0; i < 11; ++i) {
            CHECK(lesson.looking_back());
            lesson.look(1);
        }
        CHECK(framed_number(lesson) == 72);
        lesson.look(1);
        CHECK_FALSE(lesson.looking_back());
    }

    TEST_CASE("a mark stays with its note, also when it sounded, and is taken away again") {
        Lesson lesson;
        CHECK_FALSE(lesson.mark());
        lesson.add(Side::here, with_hand(0.5, 67, 0.0));
        lesson.stand(Side::here, played(0, 67, 0.0, 0.5, -1.0, false));
        lesson.settle(0.5);
        CHECK(lesson.mark());
        lesson.end(Side::here, played(0, 67, 0.01, 0.8));
        CHECK(lesson.notes().front().marked);
        CHECK(lesson.mark());
        CHECK_FALSE(lesson.notes().front().marked);
    }

    TEST_CASE("what is asked holds for its note alone, until something else is asked") {
        Lesson lesson;
        AskChoice choice({{65, 0}, asked_of({65, 0})});
        for (int i = 0; choice.asked().way.hand != horn::Hand::three_quarters ||
                        choice.asked().way.hand_to != horn::Hand::three_quarters;
             ++i) {
            REQUIRE(i < 12);
            choice.step_hand(1);
        }
        lesson.ask(choice.asked());
        CHECK(asked_words(*lesson.asked()) == "F4 with three-quarters");
        lesson.end(Side::here, played(0, 65, 0.0, 0.5));
        lesson.end(Side::here, played(1, 67, 1.0, 0.5));
        lesson.ask(std::nullopt);
        lesson.end(Side::here, played(2, 65, 2.0, 0.5));
        CHECK(asked_signs(lesson.notes()[0].asked) == "¾");
        CHECK(asked_signs(lesson.notes()[1].asked) == "o");
        CHECK(asked_signs(lesson.notes()[2].asked) == asked_signs(asked_of({65, 0})));
    }

    TEST_CASE("the choice of what to ask goes through the chart and stays within it") {
        AskChoice choice({{67, 0}, asked_of({67, 0})});
        choice.step_note(1);
        CHECK(choice.asked().written.number == 68);
        choice.step_note(-2);
        CHECK(choice.asked().written.number == 66);
        for (int i = 0; i < 80; ++i) {
            choice.step_note(1);
        }
        CHECK(choice.asked().written == horn::hand_chart().back().written);
        for (int i = 0; i < 80; ++i) {
            choice.step_note(-1);
        }
        CHECK(choice.asked().written == horn::hand_chart().front().written);
        const Asked first = choice.asked();
        choice.step_hand(1);
        choice.step_hand(-1);
        CHECK(asked_signs(choice.asked().way) == asked_signs(first.way));
    }

    TEST_CASE("words: cents in words, a pitch known only within so much, why no hand is shown") {
        LessonNote note;
        note.ended = true;
        note.cents = -14.2;
        CHECK(off_words(note) == "14 flat");
        CHECK(short_off_words(note) == "−14");
        note.known_within_cents = 18.0;
        CHECK(off_words(note) == "pitch within 18");
        CHECK(short_off_words(note) == "±18");
        CHECK(no_hand_words(note) == "too short");
        CHECK(heard_signs(note.hand).empty());
        note.hand.position.known = true;
        note.hand.position.low = 0.5;
        note.hand.position.high = 0.75;
        CHECK(heard_signs(note.hand) == "½ ¾");
        CHECK(lesson_line({}, "the microphone") == "Horn in F, A = 440, heard: the microphone");
    }

    TEST_CASE("what to practise: marked notes first, then those that were off again and again; it "
              "becomes homework") {
        Lesson lesson;
        const auto off = [&](std::uint32_t index, int number, double cents) {
            trainer::PlayedNote note = played(index, number, index, 0.8);
            note.deviation_cents = cents;
            lesson.end(Side::here, note);
        };
        off(0, 60, 1.0); // right
        off(1, 65, -30.0);
        off(2, 60, 0.0);
        off(3, 65, -28.0);
        off(4, 60, 40.0); // off once alone
        off(5, 67, 2.0);
        lesson.settle(100.0);
        REQUIRE(framed_number(lesson) == 67);
        REQUIRE(lesson.mark());
        const std::vector<ToPractise> items = what_to_practise(lesson.notes());
        REQUIRE(items.size() == 2);
        CHECK(items[0].asked.written.number == 67);
        CHECK(items[0].marks == 1);
        CHECK(items[1].asked.written.number == 65);
        CHECK(items[1].off == 2);
        CHECK(items[1].median_cents == doctest::Approx(-28.0));
        CHECK(items[1].from->number == 60);
        CHECK(what_to_practise(lesson.notes(), 1).size() == 1);
        const homework::Homework work = homework_after(items, {}, "2026-03-01");
        REQUIRE(work.tasks.size() == 2);
        CHECK(work.title == "After the lesson of 2026-03-01");
        CHECK(work.tasks[0].exercise.steps.size() == 6); // into it, the note, a breath: twice
        CHECK(work.tasks[1].exercise.steps[1].written->number == 65);
        CHECK(what_to_practise({}).empty());
    }

    TEST_CASE("a mark goes to the log when its note has ended; P plays what was heard; K says what "
              "was kept and where") {
        test::FakeEar ear;
        auto shelf = std::make_shared<test::FakeShelf>();
        DeskStart start;
        start.shelf = shelf;
        Desk desk(ear.ear(), start);
        test::FakeState& state = *ear.shared->sessions.back();
        desk.press(test::letter('l'));
        CHECK(desk.screen() == Screen::lesson);
        desk.press(test::letter('p')); // nothing to play: no such key yet
        CHECK_FALSE(shelf->status.sounding);
        state.sounding = played(4, 67, 20.0, 0.6, -1.0, false);
        state.readings.push_back(with_hand(20.6, 67, 0.0));
        desk.update(1.0);
        REQUIRE(desk.session().lesson().framed() != nullptr);
        desk.press(test::letter('m'));
        desk.update(1.1);
        CHECK(state.records.empty()); // it still sounds, and may turn out another note
        state.sounding.reset();
        state.ended.push_back(played(4, 67, 20.0, 0.8));
        desk.update(1.2);
        REQUIRE(state.records.size() == 1);
        const auto& mark = std::get<run::MarkRecord>(state.records.front());
        CHECK(mark.note == 4);
        CHECK(mark.words == "G4, open asked, on pitch");
        desk.press(test::letter('m'));
        desk.update(1.3);
        REQUIRE(state.records.size() == 2);
        CHECK(std::get<run::MarkRecord>(state.records.back()).words.empty());

        auto memory = std::make_shared<takes::SoundMemory>();
        audio::Block block;
        block.sample_rate_hz = 48000.0;
        block.count = audio::kBlockSamples;
        for (int i = 0; i < 48000 * 25 / static_cast<int>(audio::kBlockSamples); ++i) {
            memory->hear(block, i * static_cast<double>(audio::kBlockSamples) / 48000.0);
        }
        state.memory = memory;
        state.elapsed_s = 24.0;
        desk.press(test::letter('p'));
        CHECK(shelf->status.sounding);
        CHECK(shelf->heard_sound_s == doctest::Approx(10.0));
        desk.update(1.4);
        CHECK(state.overlooks); // the loudspeaker is not a player
        CHECK(desk.pages().lesson.sentence().find("the last ten seconds") != std::string::npos);
        desk.press(test::letter('h'));
        CHECK(shelf->status.speed == 0.5);
        desk.press(test::letter('p'));
        desk.update(1.5);
        CHECK_FALSE(state.overlooks);
        desk.press(test::key(Key::left));
        desk.press(test::letter('p'));
        CHECK(shelf->heard_sound_s ==
              doctest::Approx(4.8)); // around the note, cut where the sound ends

        desk.press(test::letter('k'));
        desk.update(1.6);
        CHECK(desk.session().said() == "Nothing is kept: there is no log to keep it in.");
    }
}
