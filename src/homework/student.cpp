#include "homework/student.h"

#include "core/calendar.h"
#include "core/files.h"
#include "logbook/logbook.h"

#include <algorithm>
#include <cstdio>
#include <map>

namespace bellhand::homework {

namespace {

/// A name for contents (FNV-1a, Fowler, Noll and Vo); tells versions of a file apart, and no more than that.
std::string hash_of(std::string_view text) {
    std::uint64_t hash = 14695981039346656037ULL;
    for (const char c : text) {
        hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
    }
    char digits[20];
    std::snprintf(digits, sizeof digits, "%016llx", static_cast<unsigned long long>(hash));
    return digits;
}

/// What was asked, without what came back.
Homework as_given(Homework homework) {
    homework.returned.reset();
    homework.comments.clear();
    return homework;
}

Result<std::optional<logbook::HomeworkRecord>> record_of(const std::string& id,
                                                         logbook::Logbook& book) {
    auto records = book.homework();
    if (!records) {
        return tl::unexpected(records.error());
    }
    for (logbook::HomeworkRecord& record : *records) {
        if (record.id == id) {
            return std::optional(std::move(record));
        }
    }
    return std::optional<logbook::HomeworkRecord>();
}

Result<logbook::HomeworkRecord> known_record(const std::string& id, logbook::Logbook& book) {
    auto record = record_of(id, book);
    if (!record) {
        return tl::unexpected(record.error());
    }
    if (!*record) {
        return usage_error("There is no homework \"" + id +
                           "\" in the log: open its file first with `bellhand homework open`.");
    }
    return std::move(**record);
}

/// Comments go to the take they are about, once.
Result<std::size_t> take_in_comments(const Homework& homework, logbook::Logbook& book) {
    std::size_t added = 0;
    if (!homework.returned || homework.comments.empty()) {
        return added;
    }
    const auto takes = book.all_takes();
    if (!takes) {
        return tl::unexpected(takes.error());
    }
    for (const Comment& comment : homework.comments) {
        if (comment.who != Who::teacher || !comment.take) {
            continue;
        }
        const std::string& file = homework.returned->takes[*comment.take].log_file;
        const auto take = std::find_if(
            takes->begin(), takes->end(), [&](const auto& each) { return each.file == file; });
        if (take == takes->end()) {
            continue; // removed meanwhile: the file still shows the words
        }
        const auto there = book.comments(take->session);
        if (!there) {
            return tl::unexpected(there.error());
        }
        if (std::any_of(there->begin(), there->end(), [&](const auto& old) {
                return old.take == take->id && old.text == comment.text &&
                       old.who == logbook::Who::teacher;
            })) {
            continue;
        }
        logbook::CommentRecord record;
        record.session = take->session;
        record.take = take->id;
        record.who = logbook::Who::teacher;
        record.at_s = comment.at_s;
        record.text = comment.text;
        record.written_at = comment.written_at;
        if (const auto put = book.add_comment(record); !put) {
            return tl::unexpected(put.error());
        }
        ++added;
    }
    return added;
}

struct Played {
    logbook::SessionRecord session;
    logbook::BlockRecord block;
};

/// Blocks of a homework, oldest first.
Result<std::vector<Played>> blocks_of(const logbook::HomeworkRecord& record,
                                      logbook::Logbook& book) {
    const auto sessions = book.sessions();
    if (!sessions) {
        return tl::unexpected(sessions.error());
    }
    std::vector<Played> played;
    for (auto session = sessions->rbegin(); session != sessions->rend(); ++session) {
        if (session->started_at.substr(0, 10) < record.received_at.substr(0, 10)) {
            continue;
        }
        const auto blocks = book.blocks(session->id);
        if (!blocks) {
            return tl::unexpected(blocks.error());
        }
        for (const logbook::BlockRecord& block : *blocks) {
            if (block.homework == record.id) {
                played.push_back({*session, block});
            }
        }
    }
    return played;
}

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
        result.attack_cents = std::clamp(judgement.attack_cents, -2400.0, 2400.0);
    }
    result.tolerance_cents = judgement.tolerance_cents;
    result.timing_s = judgement.timing_s;
    result.level_db = judgement.level_db;
    result.faults = judgement.faults;
    return result;
}

bool shows(const logbook::TakeRecord& take, const Played& played) {
    return take.session == played.session.id && take.block == played.block.number;
}

/// Ids of the takes to send, in the order of the attempts.
std::vector<std::int64_t> usual_choice(const std::vector<logbook::TakeRecord>& takes,
                                       const std::vector<Played>& played) {
    std::map<int, std::int64_t> newest; // by part
    std::vector<std::int64_t> chosen;
    for (const Played& each : played) {
        for (const logbook::TakeRecord& take : takes) {
            if (shows(take, each)) {
                newest[each.block.homework_part] = take.id;
                if (take.kept) {
                    chosen.push_back(take.id);
                }
            }
        }
    }
    for (const auto& [part, id] : newest) {
        if (std::find(chosen.begin(), chosen.end(), id) == chosen.end()) {
            chosen.push_back(id);
        }
    }
    if (chosen.size() > kMostTakes) {
        chosen.erase(chosen.begin(), chosen.end() - static_cast<std::ptrdiff_t>(kMostTakes));
    }
    return chosen;
}

} // namespace

Result<Taken>
take_in(const Package& package, const std::string& opened_at, logbook::Logbook& book) {
    const Homework& homework = package.homework();
    const std::string content = homework_text(as_given(homework));
    const std::string hash = hash_of(content);
    const auto before = record_of(homework.id, book);
    if (!before) {
        return tl::unexpected(before.error());
    }
    Taken taken;
    taken.known = before->has_value();
    if (*before && (*before)->file_hash != hash) {
        return usage_error("Another homework with the id \"" + homework.id +
                           "\" is in the log already (\"" + (*before)->title +
                           "\"): ask the teacher to give this one an id of its own.");
    }
    if (!*before) {
        logbook::HomeworkRecord record;
        record.id = homework.id;
        record.title = homework.title;
        record.file_hash = hash;
        record.received_at = opened_at;
        record.due_on = homework.due_on;
        record.content = content;
        if (auto put = book.put_homework(record); !put) {
            return tl::unexpected(put.error());
        }
    }
    const auto comments = take_in_comments(homework, book);
    if (!comments) {
        return tl::unexpected(comments.error());
    }
    taken.comments = *comments;
    return taken;
}

Result<Homework> from_log(const std::string& id, logbook::Logbook& book) {
    const auto record = known_record(id, book);
    if (!record) {
        return tl::unexpected(record.error());
    }
    return parse_homework(record->content, "The log's homework \"" + id + "\"");
}

Result<std::vector<Given>> given(logbook::Logbook& book) {
    const auto records = book.homework();
    if (!records) {
        return tl::unexpected(records.error());
    }
    std::vector<Given> all;
    for (const logbook::HomeworkRecord& record : *records) {
        auto homework = parse_homework(record.content, "The log's homework \"" + record.id + "\"");
        if (!homework) {
            return tl::unexpected(homework.error());
        }
        const auto played = blocks_of(record, book);
        if (!played) {
            return tl::unexpected(played.error());
        }
        Given one{std::move(*homework), record.received_at, record.returned_at, {}};
        one.done.resize(one.homework.parts.size());
        for (const Played& each : *played) {
            const int part = each.block.homework_part;
            if (each.block.finished && part >= 0 && part < static_cast<int>(one.done.size())) {
                ++one.done[static_cast<std::size_t>(part)];
            }
        }
        all.push_back(std::move(one));
    }
    return all;
}

Result<std::vector<WorkTake>> work_takes(const std::string& id, logbook::Logbook& book) {
    const auto record = known_record(id, book);
    if (!record) {
        return tl::unexpected(record.error());
    }
    const auto played = blocks_of(*record, book);
    if (!played) {
        return tl::unexpected(played.error());
    }
    const auto takes = book.all_takes();
    if (!takes) {
        return tl::unexpected(takes.error());
    }
    const std::vector<std::int64_t> usual = usual_choice(*takes, *played);
    std::vector<WorkTake> shown;
    for (const Played& each : *played) {
        for (const logbook::TakeRecord& take : *takes) {
            if (shows(take, each)) {
                shown.push_back({take,
                                 each.block.homework_part,
                                 std::find(usual.begin(), usual.end(), take.id) != usual.end()});
            }
        }
    }
    return shown;
}

std::vector<skill::SetWork> still_to_do(const std::string& today, const Given& given) {
    std::vector<skill::SetWork> works;
    if (!given.returned_at.empty()) {
        return works;
    }
    const Homework& homework = given.homework;
    for (std::size_t i = 0; i < homework.parts.size(); ++i) {
        const Part& part = homework.parts[i];
        const int left = part.times - given.done[i];
        if (left <= 0) {
            continue;
        }
        skill::SetWork work;
        work.homework = homework.id;
        work.part = static_cast<int>(i);
        work.exercise = exercise_of(part);
        work.crook = part.crook;
        const horn::Tuning tuning = tuning_of(homework, part, {});
        work.a4_hz = tuning.a4_hz;
        work.temperament = tuning.temperament;
        work.tolerance_factor = part.tolerance_factor;
        work.repetitions = part.repetitions;
        work.times_left = left;
        work.due_on = homework.due_on;
        const auto due = calendar::day_in(homework.due_on);
        const auto now = calendar::day_in(today);
        if (due && now) {
            work.days_left = static_cast<double>(*due - *now);
        }
        works.push_back(std::move(work));
    }
    return works;
}

Result<std::vector<skill::SetWork>> still_to_do(const std::string& today, logbook::Logbook& book) {
    const auto all = given(book);
    if (!all) {
        return tl::unexpected(all.error());
    }
    std::vector<skill::SetWork> works;
    for (const Given& one : *all) {
        for (skill::SetWork& work : still_to_do(today, one)) {
            works.push_back(std::move(work));
        }
    }
    return works;
}

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
    Return back;
    back.returned_at = wishes.returned_at;
    back.words = wishes.words;
    back.profile = wishes.profile;
    std::vector<Played> sent; // one for each attempt
    const std::size_t skip = played->size() > kMostAttempts ? played->size() - kMostAttempts : 0;
    for (std::size_t i = skip; i < played->size(); ++i) {
        const Played& each = (*played)[i];
        if (each.block.homework_part < 0 ||
            static_cast<std::size_t>(each.block.homework_part) >= homework->parts.size()) {
            continue;
        }
        const auto steps = book.steps(each.session.id);
        if (!steps) {
            return tl::unexpected(steps.error());
        }
        Attempt attempt;
        attempt.part = static_cast<std::uint32_t>(each.block.homework_part);
        attempt.done_at = each.session.started_at;
        attempt.crook = each.block.crook;
        attempt.a4_hz = each.block.a4_hz;
        attempt.temperament = each.block.temperament;
        attempt.duration_s = each.block.duration_s;
        attempt.finished = each.block.finished;
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
        auto flac = read_small_file(takes_folder / std::filesystem::path(take->file).filename(),
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
