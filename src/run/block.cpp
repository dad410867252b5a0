#include "drill/judge.h"
#include "run/part_run.h"
#include "run/run_inside.h"
#include "run/skill_log.h"
#include "run/words.h"
#include "words/time.h"
#include "words/verdict.h"

#include <algorithm>
#include <cmath>

namespace bellhand::run {

namespace {

constexpr double kPauseToLeave_s = 1.0;     // silence in which a block whose time is up may end
constexpr double kOvertime = 1.2;           // of a block's time: then it ends wherever it is
constexpr double kGiveUpRepeating_s = 20.0; // of silence before a repetition that nobody plays
constexpr double kNearlyDone_s = 5.0; // of silence before the last notes of a block: it is over
constexpr std::size_t kLastNotes = 2;
constexpr double kBeforeTake_s = 1.0; // a take begins this long before its first note is known
constexpr double kShortestRest_s = 5.0;
constexpr double kSaveEvery_s = 2.0; // how far behind the log's length of a block may be
constexpr double kCue_s = 1.0;       // length of a sounded first note
constexpr double kCueRoom_s = 0.6;   // in which the room still answers it
constexpr std::size_t kSkillRowReserve = 2;
// Of the last notes, how many must be those that were asked for the horn not to be doubted (this program's choice).
constexpr std::size_t kLastJudged = 8;
constexpr std::size_t kLeastJudged = 4;
constexpr double kMostlyAsked = 0.75;

} // namespace

Result<drill::Runner> Run::Inside::runner_for(const skill::PlannedBlock& planned) const {
    drill::RunSettings settings;
    settings.tuning = skill::tuning_of(planned, options.tuning);
    settings.hand = options.hand;
    settings.tolerances = options.tolerances;
    settings.tolerances.pitch_factor *= planned.tolerance_factor;
    settings.notes_behind = std::min(1, options.feedback_behind);
    settings.click_delay_s = options.click_delay_s;
    settings.start_step = planned.start_step;
    drill::Exercise exercise = planned.exercise;
    if (is_part(exercise)) { // a part is played through: what is to be repeated, its player chooses
        settings.repeat_missed = 0;
    }
    if (!exercise.each_crook) {
        exercise.crooks = {planned.crook.transposition};
    }
    return drill::Runner::make(exercise, settings);
}

void Run::Inside::set_up_block() {
    state.stage = Stage::ready;
    auto made = runner_for(block());
    runner.emplace(std::move(*made)); // `make` has tried every block
    runner->advance(now_s);
    played_s = 0.0;
    steps = 0;
    judgements.clear();
    best = {};
    horn.forget();
    horn_doubted = false;
    before_proof.clear();
    waiting.clear();
    state.feedback.reset();
    state.told.clear();
    state.remarks.clear();
    behind_click_s = 0.0;
    state.marks.assign(block().exercise.steps.size(), std::nullopt);
    listen_from_s = now_s;
    set_sound();
    look();
}

void Run::Inside::set_sound() {
    const drill::Exercise& exercise = block().exercise;
    sound.beats_per_minute = options.metronome && one_tempo(exercise)
                                 ? exercise.quarters_per_minute / exercise.metre.click_quarters()
                                 : 0.0;
    sound.beats_in_bar = exercise.metre.clicks();
    sound.drone_hz.fill(0.0);
    const horn::Tuning on_crook = skill::tuning_of(block(), options.tuning);
    if (options.drone && exercise.measure == drill::Measure::chord && exercise.root) {
        sound.drone_hz[0] =
            drill::measured_hz(*exercise.root, on_crook, drill::Measure::chord, exercise.root);
    }
    if (options.reference && !runner->asked().empty()) {
        sound.note_hz = runner->asked().front().target_hz;
        sound.note_s = kCue_s;
        ++sound.note_request;
        listen_from_s = now_s + kCue_s + kCueRoom_s;
    }
}

void Run::Inside::silence() {
    sound.beats_per_minute = 0.0;
    sound.drone_hz.fill(0.0);
}

bool Run::Inside::listening() const {
    return state.stage == Stage::ready || state.stage == Stage::playing;
}

void Run::Inside::begin_block() {
    state.stage = Stage::playing;
    record.exercise = block().exercise.id;
    record.title = block().exercise.title;
    record.why = block().why;
    record.crook = tuning.crook.id;
    record.a4_hz = tuning.a4_hz;
    record.temperament = tuning.temperament.id;
    record.footing = logbook::footing_record(tuning);
    record.start_s = now_s;
    record.planned_s = block().play_s;
    record.duration_s = 0.0;
    record.planned_rest_s = block().rest_s;
    record.rest_s = 0.0;
    record.homework = block().homework;
    record.homework_part = block().homework_part;
    record.finished = false;
    save_block();
    if (!block().homework.empty()) {
        TakeWish wish;
        wish.from_s = std::max(0.0, now_s - kBeforeTake_s);
        wish.block = record.number;
        wish.why = "homework";
        takes.push_back(std::move(wish));
    }
}

void Run::Inside::end_take() {
    if (!block().homework.empty()) {
        TakeWish wish;
        wish.kind = TakeWish::Kind::end;
        wish.to_s = now_s;
        takes.push_back(std::move(wish));
    }
}

void Run::Inside::save_block() {
    record.duration_s = played_s;
    saved_at_s = now_s;
    records.emplace_back(record);
}

void Run::Inside::look() {
    state.where = runner->where();
    state.asked = &runner->asked();
    tuning = state.where.tuning;
    const drill::Phase phase = state.where.phase;
    if (state.stage == Stage::ready && phase != drill::Phase::waiting &&
        phase != drill::Phase::count_in) {
        begin_block();
    }
    take_judgements(true);
    keep_best();
    if (state.stage == Stage::playing && (phase == drill::Phase::finished || time_is_up())) {
        end_block(true);
    }
    state.now = state.stage == Stage::finished ? nullptr : &block();
    state.then = state.block + 1 < blocks.size() ? &blocks[state.block + 1] : nullptr;
    if (state.stage != Stage::rest) {
        state.block_left_s = std::max(0.0, block().play_s - played_s);
    }
    state.all_left_s = left_s();
    state.prompt = prompt_for(state, tuning);
    if (state.stage == Stage::playing && !horn.remark().text.empty() && !as_asked()) {
        state.prompt = horn.remark().text;
    }
}

double Run::Inside::left_s() const {
    if (state.stage == Stage::finished) {
        return 0.0;
    }
    double left = state.stage == Stage::rest ? state.rest_left_s : state.block_left_s;
    for (std::size_t i = state.block + 1; i < blocks.size(); ++i) {
        left += blocks[i].play_s;
        if (i > state.block + 1 || state.stage != Stage::rest) {
            left += blocks[i - 1].rest_s;
        }
    }
    return left;
}

bool Run::Inside::time_is_up() {
    const bool next_pass = state.where.pass != pass;
    pass = state.where.pass;
    if (state.where.repeating_missed && state.where.silent_s > kGiveUpRepeating_s) {
        return true;
    }
    // Between two repetitions: the player may have counted otherwise, and thinks that it is over.
    const bool at_beginning = state.where.next == state.asked->front().step;
    if (at_beginning && state.where.silent_s > kGiveUpRepeating_s) {
        return true;
    }
    if (nearly_done() && state.where.silent_s > kNearlyDone_s) {
        return true;
    }
    if (played_s < block().play_s) {
        return false;
    }
    if (is_part(block().exercise)) { // in a written rest nobody has stopped
        return state.where.phase == drill::Phase::stopped &&
               state.where.silent_s > kGiveUpRepeating_s;
    }
    if (block().whole_passes) { // the slow are let through; who stops for long has ended
        return state.where.silent_s > kGiveUpRepeating_s;
    }
    return next_pass || state.where.silent_s > kPauseToLeave_s ||
           played_s > kOvertime * block().play_s;
}

/// Only the very last notes of the last repetition are left: a player who stops here thinks that it is over.
bool Run::Inside::nearly_done() const {
    const std::vector<drill::Asked>& asked = *state.asked;
    const std::size_t last = asked.size() > kLastNotes ? asked.size() - kLastNotes : 1;
    return state.where.pass + 1 >= state.where.passes && last < asked.size() &&
           state.where.next >= asked[last].step;
}

void Run::Inside::take_judgements(bool missed_too) {
    drill::Judgement judgement;
    while (runner->next(judgement)) {
        if (state.stage != Stage::playing || (!judgement.played && !missed_too)) {
            continue;
        }
        keep(judgement);
    }
    for (drill::Remark remark; runner->next(remark);) {
        tell(remark);
    }
    show_feedback();
}

/// The crook it was played on; a tune on several crooks may have gone on to the next one meanwhile.
horn::Crook Run::Inside::crook_of(const drill::Judgement& judgement) const {
    const std::vector<int>& crooks = block().exercise.crooks;
    if (is_part(block().exercise)) {
        return drill::crook_of(block().exercise, judgement.step, block().crook);
    }
    if (!block().exercise.each_crook || judgement.part >= crooks.size()) {
        return block().crook;
    }
    return horn::all_crooks()[static_cast<std::size_t>(std::clamp(-crooks[judgement.part], 0, 16))];
}

void Run::Inside::keep(const drill::Judgement& judgement) {
    const drill::Exercise& exercise = block().exercise;
    if (judgement.step >= exercise.steps.size()) {
        return;
    }
    const auto unix_s = options.started_s + static_cast<std::int64_t>(std::lround(now_s));
    StepRecord out;
    out.block = record.number;
    out.step.number = steps++;
    out.step.judgement = judgement;
    const horn::Crook crook = crook_of(judgement);
    const auto asked = skill::item_of(exercise.steps[judgement.step], crook);
    out.step.asked = exercise.steps[judgement.step].written.value_or(horn::Note{});
    out.step.asked_hand = asked ? asked->hand : horn::Hand::open;
    out.skills = learn(judgement, crook, unix_s);
    records.emplace_back(std::move(out));
    judgements.push_back(judgement);

    Feedback feedback;
    feedback.judgement = judgement;
    feedback.text = judgement.note.heard.horn.doubted() && !as_asked()
                        ? "not judged while it is in doubt which horn sounds"
                        : words::verdict(judgement, exercise.steps[judgement.step]);
    waiting.push_back(std::move(feedback));
}

void Run::Inside::tell(const drill::Remark& remark) {
    std::string text = words::remark(remark);
    if (remark.kind == drill::Remark::Kind::behind_click && !remark.click_heard) {
        behind_click_s = remark.played;
        state.headphones_asked = true;
        text += " Y if it is the headphones.";
    }
    state.remarks.push_back(std::move(text));
}

bool Run::Inside::as_asked() const {
    std::size_t seen = 0;
    std::size_t asked = 0;
    for (auto judged = judgements.rbegin(); judged != judgements.rend() && seen < kLastJudged;
         ++judged) {
        if (judged->played) {
            ++seen;
            asked += judged->extra || drill::is_wrong(*judged) ? 0U : 1U;
        }
    }
    return seen >= kLeastJudged &&
           static_cast<double>(asked) >= kMostlyAsked * static_cast<double>(seen);
}

std::vector<logbook::SkillRow> Run::Inside::learn(const drill::Judgement& judgement,
                                                  const horn::Crook& crook,
                                                  std::int64_t unix_s) {
    const hand::HornFit& fit = judgement.note.heard.horn;
    std::vector<logbook::SkillRow> rows;
    rows.reserve(kSkillRowReserve);
    if ((judgement.played ? fit.doubted() : horn_doubted) && !as_asked()) {
        for (const auto& [item, skill] : before_proof) {
            skills[item] = skill;
            rows.push_back(row_of(skill));
        }
        before_proof.clear();
        return rows;
    }
    skill::Skills after = skills;
    for (const skill::Item& item :
         skill::learn(after, block().exercise, judgement, crook, unix_s)) {
        const auto was = skills.find(item);
        skill::Skill before; // never tried
        before.item = item;
        before_proof.try_emplace(item, was == skills.end() ? before : was->second);
        rows.push_back(row_of(after.at(item)));
    }
    skills = std::move(after);
    if (fit.verdict == hand::HornVerdict::fits) {
        before_proof.clear();
    }
    return rows;
}

void Run::Inside::show_feedback() {
    const bool resting =
        state.where.phase == drill::Phase::stopped || state.where.phase == drill::Phase::finished;
    const std::size_t behind =
        resting ? 0U : static_cast<std::size_t>(std::clamp(options.feedback_behind - 1, 0, 3));
    while (waiting.size() > behind) {
        Feedback feedback = std::move(waiting.front());
        waiting.pop_front();
        const drill::Judgement& judged = feedback.judgement;
        if (judged.step < state.marks.size() && !judged.extra) {
            state.marks[judged.step] = feedback;
        }
        state.told.push_back(feedback);
        state.feedback = std::move(feedback);
    }
}

void Run::Inside::end_block(bool whole) {
    const bool reached_end =
        state.where.phase == drill::Phase::finished || (whole && nearly_done());
    runner->finish();
    take_judgements(reached_end);
    keep_best();
    record.finished = whole;
    save_block();
    end_take();
    state.summaries.push_back(summary_of(block(), judgements, played_s));
    silence();
    if (state.block + 1 >= blocks.size()) {
        state.stage = Stage::finished;
        state.block_left_s = 0.0;
        ++record.number;
        return;
    }
    state.stage = Stage::rest;
    state.rest_left_s = std::max(kShortestRest_s, played_s);
    state.block_left_s = 0.0;
}

void Run::Inside::leave_rest(std::size_t to) {
    save_block(); // with the rest that was taken
    ++record.number;
    state.block = to;
    state.rest_left_s = 0.0;
    pass = 0;
    set_up_block();
}

void Run::Inside::advance(double time_s) {
    const double passed_s = std::max(0.0, time_s - now_s);
    now_s = std::max(now_s, time_s);
    switch (state.stage) {
    case Stage::ready:
    case Stage::playing:
        advance_block(passed_s);
        break;
    case Stage::rest:
        state.rested_s += passed_s;
        record.rest_s += passed_s;
        state.rest_left_s -= passed_s;
        if (state.rest_left_s <= 0.0) {
            leave_rest(state.block + 1);
        } else {
            state.all_left_s = left_s();
            state.prompt = prompt_for(state, tuning);
        }
        break;
    case Stage::paused:
    case Stage::finished:
        break;
    }
}

void Run::Inside::advance_block(double passed_s) {
    runner->advance(now_s);
    const drill::Phase phase = runner->where().phase;
    if (state.stage == Stage::playing && phase != drill::Phase::stopped &&
        phase != drill::Phase::new_crook) {
        played_s += passed_s;
        state.played_s += passed_s;
    }
    look();
    if (state.stage == Stage::playing && now_s - saved_at_s >= kSaveEvery_s) {
        save_block();
    }
}

} // namespace bellhand::run
