#include "homework/played.h"

#include "logbook/logbook.h"

#include <algorithm>
#include <map>

namespace bellhand::homework {

namespace {

/// Steps of one block, as counting sees them.
std::vector<CountedStep> counted_steps(const std::vector<logbook::JudgedStep>& steps,
                                       std::int64_t block) {
    std::vector<CountedStep> counted;
    for (const logbook::JudgedStep& step : steps) {
        const drill::Judgement& judged = step.judgement;
        if (step.block == block) {
            counted.push_back({judged.part,
                               judged.pass,
                               judged.step,
                               (judged.played || judged.undecided()) && !judged.extra});
        }
    }
    return counted;
}

} // namespace

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

Result<std::vector<BlockDone>>
done_in(const Homework& homework, const std::vector<Played>& played, logbook::Logbook& book) {
    std::vector<BlockDone> done;
    std::vector<logbook::JudgedStep> steps;
    std::int64_t steps_of = 0;
    for (const Played& each : played) {
        BlockDone& block = done.emplace_back();
        block.finished = each.block.finished;
        block.duration_s = each.block.duration_s;
        const auto task = static_cast<std::size_t>(each.block.homework_part);
        if (each.block.homework_part < 0 || task >= homework.tasks.size()) {
            continue;
        }
        if (steps_of != each.session.id) {
            auto read = book.steps(each.session.id);
            if (!read) {
                return tl::unexpected(read.error());
            }
            steps = std::move(*read);
            steps_of = each.session.id;
        }
        block.passes =
            complete_passes(exercise_of(homework.tasks[task]), counted_steps(steps, each.block.id));
    }
    return done;
}

bool shows(const logbook::TakeRecord& take, const Played& played) {
    return take.session == played.session.id && take.block == played.block.number;
}

std::vector<std::int64_t> usual_choice(const std::vector<logbook::TakeRecord>& takes,
                                       const std::vector<Played>& played) {
    std::map<int, std::int64_t> newest; // by task
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
    for (const auto& [task, id] : newest) {
        if (std::find(chosen.begin(), chosen.end(), id) == chosen.end()) {
            chosen.push_back(id);
        }
    }
    if (chosen.size() > kMostTakes) {
        chosen.erase(chosen.begin(), chosen.end() - static_cast<std::ptrdiff_t>(kMostTakes));
    }
    return chosen;
}

} // namespace bellhand::homework
