#include "run/run.h"

#include "skill/focus.h"

#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;
using run::Key;
using run::Run;
using run::Stage;

namespace {

drill::Exercise tune(std::initializer_list<const char*> names, int repetitions = 1) {
    drill::Exercise exercise;
    exercise.id = "tune";
    exercise.title = "Tune";
    exercise.repetitions = repetitions;
    for (const char* const name : names) {
        drill::Step step;
        step.written = *horn::parse_note(name);
        exercise.steps.push_back(step);
    }
    return exercise;
}

skill::PlannedBlock block(drill::Exercise exercise, double play_s = 60.0, const char* crook = "F") {
    skill::PlannedBlock block;
    block.exercise = std::move(exercise);
    block.crook = *horn::parse_crook(crook);
    block.play_s = play_s;
    block.rest_s = play_s;
    block.why = "because";
    return block;
}

/// A player at a run; time goes on in steps of 50 ms.
struct Player {
    Run running;
    double now_s = 0.0;
    std::vector<run::Record> records;

    explicit Player(std::vector<skill::PlannedBlock> blocks, run::Options options = {})
        : running(*Run::make(std::move(blocks), {}, options)) {}

    [[nodiscard]] const run::State& state() const { return running.state(); }
    void wait(double length_s) {
        for (const double until_s = now_s + length_s; now_s < until_s - 1e-9;) {
            now_s = std::min(until_s, now_s + 0.05);
            running.advance(now_s);
        }
        collect();
    }
    hand::HornFit horn; ///< what is heard with every note
    void play(const char* name, double cents = 0.0, double length_s = 0.5) {
        trainer::PlayedNote note;
        note.heard.heard = horn.verdict != hand::HornVerdict::unknown;
        note.heard.horn = horn;
        note.written = *horn::parse_note(name);
        note.target_hz = horn::target_hz(note.written, running.tuning());
        note.f0_hz = note.target_hz * std::exp2(cents / 1200.0);
        note.deviation_cents = cents;
        note.attack_cents = cents;
        note.start_s = now_s + 0.05;
        note.duration_s = length_s - 0.05;
        for (const double until_s = now_s + length_s; now_s < until_s - 1e-9;) {
            now_s = std::min(until_s, now_s + 0.05);
            running.advance(now_s);
            if (now_s < until_s - 0.04 && now_s > note.start_s) {
                trainer::PlayedNote so_far = note;
                so_far.duration_s = now_s - note.start_s;
                running.sounding(so_far);
            }
        }
        note.finished = true;
        running.finished(note);
        collect();
    }
    void play_all(std::initializer_list<const char*> names) {
        for (const char* const name : names) {
            play(name);
        }
    }
    void collect() {
        run::Record record;
        while (running.next(record)) {
            records.push_back(record);
        }
    }
    [[nodiscard]] std::vector<run::StepRecord> steps() const {
        std::vector<run::StepRecord> steps;
        for (const auto& record : records) {
            if (const auto* step = std::get_if<run::StepRecord>(&record)) {
                steps.push_back(*step);
            }
        }
        return steps;
    }
    [[nodiscard]] logbook::BlockRecord last_block() const {
        logbook::BlockRecord last;
        for (const auto& record : records) {
            if (const auto* block = std::get_if<logbook::BlockRecord>(&record)) {
                last = *block;
            }
        }
        return last;
    }
};

} // namespace

TEST_SUITE("practice/run") {
    TEST_CASE(
        "homework is listened to, judged and logged at the pitch and temperament it asks for") {
        const char* const kNames[] = {"C4", "E4", "G4"};
        skill::PlannedBlock set = block(tune({"C4", "E4", "G4"}));
        set.a4_hz = 430.0;
        set.temperament = horn::parse_temperament("vallotti").value();
        run::Options options;
        options.tuning.a4_hz = 442.0;
        Player player({set, block(tune({"C4", "E4", "G4"}))}, options);
        CHECK(player.running.tuning() == skill::tuning_of(set, options.tuning));
        REQUIRE(player.state().asked->size() == 3);
        for (const drill::Asked& asked : *player.state().asked) {
            CHECK(asked.target_hz == doctest::Approx(horn::target_hz(
                                         asked.written, skill::tuning_of(set, options.tuning))));
        }
        for (const char* const name : kNames) {
            player.play(name);
        }
        player.wait(3.0);
        const auto steps = player.steps();
        REQUIRE(steps.size() == 3);
        for (std::size_t i = 0; i < steps.size(); ++i) {
            CHECK(steps[i].step.judgement.good());
            CHECK(std::abs(steps[i].step.judgement.held_cents) < 0.01);
        }
        CHECK(player.last_block().a4_hz == 430.0);
        CHECK(player.last_block().temperament == "vallotti");
        REQUIRE(player.state().stage == Stage::rest);
        player.running.press(Key::next);
        CHECK(player.running.tuning() == options.tuning); // the day's again
    }

    TEST_CASE("a drone of homework stands at its pitch") {
        skill::PlannedBlock set = block(tune({"C4", "G4"}));
        set.exercise.measure = drill::Measure::chord;
        set.exercise.root = *horn::parse_note("C4");
        set.a4_hz = 430.0;
        const Player player({set});
        CHECK(player.running.sound().drone_hz[0] ==
              doctest::Approx(horn::target_hz(*horn::parse_note("C4"), skill::tuning_of(set, {}))));
    }

    TEST_CASE("notes are judged by the player's tolerances, times what homework asks") {
        run::Options options;
        options.tolerances.pitch_factor = 1.6;
        skill::PlannedBlock set = block(tune({"C4", "G4"}));
        set.exercise.steps[1].tolerance_cents = 30.0; // of the exercise itself
        for (const auto& [factor, good] : {std::pair(1.0, true), std::pair(0.5, false)}) {
            CAPTURE(factor);
            set.tolerance_factor = factor;
            Player player({set}, options);
            player.play("C4", 7.0); // off by more than the usual 5, less than the player's 8
            player.play("G4", 20.0);
            player.wait(10.0);
            const auto steps = player.steps();
            REQUIRE(steps.size() >= 2);
            CHECK(steps[0].step.judgement.tolerance_cents == doctest::Approx(8.0 * factor));
            CHECK(steps[0].step.judgement.good() == good);
            CHECK(steps[1].step.judgement.tolerance_cents == 30.0);
        }
    }

    TEST_CASE("every block is judged with the player's own hand on its crook") {
        std::vector<int> asked_for;
        run::Options options;
        options.hand = [&](const horn::Tuning& tuning) {
            asked_for.push_back(tuning.crook.transposition);
            auto hand = horn::hand_response(tuning);
            for (double& cents : hand.open_cents) {
                cents = 12.0;
            }
            return std::optional(hand);
        };
        const Run running =
            *Run::make({block(tune({"C4"}), 60.0, "Eb"), block(tune({"C4"}))}, {}, options);
        for (const char* const crook : {"Eb", "F"}) {
            CHECK(std::count(asked_for.begin(),
                             asked_for.end(),
                             horn::parse_crook(crook)->transposition) > 0);
        }
    }

    TEST_CASE(
        "it waits for the first note, ends by itself, rests as long as was played, and moves on") {
        Player player({block(tune({"C4", "E4", "G4"})), block(tune({"C5", "G4"}), 60.0, "D")});
        CHECK(player.state().stage == Stage::ready);
        player.wait(30.0);
        CHECK(player.state().stage == Stage::ready);
        player.play_all({"C4", "E4", "G4"});
        CHECK(player.state().stage == Stage::playing);
        player.wait(2.0);
        REQUIRE(player.state().stage == Stage::rest);
        CHECK(player.state().prompt.find("on the D crook") != std::string::npos);
        CHECK(player.state().rest_left_s <= 5.0);
        player.wait(6.0);
        CHECK(player.state().stage == Stage::ready);
        CHECK(player.state().block == 1);
        CHECK(player.running.tuning().crook == *horn::parse_crook("D"));
        player.play_all({"C5", "G4"});
        player.wait(2.0);
        CHECK(player.state().stage == Stage::finished);
        REQUIRE(player.state().summaries.size() == 2);
        CHECK(player.state().summaries[0].judged == 3);
        CHECK(player.state().summaries[0].good == 3);
        CHECK(player.last_block().finished);
        CHECK(player.last_block().number == 1);
    }

    TEST_CASE("rest is as long as what was played of a long block") {
        drill::Exercise exercise = tune({"C4", "E4", "G4", "C5"}, 20);
        Player player({block(exercise, 20.0), block(exercise, 20.0)});
        while (player.state().stage != Stage::rest && player.now_s < 60.0) {
            player.play_all({"C4", "E4", "G4", "C5"});
        }
        REQUIRE(player.state().stage == Stage::rest);
        const double played_s = player.state().summaries[0].played_s;
        CHECK(played_s >= 20.0);
        CHECK(played_s <= 24.5);
        const double from_s = player.now_s;
        while (player.state().stage == Stage::rest) {
            player.wait(0.5);
        }
        CHECK(player.now_s - from_s == doctest::Approx(played_s).epsilon(0.15));
    }

    TEST_CASE("what missed is asked again before the block ends") {
        Player player({block(tune({"C4", "E4", "G4"}))});
        player.play_all({"C4", "G4", "G4"}); // the next partial in place of E4
        player.wait(1.6);
        CHECK(player.state().stage == Stage::playing);
        CHECK(player.state().where.repeating_missed);
        CHECK(player.state().prompt.find("Once more") != std::string::npos);
        player.play_all({"C4", "E4", "G4"});
        player.wait(2.0);
        CHECK(player.state().stage == Stage::finished);
        const auto steps = player.steps();
        REQUIRE(steps.size() == 6);
        CHECK_FALSE(steps[1].step.judgement.good());
        CHECK(steps[4].step.judgement.good());
        CHECK(steps[4].step.judgement.pass == 1);
    }

    TEST_CASE("nobody has to take up what is asked again") {
        Player player({block(tune({"C4", "E4", "G4"})), block(tune({"C4"}))});
        player.play_all({"C4", "G4", "G4"});
        player.wait(25.0);
        CHECK(player.state().block == 0);
        CHECK(player.state().stage == Stage::rest);
        CHECK(player.state().summaries[0].judged == 3);
    }

    TEST_CASE("silence pauses, and its time is not counted as playing") {
        Player player({block(tune({"C4", "E4", "G4", "C5", "G4"}))});
        player.play_all({"C4", "E4"});
        player.wait(120.0);
        CHECK(player.state().stage == Stage::playing);
        CHECK(player.state().where.phase == drill::Phase::stopped);
        CHECK(player.state().played_s < 5.0);
        CHECK(player.state().prompt.find("Waiting for you: go on with G4") == 0);
        player.play_all({"G4", "C5", "G4"});
        player.wait(2.0);
        CHECK(player.state().stage == Stage::finished);
        CHECK(player.state().summaries[0].good == 5);
    }

    TEST_CASE("who stops before the very last notes is through, and they count as missed") {
        Player player({block(tune({"C4", "E4", "G4", "C5", "G4"})), block(tune({"C4"}))});
        player.play_all({"C4", "E4", "G4", "C5"});
        player.wait(7.0);
        CHECK(player.state().stage == Stage::rest);
        REQUIRE(player.state().summaries.size() == 1);
        CHECK(player.state().summaries[0].judged == 5);
        CHECK(player.state().summaries[0].good == 4);
    }

    TEST_CASE("homework is recorded while it is played, and keep that reaches back") {
        skill::PlannedBlock homework = block(tune({"C4", "E4", "G4"}));
        homework.homework = "set-1";
        Player player({homework});
        player.wait(3.0);
        player.play_all({"C4", "E4"});
        player.running.press(Key::keep);
        player.play("G4");
        player.wait(2.0);
        std::vector<run::TakeWish> wishes;
        for (run::TakeWish wish; player.running.next(wish);) {
            wishes.push_back(wish);
        }
        REQUIRE(wishes.size() == 3);
        CHECK(wishes[0].kind == run::TakeWish::Kind::begin);
        CHECK(wishes[0].from_s <= 3.05);
        CHECK(wishes[1].kind == run::TakeWish::Kind::keep);
        CHECK(wishes[1].kept);
        CHECK(wishes[1].to_s == doctest::Approx(4.0));
        CHECK(wishes[2].kind == run::TakeWish::Kind::end);
    }

    TEST_CASE("feedback stays at least one note behind") {
        Player player({block(tune({"C4", "E4", "G4", "C5", "G4"}, 2))});
        player.play("C4", 30.0);
        CHECK_FALSE(player.state().feedback);
        player.play("E4");
        REQUIRE(player.state().feedback);
        CHECK(player.state().feedback->judgement.step == 0);
        CHECK(player.state().feedback->text == "C4: 30 cents sharp");
        run::Options later;
        later.feedback_behind = 3;
        Player patient({block(tune({"C4", "E4", "G4", "C5", "G4"}, 2))}, later);
        patient.play_all({"C4", "E4", "G4"});
        CHECK_FALSE(patient.state().feedback);
        patient.play("C5");
        REQUIRE(patient.state().feedback);
        CHECK(patient.state().feedback->judgement.step == 0);
        patient.wait(2.5); // who stops may read
        CHECK(patient.state().feedback->judgement.step == 3);
    }

    TEST_CASE("keys: next breaks off and skips, and what was not reached is held against nobody") {
        Player player({block(tune({"C4", "E4", "G4", "C5"})), block(tune({"C4"}))});
        player.play_all({"C4", "E4"});
        player.running.press(Key::next);
        player.collect();
        CHECK(player.state().stage == Stage::rest);
        CHECK_FALSE(player.last_block().finished);
        CHECK(player.state().summaries[0].judged == 2);
        CHECK(player.state().summaries[0].good == 2);
        player.running.press(Key::next);
        CHECK(player.state().stage == Stage::ready);
        CHECK(player.state().block == 1);
    }

    TEST_CASE("keys: repeat begins again, back goes to the block before when pressed early") {
        Player player({block(tune({"C4", "E4", "G4", "C5"})), block(tune({"C4", "E4", "G4"}))});
        player.play_all({"C4", "E4"});
        player.running.press(Key::repeat);
        CHECK(player.state().stage == Stage::ready);
        CHECK(player.state().block == 0);
        player.play_all({"C4", "E4", "G4", "C5"});
        player.wait(8.0);
        REQUIRE(player.state().block == 1);
        player.play("C4");
        player.running.press(Key::back);
        CHECK(player.state().block == 0);
        player.play_all({"C4", "E4", "G4", "C5", "C4", "E4", "G4", "C5", "C4", "E4", "G4"});
        player.running.press(Key::back);
        CHECK(player.state().block == 0);
        CHECK(player.state().stage == Stage::ready);
        player.collect();
        // Every go is a block of its own in the log.
        CHECK(player.last_block().number >= 3);
    }

    TEST_CASE("keys: pause listens to nothing and goes on where it was") {
        Player player({block(tune({"C4", "E4", "G4"}))});
        player.play("C4");
        player.running.press(Key::pause);
        CHECK(player.state().stage == Stage::paused);
        player.play_all({"D5", "D5"}); // somebody talks with a horn
        player.running.press(Key::pause);
        CHECK(player.state().stage == Stage::playing);
        player.play_all({"E4", "G4"});
        player.wait(2.0);
        CHECK(player.state().stage == Stage::finished);
        CHECK(player.state().summaries[0].judged == 3);
        CHECK(player.state().summaries[0].good == 3);
    }

    TEST_CASE("keys may come at any moment, in any order") {
        std::uint32_t state = 7;
        const auto chance = [&state](std::uint32_t below) {
            state = state * 1664525U + 1013904223U;
            return (state >> 8U) % below;
        };
        for (int session = 0; session < 40; ++session) {
            Player player({block(tune({"C4", "E4", "G4"}, 3), 8.0),
                           block(tune({"G4", "C5"}), 5.0, "D"),
                           block(tune({"C4"}), 5.0)});
            for (int i = 0; i < 120; ++i) {
                const auto what = chance(12);
                if (what < 5) {
                    player.running.press(static_cast<Key>(what));
                } else if (what < 10) {
                    player.play(std::array{"C4", "E4", "G4", "C5", "D5"}[what - 5]);
                } else {
                    player.wait(0.1 * chance(60));
                }
                CHECK(player.state().block < 3);
                CHECK((player.state().stage == Stage::finished) == (player.state().now == nullptr));
                CHECK_FALSE(player.state().prompt.empty());
            }
            player.running.finish();
            CHECK(player.state().stage == Stage::finished);
            player.collect();
            // A step never comes before its block.
            std::vector<std::uint32_t> begun;
            for (const auto& record : player.records) {
                if (const auto* one = std::get_if<logbook::BlockRecord>(&record)) {
                    begun.push_back(one->number);
                } else {
                    const auto number = std::get<run::StepRecord>(record).block;
                    CHECK(std::find(begun.begin(), begun.end(), number) != begun.end());
                }
            }
        }
    }

    TEST_CASE("nothing is learnt while it is in doubt which horn sounds, and what was learnt is "
              "taken back") {
        Player player({block(tune({"C4", "E4", "G4", "C5", "G4", "E4"}))});
        player.play("C4");
        player.play("F4");
        player.play("A4");
        CHECK_FALSE(player.running.skills().empty());
        player.horn.verdict = hand::HornVerdict::other;
        player.horn.best.f1_hz = 41.2;
        player.play("B4");
        player.play("F4");
        player.play("D4");
        player.wait(4.0);
        for (const auto& [item, skill] : player.running.skills()) {
            CHECK(skill::figures_of(skill)[0] == 0.0); // as if never tried
        }
        CHECK(player.state().prompt.find("fit a horn in E better") != std::string::npos);
        REQUIRE(player.state().feedback);
        CHECK(player.state().feedback->text.find("in doubt") != std::string::npos);
    }

    TEST_CASE("who plays what is asked is not doubted, however the notes look") {
        Player player({block(tune({"C4", "E4", "G4", "C5", "G4", "E4"}))});
        player.horn.verdict = hand::HornVerdict::doubtful;
        player.play_all({"C4", "E4", "G4", "C5", "G4", "E4"});
        player.wait(4.0);
        CHECK_FALSE(player.running.skills().empty());
        CHECK(player.state().prompt.find("crook and slide") == std::string::npos);
    }

    TEST_CASE("judgements change the skills they are about, and go to the log with them") {
        run::Options options;
        options.started_s = 1772000000;
        Player player({block(tune({"C4", "F4"}))}, options);
        player.play("C4");
        player.play("F4", -40.0);
        player.wait(1.2);
        const auto steps = player.steps();
        REQUIRE(steps.size() == 2);
        REQUIRE(steps[1].skills.size() == 2); // the note and the way to it
        CHECK(steps[1].skills[0].written == 65);
        CHECK(steps[1].skills[0].values[0] == doctest::Approx(1.0));
        CHECK(steps[1].skills[0].values[1] == doctest::Approx(0.0));
        CHECK(steps[1].step.asked_hand == horn::chart_entry(*horn::parse_note("F4"))->usual().hand);
        CHECK(player.running.skills().size() == 3);
    }

    TEST_CASE(
        "metronome and drone sound with the exercise that wants them, and are silent in a rest") {
        drill::Exercise exercise = tune({"C4", "E4"});
        exercise.quarters_per_minute = 72.0;
        exercise.measure = drill::Measure::chord;
        exercise.root = horn::parse_note("C4").value();
        Player player({block(exercise), block(tune({"C4"}))});
        CHECK(player.running.sound().beats_per_minute == doctest::Approx(72.0));
        CHECK(player.running.sound().drone_hz[0] ==
              doctest::Approx(horn::target_hz(*horn::parse_note("C4"), player.running.tuning())));
        player.play_all({"C4", "E4"});
        player.wait(2.0);
        REQUIRE(player.state().stage == Stage::rest);
        CHECK(player.running.sound().beats_per_minute == 0.0);
        CHECK(player.running.sound().drone_hz[0] == 0.0);
    }

    TEST_CASE("a plan that cannot be played is refused with a sentence") {
        CHECK_FALSE(Run::make({}, {}, {}));
        const auto odd = Run::make({block(tune({"C9"}))}, {}, {});
        REQUIRE_FALSE(odd);
        CHECK_FALSE(odd.error().message.empty());
    }
}
