#include "core/files.h"
#include "core/platform.h"
#include "homework/played.h"
#include "homework/student.h"
#include "logbook/logbook.h"

#include <algorithm>

namespace bellhand::homework {

namespace {

StepResult result_of(const logbook::JudgedStep& judged, double block_start_s) {
    const drill::Judgement& judgement = judged.judgement;
    StepResult result;
    result.step = judgement.step;
    result.pass = judgement.pass;
    result.asked = judged.asked;
    result.hand = judged.asked_hand;
    result.played = judgement.played;
    result.extra = judgement.extra;
    result.heard = judgement.played ? judgement.note.written : judged.asked;
    if (judgement.played) {
        result.start_s = judgement.note.start_s - block_start_s;
        result.duration_s = judgement.note.duration_s;
        result.held_cents = std::clamp(judgement.held_cents, -2400.0, 2400.0);
        result.known_within_cents =
            judgement.note.pitch_known() ? 0.0 : std::min(judgement.note.known_within_cents, 500.0);
        result.attack_cents = std::clamp(judgement.attack_cents, -2400.0, 2400.0);
    }
    result.tolerance_cents = judgement.tolerance_cents;
    result.timing_s = judgement.timing_s;
    result.level_db = judgement.level_db;
    result.faults = judgement.faults;
    return result;
}

} // namespace

Result<Package> returned(const std::string& id,
                         const ReturnWishes& wishes,
                         const std::filesystem::path& takes_folder,
                         logbook::Logbook& book) {
    const auto record = known_record(id, book);
    if (!record) {
        return tl::unexpected(record.error());
    }
    auto homework = from_log(id, book);
    const auto& read = homework;
    const auto played = blocks_of(*record, book);
    const auto all_takes = book.all_takes();
    for (const Error* error : {read ? nullptr : &read.error(),
                               played ? nullptr : &played.error(),
                               all_takes ? nullptr : &all_takes.error()}) {
        if (error != nullptr) {
            return tl::unexpected(*error);
        }
    }
    if (played->empty()) {
        return usage_error("Nothing of \"" + record->title +
                           "\" was played yet: `bellhand today` asks for it.");
    }
    const auto done = done_in(*homework, *played, book);
    if (!done) {
        return tl::unexpected(done.error());
    }
    Return back;
    back.returned_at = wishes.returned_at;
    back.words = wishes.words;
    back.profile = wishes.profile;
    std::vector<Played> sent; // one for each attempt
    const std::size_t skip = played->size() > kMostAttempts ? played->size() - kMostAttempts : 0;
    for (std::size_t i = skip; i < played->size(); ++i) {
        const Played& each = (*played)[i];
        if (each.block.homework_part < 0 ||
            static_cast<std::size_t>(each.block.homework_part) >= homework->tasks.size()) {
            continue;
        }
        const auto steps = book.steps(each.session.id);
        if (!steps) {
            return tl::unexpected(steps.error());
        }
        Attempt attempt;
        attempt.task = static_cast<std::uint32_t>(each.block.homework_part);
        attempt.done_at = each.session.started_at;
        attempt.crook = each.block.crook;
        attempt.a4_hz = each.block.a4_hz;
        attempt.temperament = each.block.temperament;
        attempt.duration_s = each.block.duration_s;
        attempt.finished = each.block.finished;
        attempt.passes = (*done)[i].passes;
        for (const logbook::JudgedStep& step : *steps) {
            if (step.block == each.block.id && attempt.steps.size() < kMostSteps) {
                attempt.steps.push_back(result_of(step, each.block.start_s));
            }
        }
        back.attempts.push_back(std::move(attempt));
        sent.push_back(each);
    }
    homework->returned = std::move(back);
    Package package(std::move(*homework));
    for (const std::int64_t take_id :
         wishes.takes ? *wishes.takes : usual_choice(*all_takes, *played)) {
        const auto take = std::find_if(all_takes->begin(), all_takes->end(), [&](const auto& each) {
            return each.id == take_id;
        });
        if (take == all_takes->end()) {
            return usage_error("There is no take " + std::to_string(take_id) +
                               " in the log: `bellhand log takes` lists what there is.");
        }
        auto flac = read_small_file(takes_folder / platform::path_of(take->file).filename(),
                                    kLargestTake_bytes);
        if (!flac) {
            return tl::unexpected(flac.error());
        }
        Take entry;
        entry.duration_s = take->duration_s;
        entry.why = take->why;
        entry.log_file = take->file;
        for (std::size_t i = 0; i < sent.size(); ++i) {
            if (shows(*take, sent[i])) {
                entry.attempt = static_cast<std::uint32_t>(i);
                entry.starts_s = take->start_s - sent[i].block.start_s;
            }
        }
        if (auto added = package.add_take(entry, std::move(*flac)); !added) {
            return tl::unexpected(added.error());
        }
    }
    return package;
}

Result<void>
mark_returned(const std::string& id, const std::string& returned_at, logbook::Logbook& book) {
    auto record = known_record(id, book);
    if (!record) {
        return tl::unexpected(record.error());
    }
    record->returned_at = returned_at;
    return book.put_homework(*record);
}

} // namespace bellhand::homework
