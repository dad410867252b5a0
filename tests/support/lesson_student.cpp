#include "support/lesson_student.h"

#include "audio/exact_math.h"
#include "support/run_listener.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace bellhand::test {

namespace {

using run::Run;
using run::Stage;

constexpr double kRate_hz = RunListener::kRate_hz;
constexpr double kSilence_s = 0.1;   // looks at the run while nothing is played
constexpr double kLongest_s = 3600;  // of one session: something is stuck
constexpr double kSameNote_s = 0.12; // start heard against start played
constexpr double kNotesTick_s = 0.05;

/// What was played and what is wrong with it, at session times.
struct Truth {
    std::uint32_t block = 0; ///< goes through the session
    std::uint32_t step = 0;
    double start_s = 0.0;
    bool played = true;
    std::vector<drill::Fault> faults;
};

struct Reported {
    std::uint32_t block = 0;
    drill::Judgement judgement;
};

/// Brings what the student plays to the running.
class Room {
public:
    Room(Run& running, Hearing hearing) : running_(running), hearing_(hearing), ear_(running) {}

    [[nodiscard]] double now_s() const { return ear_.now_s(); }

    /// Plays until the end or until the run does not listen any more.
    void play(const Performance& performance, std::uint64_t seed) {
        if (hearing_ == Hearing::sound) {
            audio::SynthScore score = sound_of(performance, seed);
            feed(audio::render(score, kRate_hz));
        } else {
            tell(notes_of(performance, seed), performance.end_s);
        }
    }

    void wait(double length_s) {
        if (hearing_ == Hearing::sound && running_.state().stage != Stage::rest) {
            feed(std::vector<float>(static_cast<std::size_t>(length_s * kRate_hz), 0.0F));
        } else {
            ear_.skip(length_s);
        }
    }

private:
    void feed(const std::vector<float>& samples) {
        for (std::size_t at = 0; at < samples.size(); at += audio::kBlockSamples) {
            audio::Block block;
            block.count = static_cast<std::uint32_t>(
                std::min<std::size_t>(audio::kBlockSamples, samples.size() - at));
            std::copy_n(samples.begin() + static_cast<std::ptrdiff_t>(at),
                        block.count,
                        block.samples.begin());
            ear_.hear(block);
        }
    }

    void tell(const std::vector<trainer::PlayedNote>& notes, double length_s) {
        const double begun_s = ear_.now_s();
        for (trainer::PlayedNote note : notes) {
            note.start_s += begun_s;
            double now_s = ear_.now_s();
            for (; now_s < note.start_s + note.duration_s; now_s += kNotesTick_s) {
                ear_.advance_to(now_s);
                if (now_s > note.start_s) {
                    trainer::PlayedNote so_far = note;
                    so_far.finished = false;
                    so_far.duration_s = now_s - note.start_s;
                    running_.sounding(so_far);
                }
            }
            ear_.advance_to(now_s);
            running_.finished(note);
        }
        ear_.advance_to(std::max(ear_.now_s(), begun_s + length_s));
        ear_.follow_tuning();
    }

    Run& running_;
    Hearing hearing_;
    RunListener ear_;
};

/// The exercise that is asked now, as notes in a row where only some bars are.
drill::Exercise asked_exercise(const run::State& state) {
    drill::Exercise exercise = state.now->exercise;
    if (!state.where.repeating_missed) {
        return exercise;
    }
    exercise.steps.clear();
    const std::vector<drill::Step>& steps = state.now->exercise.steps;
    std::uint32_t next = state.asked->front().step;
    for (const drill::Asked& asked : *state.asked) {
        for (; next < asked.step && !steps[next].written; ++next) {
            exercise.steps.push_back(
                steps[next]); // rests inside and between bars that follow each other
        }
        exercise.steps.push_back(steps[asked.step]);
        next = asked.step + 1;
    }
    exercise.steps.front().slurred = false;
    exercise.repetitions = 1;
    return exercise;
}

/// Where nothing sets a tempo nobody is late.
bool can_be_judged(drill::Fault fault, const drill::Exercise& exercise) {
    const bool of_time = fault == drill::Fault::late || fault == drill::Fault::too_short;
    return !of_time || exercise.quarters_per_minute > 0.0;
}

void remember(std::vector<Truth>& truth,
              const Performance& performance,
              const std::vector<drill::Asked>& asked,
              std::uint32_t block,
              double begun_s) {
    for (const PerformedNote& note : performance.notes) {
        truth.push_back({block, asked[note.asked].step, begun_s + note.start_s, true, note.faults});
    }
    for (const std::uint32_t left_out : performance.left_out) {
        truth.push_back({block, asked[left_out].step, 0.0, false, {drill::Fault::missed}});
    }
}

FaultTally& of(StudiedSession& session, drill::Fault fault) {
    return session.by_fault[static_cast<std::size_t>(fault)];
}

/// The middle of a wobble that stops after one swing and a half lies beside the note: neither right nor wrong.
bool pitch_is_anyones_guess(const Truth& played, drill::Fault fault) {
    return (fault == drill::Fault::flat || fault == drill::Fault::sharp) &&
           std::find(played.faults.begin(), played.faults.end(), drill::Fault::unsteady) !=
               played.faults.end();
}

/// Reported faults of notes against those of the notes that began when they did.
void compare_played(StudiedSession& session,
                    const std::vector<Truth>& truth,
                    const std::vector<Reported>& reported) {
    std::set<const Truth*> met;
    for (const Reported& one : reported) {
        if (!one.judgement.played) {
            continue;
        }
        const auto same = std::find_if(truth.begin(), truth.end(), [&](const Truth& played) {
            return played.played &&
                   std::fabs(played.start_s - one.judgement.note.start_s) < kSameNote_s;
        });
        for (const drill::Fault fault : one.judgement.faults) {
            if (same != truth.end() && pitch_is_anyones_guess(*same, fault)) {
                continue;
            }
            ++of(session, fault).reported;
            const bool was_put_in =
                same != truth.end() && !one.judgement.extra && same->step == one.judgement.step &&
                std::find(same->faults.begin(), same->faults.end(), fault) != same->faults.end();
            of(session, fault).found += was_put_in && !met.contains(&*same) ? 1 : 0;
        }
        if (same != truth.end()) {
            met.insert(&*same);
        }
    }
    for (const Truth& played : truth) {
        if (played.played) {
            ++session.notes;
            for (const drill::Fault fault : played.faults) {
                ++of(session, fault).put_in;
            }
        }
    }
}

/// Steps left out have no time: they are counted step by step in each block.
void compare_missed(StudiedSession& session,
                    const std::vector<Truth>& truth,
                    const std::vector<Reported>& reported) {
    std::map<std::pair<std::uint32_t, std::uint32_t>, std::pair<int, int>> counts;
    for (const Truth& one : truth) {
        counts[{one.block, one.step}].first += one.played ? 0 : 1;
    }
    for (const Reported& one : reported) {
        counts[{one.block, one.judgement.step}].second += one.judgement.played ? 0 : 1;
    }
    FaultTally& tally = of(session, drill::Fault::missed);
    for (const auto& [step, count] : counts) {
        tally.put_in += count.first;
        tally.reported += count.second;
        tally.found += std::min(count.first, count.second);
    }
}

void take_reports(Run& running, std::vector<Reported>& reported) {
    run::Record record;
    while (running.next(record)) {
        if (const auto* step = std::get_if<run::StepRecord>(&record)) {
            reported.push_back({step->block, step->step.judgement});
        }
    }
}

} // namespace

FaultTally& FaultTally::operator+=(const FaultTally& other) {
    put_in += other.put_in;
    found += other.found;
    reported += other.reported;
    return *this;
}

StudiedSession study(Run running, const PlayerScript& script, Hearing hearing, std::uint64_t seed) {
    StudiedSession session;
    std::vector<Truth> truth;
    std::vector<Reported> reported;
    Room room(running, hearing);
    std::uint32_t go = 0;
    std::uint64_t performances = 0;
    bool repeated = false;
    while (running.state().stage != Stage::finished && room.now_s() < kLongest_s) {
        const run::State& state = running.state();
        const bool again = state.stage == Stage::playing && state.where.repeating_missed;
        if (state.stage == Stage::ready || (again && !repeated)) {
            repeated = again;
            PlayerScript player = script;
            player.tuning = running.tuning();
            player.seed = seed * 1000 + performances++;
            const drill::Exercise exercise = asked_exercise(state);
            player.passes = exercise.repetitions;
            const std::vector<drill::Asked> asked = *state.asked;
            std::erase_if(player.weaknesses, [&exercise](const Weakness& weakness) {
                return !can_be_judged(weakness.fault, exercise);
            });
            const Performance performance = perform(exercise, player);
            remember(truth, performance, asked, go, room.now_s());
            room.play(performance, player.seed);
        } else {
            room.wait(state.stage == Stage::rest ? 1.0 : kSilence_s);
        }
        take_reports(running, reported);
        if (running.state().summaries.size() > go) {
            go = static_cast<std::uint32_t>(running.state().summaries.size());
            repeated = false;
        }
    }
    session.finished = running.state().stage == Stage::finished;
    running.finish();
    take_reports(running, reported);
    session.blocks_finished = static_cast<int>(running.state().summaries.size());
    session.sound_s = room.now_s();
    compare_played(session, truth, reported);
    compare_missed(session, truth, reported);
    for (const FaultTally& tally : session.by_fault) {
        session.all += tally;
    }
    return session;
}

skill::Skills some_weeks(const horn::Crook& crook, std::int64_t now_s, std::uint64_t seed) {
    skill::Skills skills;
    for (int number = 60; number <= 79; ++number) {
        skill::Item item;
        item.transposition = crook.transposition;
        item.number = number;
        item.hand = horn::chart_entry(horn::usual_spelling(number))->usual().hand;
        skill::Skill& skill = skills[item];
        skill.item = item;
        const auto weakness =
            (seed * 2654435761U + static_cast<std::uint64_t>(number) * 40503U) % 5;
        for (std::uint64_t i = 0; i < 10; ++i) {
            skill::practise(skill, i % 5 >= weakness, std::nullopt, now_s - 86400);
        }
    }
    return skills;
}

std::vector<Weakness> chosen_weaknesses(const std::vector<skill::PlannedBlock>& blocks,
                                        std::uint64_t seed) {
    audio::exact::Random random(seed);
    const auto below = [&random](std::size_t count) {
        return std::min(static_cast<std::size_t>(random.uniform() * static_cast<double>(count)),
                        count - 1);
    };
    std::vector<int> numbers;
    bool tempo = false;
    for (const skill::PlannedBlock& block : blocks) {
        tempo = tempo || block.exercise.quarters_per_minute > 0.0;
        for (const drill::Step& step : block.exercise.steps) {
            if (step.written && step.hairpin == drill::Hairpin::none &&
                std::find(numbers.begin(), numbers.end(), step.written->number) == numbers.end()) {
                numbers.push_back(step.written->number);
            }
        }
    }
    using drill::Fault;
    std::vector<Fault> kinds = {Fault::flat,
                                Fault::sharp,
                                Fault::attack_flat,
                                Fault::unsteady,
                                Fault::wrong_partial,
                                Fault::missed};
    if (tempo) {
        kinds.insert(kinds.end(), {Fault::late, Fault::too_short});
    }
    std::vector<Weakness> weaknesses;
    const std::size_t count = 2 + below(3);
    while (weaknesses.size() < count && !numbers.empty() && !kinds.empty()) {
        Weakness weakness;
        const std::size_t kind = below(kinds.size());
        const std::size_t number = below(numbers.size());
        weakness.fault = kinds[kind];
        weakness.written = numbers[number];
        weakness.share = weakness.fault == Fault::missed ? 0.15 : 0.4;
        kinds.erase(kinds.begin() + static_cast<std::ptrdiff_t>(kind));
        numbers.erase(numbers.begin() + static_cast<std::ptrdiff_t>(number));
        weaknesses.push_back(weakness);
    }
    return weaknesses;
}

} // namespace bellhand::test
