#include "desk/pages/balance_page.h"

#include "desk/pages.h"
#include "drill/generators.h"
#include "skill/focus.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace bellhand::desk {

namespace {

logbook::BalanceRecord record_of(const BalanceTone& tone, const horn::Crook& crook) {
    logbook::BalanceRecord record;
    record.number = tone.number;
    record.start_s = tone.start_s;
    record.duration_s = tone.duration_s;
    record.crook = crook.id;
    record.wobble_cents = tone.balance.wobble_cents;
    record.drift_cents_per_s = tone.balance.drift_cents_per_s;
    for (const hand::HandMove& move : tone.balance.moves) {
        ++record.moves;
        record.told += move.slow ? 1 : 0;
        if (move.jolted) {
            ++record.jolts;
            record.worst_cents = std::max(record.worst_cents, std::fabs(move.jolt_cents));
        }
    }
    return record;
}

} // namespace

void BalancePage::enter() {
    shown_ = true;
    look_back();
}

void BalancePage::leave() {
    shown_ = false;
}

void BalancePage::look_back() {
    const auto records = shelf_.balances();
    problem_ = records ? std::string() : records.error().message;
    if (records) {
        weeks_ = progress::balance_weeks(*records);
        session_.view().balance().set_quiet(progress::quiet_wobble(*records).value_or(0.0));
    }
}

void BalancePage::follow() {
    const run::Run* const run = session_.run();
    const bool exercise = run != nullptr && run->state().now != nullptr &&
                          run->state().now->exercise.family == drill::kBalanceFamily;
    session_.view().balance().listen(shown_ || exercise);
    if (session_number_ != session_.number()) {
        session_number_ = session_.number();
        kept_ = 0;
    }
    if (ear().tone() && ear().tones() > kept_) {
        kept_ = ear().tones();
        chosen_ = 0;
        keep();
    }
}

void BalancePage::keep() {
    const std::int64_t logged = session_.view().log().session;
    if (logged == 0) {
        return; // nothing is logged, and the foot says so
    }
    const auto kept =
        shelf_.keep_balance(logged, record_of(*ear().tone(), session_.tuning().crook));
    problem_ = kept ? std::string() : kept.error().message;
    if (kept && shown_) {
        look_back();
    }
}

int BalancePage::chosen() const noexcept {
    const auto count = ear().tone() ? static_cast<int>(ear().tone()->balance.moves.size()) : 0;
    return std::clamp(chosen_, 0, std::max(0, count - 1));
}

void BalancePage::begin_exercise() {
    skill::PlannedBlock block;
    block.exercise = drill::balance(session_.tuning().crook);
    block.crook = session_.tuning().crook;
    block.why = block.exercise.purpose;
    block.play_s = skill::length_s(block.exercise);
    block.rest_s = block.play_s;
    wishes_.run = RunWish{{std::move(block)}, std::nullopt, nullptr};
}

KeyTable BalancePage::keys() {
    KeyTable table{on(Key::enter, "play the exercise for it", [this] { begin_exercise(); })};
    if (ear().tone() && ear().tone()->balance.moves.size() > 1) {
        table.push_back(on_rows(static_cast<int>(ear().tone()->balance.moves.size()),
                                chosen(),
                                "another change",
                                [this](int move) { choose(move); }));
    }
    table.push_back(
        on(Key::escape, "last notes", [this] { wishes_.screen = Screen::hand; }).at(Foot::always));
    return table;
}

} // namespace bellhand::desk
