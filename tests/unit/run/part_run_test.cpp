#include "run/part_run.h"

#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using run::Run;

namespace {

/// Bars of the part: notes of a quarter in two-four, "-" a whole bar of rest; "E" before the notes another crook.
struct PartBar {
    std::vector<const char*> notes;
    int crook = -7;
};

skill::PlannedBlock block_of(const std::vector<PartBar>& bars, int times = 1) {
    skill::PlannedBlock block;
    block.crook = *horn::parse_crook("F");
    block.exercise.id = "part-horn-00000000-0-9";
    block.exercise.title = "Horn";
    block.exercise.quarters_per_minute = 120.0;
    block.exercise.metre = {2, 4};
    block.exercise.repetitions = times;
    int played = 0;
    for (const PartBar& bar : bars) {
        drill::Step step;
        step.in_part =
            drill::InPart{played, std::to_string(played + 1), bar.crook, {2, 4}, 120.0, false};
        if (bar.notes.empty()) {
            step.quarters = 2.0;
            block.exercise.steps.push_back(step);
        }
        for (const char* const name : bar.notes) {
            step.written = *horn::parse_note(name);
            step.quarters = 2.0 / static_cast<double>(bar.notes.size());
            block.exercise.steps.push_back(step);
        }
        ++played;
    }
    block.play_s = 600.0;
    return block;
}

struct Player {
    explicit Player(skill::PlannedBlock block, run::Options options = {})
        : running(*Run::make({std::move(block)}, {}, options)) {}

    void wait(double length_s) {
        for (const double until_s = now_s + length_s; now_s < until_s - 1e-9;) {
            now_s = std::min(until_s, now_s + 0.05);
            running.advance(now_s);
        }
    }
    void play(const char* name, const char* crook = "F", double cents = 0.0) {
        horn::Tuning tuning;
        tuning.crook = *horn::parse_crook(crook);
        trainer::PlayedNote note;
        note.index = index++;
        note.written = *horn::parse_note(name);
        note.target_hz = horn::target_hz(note.written, tuning);
        note.f0_hz = note.target_hz * std::exp2(cents / 1200.0);
        note.deviation_cents = note.attack_cents = cents;
        note.start_s = now_s + 0.02;
        note.duration_s = 0.46;
        wait(0.5);
        note.finished = true;
        running.finished(note);
    }

    Run running;
    double now_s = 0.0;
    std::uint32_t index = 0;
};

} // namespace

TEST_SUITE("practice/part run") {
    TEST_CASE("a part tells its bar, counts its rests, says the entry and the new crook") {
        Player player(block_of(
            {{{"C5", "G4"}}, {{"E5", "C5"}}, {}, {}, {}, {{"C5", "E5"}, -8}, {{"G5", "C5"}, -8}}));
        player.wait(1.0);
        player.play("C5");
        player.play("G4");
        CHECK(player.running.state().prompt == "Bar 2. Next: E5 open.");
        player.play("E5");
        player.play("C5");
        player.wait(0.4);
        CHECK(player.running.state().prompt ==
              "Now the E crook. Rest, bar 1 of 3; then C5 open in bar 6.");
        CHECK(player.running.tuning().crook == *horn::parse_crook("E"));
        player.wait(1.0);
        CHECK(player.running.state().prompt ==
              "Now the E crook. Rest, bar 2 of 3; then C5 open in bar 6.");
        player.wait(1.0);
        CHECK(player.running.state().prompt == "Now the E crook. Next bar, 6: C5 open.");
        player.wait(30.0); // the crook takes its time
        CHECK(player.running.state().stage == run::Stage::playing);
        player.play("C5", "E");
        player.play("E5", "E");
        CHECK(player.running.state().where.tuning.crook == *horn::parse_crook("E"));
        player.play("G5", "E");
        player.play("C5", "E");
        player.wait(3.0);
        CHECK(player.running.state().stage == run::Stage::finished);
        REQUIRE(player.running.state().summaries.size() == 1);
        CHECK(player.running.state().summaries[0].judged == 8);
        CHECK(player.running.state().summaries[0].good == 8);
        // What was played on the E crook is learnt of the E crook.
        bool on_e = false;
        for (const auto& [item, skill] : player.running.skills()) {
            on_e = on_e || item.transposition == -8;
        }
        CHECK(on_e);
    }

    TEST_CASE("of a stretch that goes round the best time through is kept") {
        Player player(block_of({{{"C5", "G4"}}, {{"E5", "C5"}}}, 4));
        player.wait(1.0);
        const auto once = [&](double cents) {
            for (const char* const name : {"C5", "G4", "E5"}) {
                player.play(name);
            }
            player.play("C5", "F", cents);
        };
        once(35.0);
        once(0.0);
        once(35.0);
        once(0.0);
        player.wait(4.0);
        std::vector<run::TakeWish> wishes;
        for (run::TakeWish wish; player.running.next(wish);) {
            wishes.push_back(wish);
        }
        REQUIRE(wishes.size() == 2);
        CHECK(wishes[0].why == "best of Horn, 3 of 4 good");
        CHECK(wishes[1].why == "best of Horn, 4 of 4 good");
        CHECK(wishes[1].kept);
        CHECK(wishes[1].from_s == doctest::Approx(1.0 + 2.0 - 0.5).epsilon(0.05));
        CHECK(wishes[1].to_s == doctest::Approx(1.0 + 4.0 + 0.5).epsilon(0.05));
    }

    TEST_CASE("no metronome where the tempo changes on the way") {
        skill::PlannedBlock steady = block_of({{{"C5", "G4"}}, {{"E5", "C5"}}});
        CHECK(run::one_tempo(steady.exercise));
        CHECK(Player(steady).running.sound().beats_per_minute == 120.0);
        steady.exercise.steps.back().in_part->quarters_per_minute = 90.0;
        CHECK_FALSE(run::one_tempo(steady.exercise));
        CHECK(Player(steady).running.sound().beats_per_minute == 0.0);
        skill::PlannedBlock changing = block_of({{{"C5", "G4"}}, {{"E5", "C5"}}});
        changing.exercise.steps.back().in_part->metre = {3, 4};
        CHECK_FALSE(run::one_tempo(changing.exercise));
    }

    TEST_CASE("the metronome sounds twice in six eighths, and three times in three") {
        for (const auto& [metre, clicks] : {std::pair{drill::Metre{6, 8}, 2},
                                            std::pair{drill::Metre{3, 8}, 3},
                                            std::pair{drill::Metre{9, 8}, 3},
                                            std::pair{drill::Metre{2, 2}, 2},
                                            std::pair{drill::Metre{5, 4}, 5}}) {
            skill::PlannedBlock block = block_of({{{"C5", "G4"}}});
            block.exercise.metre = metre;
            for (drill::Step& step : block.exercise.steps) {
                step.in_part->metre = metre;
            }
            const Player player(block);
            CHECK(player.running.sound().beats_in_bar == clicks);
            // 120 quarters a minute: a bar takes half a second a quarter.
            CHECK(player.running.sound().beats_per_minute ==
                  doctest::Approx(60.0 * clicks / (0.5 * metre.quarters())));
        }
    }
}
