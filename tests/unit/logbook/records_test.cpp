#include "logbook/logbook.h"
#include "support/temporary_folder.h"

#include <fstream>
#include <string>

#include <doctest/doctest.h>
#include <sqlite3.h>

using namespace bellhand;
using logbook::Logbook;

namespace {

/// A log with one session of three notes, one block of two steps and two takes.
struct Practised {
    test::TemporaryFolder folder;
    std::filesystem::path path = folder / "log.sqlite";
    std::unique_ptr<Logbook> log;
    std::int64_t session = 0;
    std::int64_t take = 0;

    Practised() {
        auto opened = Logbook::open(path);
        REQUIRE(opened);
        log = std::move(*opened);
        session = log->begin_session({}).value();
        for (std::uint32_t i = 0; i < 3; ++i) {
            REQUIRE(log->put_note(session, horn::Tuning{}, note(i)));
        }
        REQUIRE(log->put_block(session, block()));
        REQUIRE(log->put_step(session, 0, good_step()));
        REQUIRE(log->put_step(session, 0, bad_step()));
        take = log->put_take(take_named("take-1.flac")).value();
        REQUIRE(log->put_take(take_named("take-2.flac")));
        std::filesystem::create_directories(logbook::takes_folder(path));
        for (const char* name : {"take-1.flac", "take-2.flac"}) {
            std::ofstream(logbook::takes_folder(path) / name) << "sound";
        }
    }

    [[nodiscard]] bool has_file(const char* name) const {
        return std::filesystem::exists(logbook::takes_folder(path) / name);
    }

    static trainer::PlayedNote note(std::uint32_t index) {
        trainer::PlayedNote note;
        note.index = index;
        note.start_s = 2.0 * index;
        note.duration_s = 1.5;
        note.written = horn::Note{67, 0};
        note.partial = 6;
        note.finished = true;
        return note;
    }
    static logbook::BlockRecord block() {
        logbook::BlockRecord block;
        block.exercise = "hand-pairs-g4";
        block.title = "Open and stopped on one note";
        block.why = "The stopped G was flat in three of four notes.";
        block.crook = "Eb";
        block.a4_hz = 430.0;
        block.temperament = "vallotti";
        block.footing = {"C", "a", "sharp"};
        block.start_s = 1.0;
        block.planned_s = 120.0;
        block.duration_s = 90.5;
        block.planned_rest_s = 120.0;
        block.rest_s = 60.0;
        block.homework = "week-7";
        block.homework_part = 2;
        block.finished = true;
        return block;
    }
    static logbook::JudgedStep good_step() {
        logbook::JudgedStep step;
        step.number = 0;
        step.asked = horn::Note{67, 0};
        step.judgement.step = 4;
        step.judgement.pass = 1;
        step.judgement.played = true;
        step.judgement.note.index = 1;
        step.judgement.held_cents = 2.5;
        step.judgement.attack_cents = -6.0;
        step.judgement.tolerance_cents = 5.0;
        step.judgement.timing_s = 0.03;
        return step;
    }
    static logbook::JudgedStep bad_step() {
        logbook::JudgedStep step;
        step.number = 1;
        step.asked = horn::Note{70, -1};
        step.asked_hand = horn::Hand::full;
        step.judgement.step = 5;
        step.judgement.faults = {drill::Fault::missed, drill::Fault::late};
        return step;
    }
    [[nodiscard]] logbook::TakeRecord take_named(const char* file) const {
        logbook::TakeRecord record;
        record.session = session;
        record.block = 0;
        record.file = file;
        record.start_s = 1.0;
        record.duration_s = 30.0;
        record.bytes = 123456;
        record.kept = true;
        record.why = "keep that";
        return record;
    }
};

} // namespace

TEST_SUITE("logbook/records") {
    TEST_CASE("a note keeps what counted as in tune for this player when it was played") {
        Practised p;
        trainer::PlayedNote note = Practised::note(3);
        note.deviation_cents = 18.0;
        note.hand = horn::Hand::full;
        REQUIRE(p.log->put_note(p.session, horn::Tuning{}, note));
        note.index = 4;
        note.tolerance_factor = 1.5;
        REQUIRE(p.log->put_note(p.session, horn::Tuning{}, note));
        const auto notes = p.log->notes(p.session).value();
        CHECK(notes[3].tolerance_cents == 15.0);
        CHECK(notes[3].in_tune() == false);
        CHECK(notes[4].tolerance_cents == 22.5);
        CHECK(notes[4].in_tune() == true);
    }

    TEST_CASE("a short note keeps how closely its pitch is known, and is not said to be in tune") {
        Practised p;
        trainer::PlayedNote note = Practised::note(3);
        note.deviation_cents = 2.0;
        note.known_within_cents = 18.0;
        REQUIRE(p.log->put_note(p.session, horn::Tuning{}, note));
        auto kept = p.log->notes(p.session).value().back();
        CHECK(kept.note.known_within_cents == 18.0);
        CHECK_FALSE(kept.in_tune().has_value());
        note.known_within_cents = 9.0; // close enough to judge
        REQUIRE(p.log->put_note(p.session, horn::Tuning{}, note));
        kept = p.log->notes(p.session).value().back();
        CHECK(kept.note.known_within_cents == 9.0);
        CHECK(kept.in_tune() == true);
    }

    TEST_CASE("a block comes back as it was put in, and is replaced by its later self") {
        Practised p;
        auto block = Practised::block();
        block.duration_s = 119.0;
        REQUIRE(p.log->put_block(p.session, block));
        const auto blocks = p.log->blocks(p.session).value();
        REQUIRE(blocks.size() == 1);
        const auto& got = blocks.front();
        CHECK(got.session == p.session);
        CHECK(got.number == 0);
        CHECK(got.exercise == block.exercise);
        CHECK(got.title == block.title);
        CHECK(got.why == block.why);
        CHECK(got.crook == "Eb");
        CHECK(got.a4_hz == 430.0);
        CHECK(got.temperament == "vallotti");
        CHECK(got.footing.root == "C");
        CHECK(got.footing.anchor == "a");
        CHECK(got.footing.enharmonic == "sharp");
        CHECK(got.start_s == 1.0);
        CHECK(got.planned_s == 120.0);
        CHECK(got.duration_s == 119.0);
        CHECK(got.planned_rest_s == 120.0);
        CHECK(got.rest_s == 60.0);
        CHECK(got.homework == "week-7");
        CHECK(got.homework_part == 2);
        CHECK(got.finished);
        CHECK(got.steps == 2);
        CHECK(got.good_steps == 1);
    }

    TEST_CASE("judged steps come back with their notes and faults") {
        Practised p;
        const auto steps = p.log->steps(p.session).value();
        REQUIRE(steps.size() == 2);
        const auto& good = steps[0].judgement;
        CHECK(good.good());
        CHECK(good.step == 4);
        CHECK(good.pass == 1);
        CHECK(good.note.index == 1);
        CHECK(good.note.start_s == 2.0);
        CHECK(good.note.partial == 6);
        CHECK(good.held_cents == 2.5);
        CHECK(good.attack_cents == -6.0);
        CHECK(good.timing_s.value() == 0.03);
        CHECK_FALSE(good.level_db.has_value());
        const auto& bad = steps[1];
        CHECK_FALSE(bad.judgement.played);
        CHECK(bad.asked == horn::Note{70, -1});
        CHECK(bad.asked_hand == horn::Hand::full);
        CHECK(bad.judgement.faults ==
              std::vector<drill::Fault>{drill::Fault::missed, drill::Fault::late});
    }

    TEST_CASE("a step put twice is there once") {
        Practised p;
        auto step = Practised::bad_step();
        step.judgement.faults.clear();
        REQUIRE(p.log->put_step(p.session, 0, step));
        CHECK(p.log->steps(p.session).value().size() == 2);
        // Neither missed nor wrong: it could not be heard apart, and counts nowhere.
        CHECK(p.log->steps(p.session).value()[1].judgement.undecided());
        CHECK(p.log->blocks(p.session).value().front().steps == 1);
        CHECK(p.log->blocks(p.session).value().front().good_steps == 1);
        step.judgement.played = true;
        step.judgement.note.index = 1;
        REQUIRE(p.log->put_step(p.session, 0, step));
        CHECK(p.log->steps(p.session).value().size() == 2);
        CHECK(p.log->blocks(p.session).value().front().steps == 2);
        CHECK(p.log->blocks(p.session).value().front().good_steps == 2);
        CHECK_FALSE(p.log->put_step(p.session, 9, step));
        // A note that nothing asked for is no step asked.
        step.number = 2;
        step.judgement.extra = true;
        step.judgement.part = 1;
        REQUIRE(p.log->put_step(p.session, 0, step));
        CHECK(p.log->steps(p.session).value()[2].judgement.extra);
        CHECK(p.log->steps(p.session).value()[2].judgement.part == 1);
        CHECK(p.log->blocks(p.session).value().front().steps == 2);
    }

    TEST_CASE("every fault has an id that leads back to it") {
        for (int i = 0; i <= static_cast<int>(drill::Fault::manner); ++i) {
            const auto fault = static_cast<drill::Fault>(i);
            CHECK(drill::fault_from_id(drill::fault_id(fault)) == fault);
        }
        CHECK_FALSE(drill::fault_from_id("").has_value());
    }

    TEST_CASE("what was heard of the hand comes back; what was not heard stays unknown") {
        Practised p;
        auto note = Practised::note(3);
        note.deviation_cents = -8.0;
        note.heard.heard = true;
        note.heard.estimate.position = {.known = true,
                                        .closure = 0.5,
                                        .low = 0.375,
                                        .high = 0.75,
                                        .degree = horn::Hand::half,
                                        .confidence = 0.8};
        note.heard.advice = {.kind = hand::AdviceKind::hand_closed,
                             .deviation_cents = -8.0,
                             .hand_cents = -7.0,
                             .lips_cents = -1.0,
                             .confidence = 0.9};
        note.heard.match = {
            .known = true, .loudness_db = -2.0, .centroid_octaves = 0.25, .uneven_db = 2.5};
        note.heard.steadiness = {.known = true,
                                 .unsteady_cents = 4.0,
                                 .drift_cents_per_s = -1.5,
                                 .tremor_cents = 2.0,
                                 .tremor_hz = 5.5,
                                 .sway = hand::Sway::hand};
        REQUIRE(p.log->put_note(p.session, horn::Tuning{}, note));
        const auto notes = p.log->notes(p.session).value();
        REQUIRE(notes.size() == 4);
        CHECK_FALSE(notes[0].note.heard.heard);
        CHECK_FALSE(notes[0].note.heard.estimate.position.known);
        const auto& heard = notes[3].note.heard;
        CHECK(heard.heard);
        CHECK(heard.estimate.position.degree == horn::Hand::half);
        CHECK(heard.estimate.position.low == 0.375);
        CHECK(heard.estimate.position.high == 0.75);
        CHECK(heard.estimate.position.confidence == 0.8);
        CHECK(heard.advice.kind == hand::AdviceKind::hand_closed);
        CHECK(heard.advice.deviation_cents == -8.0);
        CHECK(heard.advice.hand_cents == -7.0);
        CHECK(heard.match.uneven_db == 2.5);
        CHECK(heard.steadiness.sway == hand::Sway::hand);
        CHECK(heard.steadiness.tremor_hz == 5.5);
    }

    TEST_CASE("several writes are saved together or not at all") {
        Practised p;
        const auto refused = p.log->together([&]() -> Result<void> {
            REQUIRE(p.log->put_note(p.session, horn::Tuning{}, Practised::note(7)));
            REQUIRE(p.log->put_setting("takes_budget_bytes", "1"));
            return failure("no");
        });
        REQUIRE_FALSE(refused);
        CHECK(p.log->notes(p.session).value().size() == 3);
        CHECK(p.log->sessions().value().front().notes == 3);
        CHECK_FALSE(p.log->setting("takes_budget_bytes").value().has_value());
        CHECK(p.log->together(
            [&] { return p.log->put_note(p.session, horn::Tuning{}, Practised::note(7)); }));
        CHECK(p.log->sessions().value().front().notes == 4);
    }

    TEST_CASE("takes: found by session and age, sized, removed with their file") {
        Practised p;
        const auto takes = p.log->takes(p.session).value();
        REQUIRE(takes.size() == 2);
        CHECK(takes[0].file == "take-1.flac");
        CHECK(takes[0].block == 0U);
        CHECK(takes[0].kept);
        CHECK(takes[0].why == "keep that");
        CHECK(p.log->all_takes().value().size() == 2);
        CHECK(p.log->takes_bytes().value() == 2 * 123456);
        REQUIRE(p.log->remove_take(p.take));
        CHECK(p.log->takes(p.session).value().size() == 1);
        CHECK_FALSE(p.has_file("take-1.flac"));
        CHECK(p.has_file("take-2.flac"));
    }

    TEST_CASE("a take may not name a file outside its folder") {
        Practised p;
        for (const char* name : {"../x.flac", "/etc/passwd", "a/b.flac", ".hidden", "", "a\nb"}) {
            CAPTURE(name);
            CHECK_FALSE(p.log->put_take(p.take_named(name)));
        }
    }

    TEST_CASE("comments: on a take, a note, the session; refused where there is nothing") {
        Practised p;
        logbook::CommentRecord words;
        words.session = p.session;
        words.take = p.take;
        words.who = logbook::Who::teacher;
        words.at_s = 12.5;
        words.text = "The hand comes late here.";
        REQUIRE(p.log->add_comment(words));
        logbook::CommentRecord own;
        own.session = p.session;
        own.note = 2;
        own.text = "Better.";
        const auto id = p.log->add_comment(own);
        REQUIRE(id);
        const auto comments = p.log->comments(p.session).value();
        REQUIRE(comments.size() == 2);
        const auto& teacher = comments[1];
        CHECK(teacher.take == p.take);
        CHECK(teacher.who == logbook::Who::teacher);
        CHECK(teacher.at_s == 12.5);
        CHECK(teacher.text == words.text);
        CHECK(teacher.written_at.size() == 20);
        CHECK(comments[0].note == 2U);
        REQUIRE(p.log->remove_comment(*id));
        CHECK(p.log->comments(p.session).value().size() == 1);

        own.note = 99;
        CHECK_FALSE(p.log->add_comment(own));
        own.note.reset();
        own.text.clear();
        CHECK_FALSE(p.log->add_comment(own));
        own.text = "x";
        own.take = 99;
        CHECK_FALSE(p.log->add_comment(own));
        own.take.reset();
        own.session = 99;
        CHECK_FALSE(p.log->add_comment(own));
    }

    TEST_CASE("a deleted session is seen nowhere, and undo brings it back whole") {
        Practised p;
        logbook::CommentRecord words;
        words.session = p.session;
        words.text = "kept";
        REQUIRE(p.log->add_comment(words));
        REQUIRE(p.log->delete_session(p.session));
        CHECK(p.log->sessions().value().empty());
        CHECK(p.log->all_takes().value().empty());
        for (const std::string& message : {p.log->notes(p.session).error().message,
                                           p.log->blocks(p.session).error().message,
                                           p.log->steps(p.session).error().message,
                                           p.log->takes(p.session).error().message,
                                           p.log->comments(p.session).error().message,
                                           p.log->delete_session(p.session).error().message}) {
            CHECK(message.find("bin") != std::string::npos);
        }
        const auto bin = p.log->bin().value();
        REQUIRE(bin.size() == 1);
        CHECK(bin.front().deleted_at.size() == 20);
        CHECK(p.has_file("take-1.flac"));

        REQUIRE(p.log->restore_session(p.session));
        CHECK(p.log->bin().value().empty());
        CHECK(p.log->sessions().value().front().notes == 3);
        CHECK(p.log->notes(p.session).value().size() == 3);
        CHECK(p.log->blocks(p.session).value().size() == 1);
        CHECK(p.log->steps(p.session).value().size() == 2);
        CHECK(p.log->takes(p.session).value().size() == 2);
        CHECK(p.log->comments(p.session).value().size() == 1);
        CHECK_FALSE(p.log->restore_session(p.session));
        CHECK_FALSE(p.log->delete_session(99));
    }

    TEST_CASE("the bin is emptied on request, with the takes' files") {
        Practised p;
        REQUIRE(p.log->delete_session(p.session));
        CHECK(p.log->empty_bin(logbook::kBinDays).value() == 0);
        CHECK(p.has_file("take-1.flac"));
        CHECK(p.log->empty_bin(0).value() == 1);
        CHECK(p.log->bin().value().empty());
        CHECK_FALSE(p.has_file("take-1.flac"));
        CHECK_FALSE(p.has_file("take-2.flac"));
        CHECK(p.log->takes_bytes().value() == 0);
        CHECK_FALSE(p.log->restore_session(p.session));
    }

    TEST_CASE("only what lies in the bin is forgotten, and only what lay there long enough") {
        Practised p;
        logbook::SessionRecord other;
        other.started_at = "2026-03-02T10:00:00Z";
        std::vector<std::int64_t> binned;
        for (int i = 0; i < 3; ++i) {
            binned.push_back(p.log->begin_session(other).value());
            REQUIRE(p.log->delete_session(binned.back()));
        }
        sqlite3* raw = nullptr;
        REQUIRE(sqlite3_open(p.path.string().c_str(), &raw) == SQLITE_OK);
        const auto lay_there_for = [&](std::int64_t session, const char* days) {
            const std::string sql =
                std::string("UPDATE session SET deleted_at = datetime('now', '-") + days +
                " days') WHERE id = " + std::to_string(session);
            REQUIRE(sqlite3_exec(raw, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK);
        };
        lay_there_for(binned[0], "31");
        lay_there_for(binned[1], "29");
        sqlite3_close(raw);
        CHECK(p.log->empty_bin(logbook::kBinDays).value() == 1);
        CHECK(p.log->bin().value().size() == 2);
        CHECK(p.log->sessions().value().size() == 1);
        CHECK(p.log->empty_bin(0).value() == 2);
        CHECK(p.log->sessions().value().size() == 1);
        CHECK(p.log->notes(p.session).value().size() == 3);
        CHECK(p.has_file("take-1.flac"));
    }

    TEST_CASE("a file that could not be removed is removed at the next opening") {
        Practised p;
        // A folder with something in it stands where the file was: it cannot be removed as a file.
        const auto file = logbook::takes_folder(p.path) / "take-1.flac";
        std::filesystem::remove(file);
        std::filesystem::create_directories(file / "in the way");
        REQUIRE(p.log->delete_session(p.session));
        CHECK(p.log->empty_bin(0).value() == 1);
        CHECK(p.has_file("take-1.flac"));
        std::filesystem::remove(file / "in the way");
        p.log.reset();
        REQUIRE(Logbook::open(p.path));
        CHECK_FALSE(p.has_file("take-1.flac"));
    }
}
