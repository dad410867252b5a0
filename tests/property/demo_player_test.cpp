// Today's plan with the demo player, through the whole analysis of sound: the faults that it plants must be named, and
// what it plays right must pass. BELLHAND_DEMO_SEEDS=20 plays the plan with as many seeds, twenty minutes each; without it
// with two, of eight minutes.
#include "app/demo_player.h"

#include "audio/synth_feed.h"
#include "support/lesson_student.h"
#include "support/run_listener.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

constexpr std::int64_t kNow = 1772000000;
constexpr double kSameNote_s = 0.12; // start heard against start played
constexpr double kLongest_s = 3600.0;

struct Tally {
    int planted = 0;
    int flagged = 0;
    int named = 0;
    int right = 0;
    int blamed = 0; ///< right notes with a false word
    int extra = 0;  ///< words on notes that were not played
    int unfinished = 0;
};

struct Played {
    app::DemoStep note;
    double start_s = 0.0;
    const drill::Judgement* told = nullptr;
};

/// Brings the demo player to a run, as fast as the computer can.
class Room {
public:
    Room(run::Run& running, std::uint64_t seed)
        : running_(running),
          demo_(seed, running.tuning()),
          feed_(demo_.stand(), test::RunListener::kRate_hz),
          ear_(running) {}

    void play() {
        while (running_.state().stage != run::Stage::finished && ear_.now_s() < kLongest_s) {
            if (running_.state().stage == run::Stage::rest) {
                ear_.skip(1.0);
            } else {
                hear_block();
            }
            demo_.follow(&running_.state(), running_.tuning(), ear_.now_s());
            remember();
            take_reports();
        }
        running_.finish();
        take_reports();
    }

    [[nodiscard]] Tally compared() {
        Tally tally;
        for (const drill::Judgement& one : reported_) {
            meet(one, tally);
        }
        for (const Played& played : played_) {
            count(played, tally);
        }
        tally.unfinished = ear_.now_s() < kLongest_s ? 0 : 1;
        return tally;
    }

private:
    void hear_block() {
        audio::Block block;
        block.count = static_cast<std::uint32_t>(feed_.read(block.samples).value_or(0));
        ear_.hear(block);
    }

    void remember() {
        if (running_.state().stage != run::Stage::playing &&
            running_.state().stage != run::Stage::ready) {
            // What was not reached was not played.
            std::erase_if(played_, [&](const Played& one) {
                return one.start_s + one.note.duration_s > ear_.now_s();
            });
        }
        if (demo_.parts() == parts_) {
            return;
        }
        parts_ = demo_.parts();
        for (const app::DemoStep& note : demo_.part().steps) {
            played_.push_back({note, ear_.now_s() + note.start_s, nullptr});
        }
    }

    void take_reports() {
        run::Record record;
        while (running_.next(record)) {
            if (const auto* step = std::get_if<run::StepRecord>(&record)) {
                reported_.push_back(step->step.judgement);
            }
        }
    }

    void meet(const drill::Judgement& one, Tally& tally) {
        const auto same = std::find_if(played_.begin(), played_.end(), [&](const Played& played) {
            return one.played && std::fabs(played.start_s - one.note.start_s) < kSameNote_s;
        });
        if (same != played_.end() && same->told == nullptr && !one.extra &&
            same->note.step == one.step) {
            same->told = &one;
        } else {
            ++tally.extra;
        }
    }

    static void count(const Played& played, Tally& tally) {
        const auto has = [&](drill::Fault fault) {
            return played.told != nullptr &&
                   std::find(played.told->faults.begin(), played.told->faults.end(), fault) !=
                       played.told->faults.end();
        };
        const bool flagged = played.told != nullptr && !played.told->good();
        if (played.note.fault == app::PlantedFault::none) {
            ++tally.right;
            tally.blamed += flagged || played.told == nullptr ? 1 : 0;
            if (flagged || played.told == nullptr) {
                MESSAGE("right note blamed: step "
                        << played.note.step << " pass " << played.note.pass << " at "
                        << played.start_s << " "
                        << (played.told ? std::string(drill::fault_id(played.told->faults.front()))
                                        : "not heard"));
            }
            return;
        }
        ++tally.planted;
        tally.flagged += flagged ? 1 : 0;
        const bool named = played.note.fault == app::PlantedFault::flat
                               ? has(drill::Fault::flat)
                               : has(drill::Fault::sharp) || has(drill::Fault::wrong_hand);
        tally.named += named ? 1 : 0;
        if (!named) {
            MESSAGE("planted not named: step "
                    << played.note.step << " fault " << static_cast<int>(played.note.fault) << " "
                    << (played.told
                            ? (played.told->good()
                                   ? std::string("good")
                                   : std::string(drill::fault_id(played.told->faults.front())))
                            : "not heard"));
        }
    }

    run::Run& running_;
    app::DemoPlayer demo_;
    audio::SynthFeed feed_;
    test::RunListener ear_;
    std::vector<Played> played_;
    std::vector<drill::Judgement> reported_;
    std::uint64_t parts_ = 0;
};

/// The plan of a newcomer, or of a player of some weeks, on a crook and at a pitch by the seed.
Tally play_plan(std::uint64_t seed, double minutes) {
    constexpr int kCrooks[] = {-7, -5, -9, -10, -4};
    constexpr double kPitches_hz[] = {440.0, 430.0, 415.0};
    skill::PlanWishes wishes;
    wishes.minutes = minutes;
    wishes.now_s = kNow;
    wishes.usual = drill::crook_at(kCrooks[seed % 5]);
    wishes.crooks = {wishes.usual};
    const skill::Skills skills =
        seed % 2 == 0 ? skill::Skills{} : test::some_weeks(wishes.usual, kNow, seed);
    run::Options options;
    options.tuning.crook = wishes.usual;
    options.tuning.a4_hz = kPitches_hz[seed % 3];
    options.started_s = kNow;
    auto running = run::Run::make(skill::plan_day(skills, wishes).blocks, skills, options);
    REQUIRE(running);
    Room room(*running, seed);
    room.play();
    return room.compared();
}

} // namespace

TEST_CASE("today's plan with the demo player: planted faults are named, right notes pass") {
    const char* const wished = std::getenv("BELLHAND_DEMO_SEEDS");
    const char* const first = std::getenv("BELLHAND_DEMO_FIRST");
    const std::uint64_t count = wished != nullptr ? std::strtoull(wished, nullptr, 10) : 2;
    const std::uint64_t begin = first != nullptr ? std::strtoull(first, nullptr, 10) : 100;
    Tally all;
    for (std::uint64_t seed = begin; seed < begin + count; ++seed) {
        const Tally one = play_plan(seed, wished != nullptr ? 20.0 : 8.0);
        all.planted += one.planted;
        all.flagged += one.flagged;
        all.named += one.named;
        all.right += one.right;
        all.blamed += one.blamed;
        all.extra += one.extra;
        all.unfinished += one.unfinished;
    }
    MESSAGE(count << " plans: " << all.planted << " faults planted, " << all.flagged << " flagged, "
                  << all.named << " named; " << all.right << " right notes, " << all.blamed
                  << " blamed; " << all.extra << " words on nothing that was played");
    CHECK(all.unfinished == 0);
    CHECK(all.planted > 0);
    CHECK(all.flagged >= 0.95 * all.planted);
    CHECK(all.named >= 0.93 * all.planted);
    CHECK(all.blamed + all.extra <= 0.03 * all.right);
}
