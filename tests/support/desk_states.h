#pragma once

#include "core/assets.h"
#include "desk/desk.h"
#include "desk/model/lesson_words.h"
#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/keys.h"
#include "support/moving_tone.h"
#include "support/set_work.h"
#include "support/temporary_folder.h"

#include <chrono>
#include <functional>
#include <memory>
#include <sstream>
#include <string>
#include <thread>
#include <vector>

namespace bellhand::test {

// Every state of the desk that has keys of its own, and all that a key may change there.

inline std::shared_ptr<FakeShelf> full_shelf() {
    auto shelf = std::make_shared<FakeShelf>();
    const auto exercise = exercise_of("two notes", {"C4", "G4"});
    shelf->all = {exercise, exercise_of("three notes", {"C4", "E4", "G4"})};
    shelf->next_plan.blocks = {block_of(exercise, 60.0), block_of(exercise, 60.0)};
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
        given.homework = set_work(2);
        given.homework.id = given.homework.title = id;
        given.done = {0, 0};
        shelf->work.to_do.push_back(given);
        homework::WorkTake take;
        take.take.id = 7;
        take.take.duration_s = 10.0;
        shelf->work.work_takes[id] = {take, take};
        shelf->work.work_takes[id][1].take.id = 8;
    }
    shelf->work.blocks = {block_of(exercise, 60.0)};
    homework::Filed filed;
    filed.file = "/set/set.hornwork";
    filed.homework = set_work(2);
    shelf->work.files.push_back(filed);
    filed.file = "/set/back.hornwork";
    homework::Return& back = filed.homework.returned.emplace();
    homework::Attempt attempt;
    for (std::uint32_t step = 0; step < 3; ++step) {
        attempt.steps.push_back(judged(step, {drill::Fault::flat}));
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
    FakeEar ear;
    std::shared_ptr<FakeShelf> shelf = full_shelf();
    std::unique_ptr<desk::Desk> desk;
    std::string copied;

    Room() {
        desk::DeskStart start;
        start.input.kind = desk::InputChoice::Kind::demo;
        start.shelf = shelf;
        start.horn_profile = assets_folder() / "instruments" / "demo_coupler_horn.json";
        start.sound.cautioned = true;
        start.documents = assets_folder() / "exercises";
        start.preferences.type_scale = 1.2;
        desk = std::make_unique<desk::Desk>(ear.ear(), start);
        FakeState& state = *ear.shared->sessions.back();
        for (std::uint32_t index = 0; index < 3; ++index) {
            trainer::PlayedNote note;
            note.index = index;
            note.written = {60, 0};
            note.finished = true;
            note.start_s = 2.0 * index;
            note.duration_s = 1.0;
            state.ended.push_back(note);
        }
        settle();
    }
    void settle() {
        // Looking and planning are done by threads of their own, which a busy machine keeps waiting.
        for (int i = 0; i < 10'000; ++i) {
            desk->update(1.0);
            if (!desk->session().looking_for_devices() &&
                desk->pages().changes.stage() != desk::ChangesPage::Stage::planning) {
                break;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(1));
        }
        desk->update(1.0);
    }
    Room& press(const desk::Press& press) {
        desk->press(press);
        settle();
        if (auto words = desk->take_clipboard()) {
            copied += *words;
        }
        if (auto folder = desk->take_folder()) {
            copied += folder->string();
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
        desk::Desk& d = *desk;
        const desk::Session& s = d.session();
        out << static_cast<int>(d.screen()) << ' ' << static_cast<int>(d.sheet()) << ' '
            << s.tuning().a4_hz << s.tuning().crook.id << s.tuning().temperament.id
            << s.tuning().footing.root.value_or(-1) << horn::anchor_id(s.tuning().footing.anchor)
            << horn::enharmonic_id(s.tuning().footing.enharmonic) << ' ' << s.listening()
            << s.number() << s.tolerance_factor() << s.just_kept() << ' ' << d.preferences().dark
            << d.preferences().type_scale << d.preferences().lesson_hold_s << d.full_screen()
            << d.wants_to_quit() << copied << ' ' << s.input().device.channel;
        const audio::ReferenceSound sound = s.sound().wanted(s.tuning());
        out << sound.drone_hz[0] << sound.drone_dbfs << sound.note_request
            << sound.beats_per_minute;
        for (int row = 0; row < desk::SoundDesk::kRows; ++row) {
            out << s.sound().words(static_cast<desk::SoundDesk::Row>(row), s.tuning()).how;
        }
        desk::Pages& p = d.pages();
        const desk::Lesson& lesson = s.lesson();
        out << '|' << (lesson.framed() != nullptr ? lesson.framed()->number : 0)
            << lesson.looking_back() << lesson.strip()[1]
            << (s.call() ? desk::name_of(*s.call()) : "no call")
            << (lesson.asked() ? desk::asked_words(*lesson.asked()) : "") << p.lesson.after()
            << p.lesson.chosen() << p.lesson.half_speed() << p.lesson.sentence()
            << p.lesson.problem()
            << (p.lesson.choice() ? desk::asked_words(p.lesson.choice()->asked()) : "");
        for (const desk::LessonNote& note : lesson.notes()) {
            out << note.marked;
        }
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
        const desk::ComposePage& compose = p.homework.compose();
        out << '|' << compose.row() << compose.task_row() << static_cast<int>(compose.focus())
            << compose.problem() << compose.now().tasks.size() << compose.now().a4_hz
            << compose.now().due_on << compose.picker().chosen() << compose.picker().typed().text()
            << (compose.entry() ? compose.entry()->text() : "");
        for (const homework::Task& task : compose.now().tasks) {
            out << task.exercise.title << task.repetitions.value_or(0)
                << (task.crook ? task.crook->id : "none");
        }
        if (p.homework.inner() == desk::HomeworkPage::Inner::review) {
            const desk::ReviewPage& review = p.homework.review();
            out << '|' << review.row() << review.step() << review.comment()
                << static_cast<int>(review.focus()) << review.all_steps()
                << (review.entry() ? review.entry()->with_cursor() : "")
                << review.now().comments.size();
        }
        out << '|' << (p.log.entry() ? p.log.entry()->with_cursor() : "")
            << (p.log.room_entry() ? p.log.room_entry()->with_cursor() : "")
            << (p.homework.work().entry() ? p.homework.work().entry()->with_cursor() : "");
        if (const desk::Bench* bench = p.bench.bench()) {
            out << '|' << bench->chosen() << bench->way() << bench->refusal() << bench->room_c();
            for (int i = 0; i < bench->pieces(); ++i) {
                out << bench->mounted(i);
            }
        }
        const desk::ChangesPage& changes = p.changes;
        out << '|' << static_cast<int>(changes.stage()) << static_cast<int>(changes.how())
            << changes.row() << changes.what_words() << changes.piece() << changes.named().crook
            << ' ' << changes.named().between << changes.problem()
            << (changes.drill() != nullptr ? changes.drill()->calls_left() : 0);
        out << '|' << (p.hand.note() != nullptr ? static_cast<int>(p.hand.note()->index) : -1)
            << p.closing.closing().pace_s() << static_cast<int>(p.run.view().stage)
            << p.run.view().block << p.run.view().kept;
        out << '|' << static_cast<int>(p.part.stage()) << p.part.row() << ' ' << p.part.cursor()
            << ' ' << p.part.version() << p.part.said() << p.part.problem() << p.part.speed();
        for (int sheet = 1; sheet <= static_cast<int>(desk::Sheet::figures); ++sheet) {
            out << ' ' << d.sheets().at(static_cast<desk::Sheet>(sheet))->selected();
        }
        const desk::FileBrowser& files = d.sheets().files.browser();
        out << d.sheets().pitch.typed() << files.folder() << files.typed() << files.rows().size()
            << files.problem();
        for (const desk::KeyLine& line : d.keys()) {
            out << line.cap << line.words;
        }
        return out.str();
    }
};

struct State {
    std::string name;
    std::function<void(Room&)> come;
};

/// One of the parts that come with the program, where things may be written beside it.
inline std::filesystem::path own_part(const std::string& name) {
    static const TemporaryFolder folder;
    const auto file = folder.path() / (name + ".musicxml");
    std::filesystem::copy_file(assets_folder() / "parts" / (name + ".musicxml"),
                               file,
                               std::filesystem::copy_options::overwrite_existing);
    return file;
}

/// Every page and sheet, and every state of theirs that has keys of its own.
inline std::vector<State> states() {
    // Tonight's changes of the set list that comes with the program: always the same calls.
    const auto on_changes = [](Room& room) {
        room.type("4").press(key(desk::Key::tab)).press(key(desk::Key::left));
    };
    const auto on_homework = [](Room& room, int row) {
        room.type("0");
        for (int i = 0; i < row; ++i) {
            room.press(key(desk::Key::down));
        }
    };
    const auto on_part = [](Room& room) -> Room& {
        room.desk->take_file(own_part("the_ferryman"));
        room.settle();
        return room.press(key(desk::Key::right))
            .press(key(desk::Key::down))
            .press(key(desk::Key::right));
    };
    return {
        {"practice", [](Room&) {}},
        {"lesson", [](Room& room) { room.type("2"); }},
        {"lesson, looking back", [](Room& room) { room.type("l").press(key(desk::Key::left)); }},
        {"lesson, marked", [](Room& room) { room.type("lm"); }},
        {"lesson, over",
         [](Room& room) { room.type("lm").press(key(desk::Key::left)).type("m "); }},
        {"after the lesson",
         [](Room& room) {
             room.type("lm")
                 .press(key(desk::Key::left))
                 .type("m")
                 .press(key(desk::Key::end))
                 .type(" ");
         }},
        {"lesson, both sides",
         [](Room& room) {
             desk::InputChoice call;
             call.device.name = "what this computer plays";
             room.desk->session().listen_also(call);
             FakeState& state = *room.ear.shared->sessions.back();
             for (std::uint32_t index = 0; index < 3; ++index) {
                 trainer::PlayedNote note;
                 note.index = index;
                 note.written = {60 + static_cast<int>(index), 0};
                 note.finished = true;
                 note.start_s = 8.0 + 2.0 * index;
                 note.duration_s = 1.0;
                 note.deviation_cents = 11.0 * index - 8.0;
                 state.ended.push_back(note);
             }
             room.settle();
             room.type("l");
         }},
        {"lesson, what to ask", [](Room& room) { room.type("ln"); }},
        {"chart", [](Room& room) { room.type("3").press(key(desk::Key::right)); }},
        {"bench", [](Room& room) { room.type("4").press(key(desk::Key::down)); }},
        {"today", [](Room& room) { room.type("5"); }},
        {"progress", [](Room& room) { room.type("6"); }},
        {"progress, written", [](Room& room) { room.type("6s"); }},
        {"log", [](Room& room) { room.type("7"); }},
        {"log, undo", [](Room& room) { room.type("7x"); }},
        {"log, takes", [](Room& room) { room.type("7").press(key(desk::Key::enter)); }},
        {"log, words", [](Room& room) { room.type("7wab").press(key(desk::Key::left)); }},
        {"log, room", [](Room& room) { room.type("7z").press(key(desk::Key::left)); }},
        {"last notes", [](Room& room) { room.type("8").press(key(desk::Key::down)); }},
        {"slow closing", [](Room& room) { room.type("9"); }},
        {"balance", [](Room& room) { room.type("8").press(key(desk::Key::enter)); }},
        {"balance, a tone",
         [](Room& room) {
             room.type("8").press(key(desk::Key::enter));
             HandMover player;
             player.jolt_cents = 9.0;
             player.jolt_at_s = 2.0;
             play(*room.ear.shared->sessions.back(), player);
             room.settle();
             room.settle();
         }},
        {"homework, to do", [](Room& room) { room.type("0"); }},
        {"homework, takes", [](Room& room) { room.type("0").press(key(desk::Key::enter)); }},
        {"homework, words", [](Room& room) { room.type("0wab").press(key(desk::Key::left)); }},
        {"homework, sent", [](Room& room) { room.type("0s"); }},
        {"homework, a file", [=](Room& room) { on_homework(room, 2); }},
        {"composing",
         [=](Room& room) {
             on_homework(room, 2);
             room.press(key(desk::Key::enter)).press(key(desk::Key::down));
         }},
        {"composing, a task",
         [=](Room& room) {
             on_homework(room, 2);
             room.press(key(desk::Key::enter)).press(key(desk::Key::end));
         }},
        {"composing, how it is played",
         [=](Room& room) {
             on_homework(room, 2);
             room.press(key(desk::Key::enter))
                 .press(key(desk::Key::end))
                 .press(key(desk::Key::enter));
         }},
        {"composing, exercises",
         [=](Room& room) {
             on_homework(room, 2);
             room.press(key(desk::Key::enter)).type("enote").press(key(desk::Key::left));
         }},
        {"composing, a field",
         [=](Room& room) {
             on_homework(room, 2);
             room.press(key(desk::Key::enter))
                 .press(key(desk::Key::enter))
                 .press(key(desk::Key::left));
         }},
        {"what came back",
         [=](Room& room) {
             on_homework(room, 3);
             room.press(key(desk::Key::enter));
         }},
        {"what came back, its comments",
         [=](Room& room) {
             on_homework(room, 3);
             room.press(key(desk::Key::enter)).press(key(desk::Key::enter));
         }},
        {"what came back, note by note",
         [=](Room& room) {
             on_homework(room, 3);
             room.press(key(desk::Key::enter))
                 .press(key(desk::Key::down))
                 .press(key(desk::Key::enter));
         }},
        {"what came back, words",
         [=](Room& room) {
             on_homework(room, 3);
             room.press(key(desk::Key::enter)).type("wab").press(key(desk::Key::left));
         }},
        {"crook changes", [=](Room& room) { on_changes(room); }},
        {"crook changes, called",
         [=](Room& room) {
             on_changes(room);
             room.press(key(desk::Key::enter)).press(key(desk::Key::down));
         }},
        {"crook changes, judged",
         [=](Room& room) {
             on_changes(room);
             room.press(key(desk::Key::enter)).type("1").press(key(desk::Key::enter));
         }},
        {"crook changes, over",
         [=](Room& room) {
             on_changes(room);
             room.press(key(desk::Key::enter)).type("1").press(key(desk::Key::enter));
             room.press(key(desk::Key::escape));
         }},
        {"run", [](Room& room) { room.type("5 "); }},
        {"run, paused", [](Room& room) { room.type("5  "); }},
        {"part, none open", [](Room& room) { room.press(with_control('m')); }},
        {"part, two players",
         [=](Room& room) {
             room.desk->take_file(own_part("two_at_the_gate"));
             room.settle();
         }},
        {"part", [=](Room& room) { on_part(room); }},
        {"part, pinned", [=](Room& room) { on_part(room).press(key(desk::Key::tab)); }},
        {"part, going round",
         [=](Room& room) { on_part(room).type("[,").press(key(desk::Key::down)); }},
        {"part, played", [=](Room& room) { on_part(room).press(key(desk::Key::enter)); }},
        {"part, crooks compared",
         [=](Room& room) { on_part(room).type("c").press(key(desk::Key::down)); }},
        {"sheet input", [](Room& room) { room.type("i"); }},
        {"sheet start", [](Room& room) { room.desk->open(desk::Sheet::start); }},
        {"sheet files", [](Room& room) { room.press(with_control('o')); }},
        {"sheet files, typed", [](Room& room) { room.press(with_control('o')).type("hand"); }},
        {"sheet crook", [](Room& room) { room.type("c"); }},
        {"sheet pitch", [](Room& room) { room.type("a43"); }},
        {"sheet temperament", [](Room& room) { room.type("t").press(key(desk::Key::down)); }},
        {"sheet temperament, root",
         [](Room& room) {
             room.type("t").press(key(desk::Key::end)).press(key(desk::Key::up));
             room.press(key(desk::Key::up));
         }},
        {"sheet exercises", [](Room& room) { room.type("e"); }},
        {"sheet sound",
         [](Room& room) {
             room.type("o").press(key(desk::Key::down)).press(key(desk::Key::right));
         }},
        {"sheet help",
         [](Room& room) { room.press(key(desk::Key::f1)).press(key(desk::Key::down)); }},
        {"sheet about", [](Room& room) { room.type("v").press(key(desk::Key::down)); }},
        {"sheet figures", [](Room& room) { room.type("8q").press(key(desk::Key::down)); }},
    };
}

} // namespace bellhand::test
