#include "homework/student.h"

#include "core/calendar.h"
#include "homework/played.h"
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
    // An older program wrote the same homework in other bytes: what it says decides.
    const auto same_as_known = [&] {
        const auto known = parse_homework((*before)->content, homework.id);
        return known && homework_text(as_given(*known)) == content;
    };
    if (*before && (*before)->file_hash != hash && !same_as_known()) {
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
        const auto blocks = done_in(one.homework, *played, book);
        if (!blocks) {
            return tl::unexpected(blocks.error());
        }
        for (std::size_t task = 0; task < one.homework.tasks.size(); ++task) {
            std::vector<BlockDone> of_task;
            for (std::size_t i = 0; i < played->size(); ++i) {
                if ((*played)[i].block.homework_part == static_cast<int>(task)) {
                    of_task.push_back((*blocks)[i]);
                }
            }
            one.done.push_back(times_done(one.homework.tasks[task], of_task));
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
    for (std::size_t i = 0; i < homework.tasks.size(); ++i) {
        const Task& task = homework.tasks[i];
        const int left = task.times - given.done[i];
        if (left <= 0) {
            continue;
        }
        skill::SetWork work;
        work.homework = homework.id;
        work.task = static_cast<int>(i);
        work.exercise = exercise_of(task);
        work.crook = task.crook;
        const horn::Tuning tuning = tuning_of(homework, task, {});
        work.a4_hz = tuning.a4_hz;
        work.temperament = tuning.temperament;
        work.footing = tuning.footing;
        work.tolerance_factor = task.tolerance_factor;
        work.repetitions = task.repetitions;
        work.once_through = task.time_is == TimeIs::once_through;
        if (task.time_is == TimeIs::minutes) {
            work.minutes = task.minutes;
        }
        work.times_left = left;
        work.progress = done_words(task, given.done[i]);
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

} // namespace bellhand::homework
