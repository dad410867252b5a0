#pragma once

#include "run/run.h"
#include "words/horn.h"

#include <deque>
#include <map>
#include <utility>

namespace bellhand::run {

/// The works of a run: `block.cpp` leads through a block, `keys.cpp` obeys the player.
struct Run::Inside {
    Inside(std::vector<skill::PlannedBlock> planned, skill::Skills known, Options wished)
        : blocks(std::move(planned)), skills(std::move(known)), options(std::move(wished)) {
        state.blocks = blocks.size();
        tuning = options.tuning;
        record.number = options.first_block;
    }

    std::vector<skill::PlannedBlock> blocks;
    skill::Skills skills;
    Options options;
    State state;
    horn::Tuning tuning;
    audio::ReferenceSound sound;
    std::deque<Record> records;
    std::deque<TakeWish> takes;

    std::optional<drill::Runner> runner;
    double now_s = 0.0;
    double listen_from_s = 0.0; ///< what began before does not belong to the block
    Stage before_pause = Stage::ready;

    // of the block that is played
    logbook::BlockRecord record;
    double played_s = 0.0;
    double saved_at_s = 0.0;
    std::uint32_t pass = 0;
    std::uint32_t steps = 0;
    std::vector<drill::Judgement> judgements;
    /// Of a stretch of a part that goes round: how far its times through were looked at, and how good the best was.
    struct Best {
        std::uint32_t passes = 0;
        int good = 0;
    };
    Best best;
    double behind_click_s = 0.0;  ///< as it was last told; the player may answer
    std::deque<Feedback> waiting; ///< judged, not yet shown

    words::HornWatch horn;
    bool horn_doubted = false; ///< by the last note that told of it
    /// Skills as they were before notes that came before the horn was proven: taken back when it is doubted.
    std::map<skill::Item, skill::Skill> before_proof;

    [[nodiscard]] const skill::PlannedBlock& block() const { return blocks[state.block]; }

    [[nodiscard]] Result<drill::Runner> runner_for(const skill::PlannedBlock& planned) const;
    void set_up_block();
    /// What the program itself sounds while this block is played.
    void set_sound();
    void silence();
    [[nodiscard]] bool listening() const;
    void begin_block();
    void save_block();
    void end_take();
    /// Wishes for the sound of a time through that was better than all before.
    void keep_best();
    /// After every call of the runner.
    void look();
    [[nodiscard]] double left_s() const;
    /// A block whose time is over ends where it disturbs least: when a repetition does, or in a silence.
    [[nodiscard]] bool time_is_up();
    [[nodiscard]] bool nearly_done() const;
    void take_judgements(bool missed_too);
    [[nodiscard]] horn::Crook crook_of(const drill::Judgement& judgement) const;
    void keep(const drill::Judgement& judgement);
    void tell(const drill::Remark& remark);
    /// What was played is what was asked, mostly: that speaks for the horn, whatever the notes look like to one who does
    /// not know the exercise.
    [[nodiscard]] bool as_asked() const;
    /// Skills that this judgement changes: what was learnt, nothing while the horn is in doubt.
    [[nodiscard]] std::vector<logbook::SkillRow>
    learn(const drill::Judgement& judgement, const horn::Crook& crook, std::int64_t unix_s);
    /// The runner is one note behind already; what is to stay further behind waits here, until the player rests.
    void show_feedback();
    /// `whole`: what was asked was done, or its time was up; else it was broken off.
    void end_block(bool whole);
    void leave_rest(std::size_t to);
    void restart(std::size_t at);
    void advance(double time_s);
    void advance_block(double passed_s);
    void press(Key key);
    void press_next();
    void press_back();
    void press_repeat();
    void press_pause();
    void press_keep();
    void press_headphones();
    void look_at_plan();
    void finish();
};

} // namespace bellhand::run
