#pragma once

#include "desk/store/shelf.h"
#include "support/fake_homework_shelf.h"

#include <algorithm>
#include <map>

namespace bellhand::test {

/// Exercises, plans and a log in the hands of a test.
class FakeShelf : public desk::Shelf {
public:
    skill::DayPlan next_plan;
    std::string refuses; ///< not empty: every question is answered with this sentence
    double asked_minutes = 0.0;
    int plans = 0;

    std::vector<std::string> brought_back;
    std::vector<std::string> bring_back() override { return brought_back; }

    Result<skill::DayPlan> plan(const horn::Tuning& /*tuning*/, double minutes) override {
        asked_minutes = minutes;
        ++plans;
        if (!refuses.empty()) {
            return failure(refuses);
        }
        return next_plan;
    }
    Result<skill::Skills> skills() override { return skill::Skills{}; }
    Result<std::vector<drill::Exercise>> exercises() override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        return all;
    }

    drill::BarResults bars; ///< of every part
    Result<drill::BarResults> bars_of(const part::Part& /*part*/,
                                      const part::Plan& /*plan*/) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        return bars;
    }

    Result<std::vector<logbook::SessionRecord>> sessions() override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        return log;
    }
    Result<desk::SessionContents> session(std::int64_t id) override { return contents[id]; }
    Result<void> delete_session(std::int64_t id) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        const auto gone =
            std::find_if(log.begin(), log.end(), [id](const auto& s) { return s.id == id; });
        bin.push_back(*gone);
        log.erase(gone);
        return {};
    }
    Result<void> restore_session(std::int64_t id) override {
        const auto back =
            std::find_if(bin.begin(), bin.end(), [id](const auto& s) { return s.id == id; });
        log.push_back(*back);
        bin.erase(back);
        return {};
    }
    std::vector<logbook::BalanceRecord> kept_balances;
    Result<void> keep_balance(std::int64_t session,
                              const logbook::BalanceRecord& balance) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        kept_balances.push_back(balance);
        kept_balances.back().session = session;
        return {};
    }
    Result<std::vector<logbook::BalanceRecord>> balances() override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        return kept_balances;
    }
    Result<void> keep_take(const logbook::TakeRecord& take, bool kept) override {
        for (auto& each : contents[take.session].takes) {
            if (each.id == take.id) {
                each.kept = kept;
            }
        }
        return {};
    }
    Result<void> remove_take(std::int64_t id) override {
        removed_takes.push_back(id);
        return {};
    }
    Result<desk::TakesRoom> takes_room() override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        return room;
    }
    Result<std::string> set_takes_budget(std::int64_t bytes) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        room.budget_bytes = bytes;
        return std::string(room.used_bytes > bytes ? "The oldest will go." : "");
    }
    Result<void> add_comment(const logbook::CommentRecord& comment) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        contents[comment.session].comments.push_back(comment);
        return {};
    }
    Result<progress::Progress> look_back(progress::Range range) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        progress::Progress answer = past;
        answer.range = range;
        return answer;
    }
    Result<std::vector<progress::TrendPoint>> trend(progress::Range /*range*/,
                                                    const std::string& crook) override {
        asked_crook = crook;
        return past.trend;
    }
    Result<std::int64_t> keep_drill(const app::KeptDrill& drill) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        kept_drill = drill;
        return 77;
    }
    Result<std::filesystem::path> write_report(progress::Range range) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        return std::filesystem::path("/reports") / progress::range_id(range);
    }
    Result<void> listen(const logbook::TakeRecord& take, double from_s, double speed) override {
        heard_take = take.id;
        status = {true, from_s, speed, {}};
        return {};
    }
    Result<void> listen(const desk::HeardSound& sound, double from_s, double speed) override {
        heard_sound_s = static_cast<double>(sound.samples.size()) / sound.rate_hz;
        status = {true, from_s, speed, {}};
        return {};
    }
    void stop_listening() override { status = {}; }
    desk::ListeningStatus listening() override { return status; }
    desk::HomeworkShelf& homework() override { return work; }

    FakeHomeworkShelf work;
    app::KeptDrill kept_drill;

    std::vector<drill::Exercise> all;
    std::vector<logbook::SessionRecord> log;
    std::vector<logbook::SessionRecord> bin;
    std::map<std::int64_t, desk::SessionContents> contents;
    std::vector<std::int64_t> removed_takes;
    progress::Progress past;
    std::string asked_crook;
    desk::TakesRoom room{312'000'000, 2'000'000'000};
    std::int64_t heard_take = 0;
    double heard_sound_s = 0.0; ///< length of what was played last that is no take
    desk::ListeningStatus status;
};

/// An exercise of quarter notes.
inline drill::Exercise exercise_of(const char* title, std::initializer_list<const char*> notes) {
    drill::Exercise exercise;
    exercise.id = title;
    exercise.title = title;
    exercise.family = "test";
    for (const char* name : notes) {
        drill::Step step;
        step.written = horn::parse_note(name).value();
        exercise.steps.push_back(step);
    }
    return exercise;
}

inline skill::PlannedBlock block_of(const drill::Exercise& exercise, double play_s) {
    skill::PlannedBlock block;
    block.exercise = exercise;
    block.play_s = play_s;
    block.rest_s = play_s;
    block.why = "weak: invented for a test";
    return block;
}

} // namespace bellhand::test
