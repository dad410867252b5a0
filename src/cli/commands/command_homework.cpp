#include "cli/answer.h"
#include "cli/homework_commands.h"
#include "core/files.h"
#include "core/platform.h"
#include "homework/counting.h"
#include "homework/teacher.h"
#include "words/verdict.h"

#include <cstdio>
#include <optional>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

struct ShowOptions {
    std::string file;
    std::optional<int> extract;
    std::optional<std::string> out;
    TableFormat format = TableFormat::table;
};

std::string at_time(double seconds) {
    const int whole = static_cast<int>(seconds);
    return fmt::format("{}:{:04.1f}", whole / 60, seconds - 60.0 * (whole / 60));
}

const std::vector<Column>& wrong_columns() {
    static const std::vector<Column> columns{{"part", true},
                                             {"attempt", true},
                                             {"step", true},
                                             {"asked"},
                                             {"hand"},
                                             {"heard"},
                                             {"cents", true},
                                             {"faults"},
                                             {"take", true},
                                             {"at_s", true}};
    return columns;
}

std::vector<std::string> wrong_row(const homework::Wrong& wrong) {
    std::string faults;
    for (const drill::Fault fault : wrong.step.faults) {
        faults += (faults.empty() ? "" : ", ") + std::string(words::fault_kind(fault));
    }
    if (wrong.step.extra) {
        faults += faults.empty() ? "a note too many" : ", a note too many";
    }
    return {std::to_string(wrong.task + 1),
            std::to_string(wrong.attempt + 1),
            std::to_string(wrong.step.step + 1),
            horn::ascii_name(wrong.step.asked),
            horn::hand_id(wrong.step.hand),
            wrong.step.played ? horn::ascii_name(wrong.step.heard) : "",
            wrong.step.played ? fmt::format("{:.1f}", wrong.step.held_cents) : "",
            faults,
            wrong.take ? std::to_string(*wrong.take + 1) : "",
            wrong.take ? fmt::format("{:.1f}", wrong.in_take_s) : ""};
}

Result<int> show(const ShowOptions& options) {
    const auto package = homework::Package::load(platform::path_of(options.file));
    if (!package) {
        return tl::unexpected(package.error());
    }
    if (options.extract) {
        if (!options.out) {
            return usage_error("Say with --out where to write the take.");
        }
        const auto flac = package->sound(static_cast<std::size_t>(*options.extract - 1));
        if (!flac) {
            return tl::unexpected(flac.error());
        }
        if (auto saved = write_file_in_one_step(platform::path_of(*options.out), *flac); !saved) {
            return tl::unexpected(saved.error());
        }
        return 0;
    }
    std::vector<std::vector<std::string>> rows;
    for (const homework::Wrong& wrong : homework::what_went_wrong(package->homework())) {
        rows.push_back(wrong_row(wrong));
    }
    if (options.format == TableFormat::table) {
        print_homework(package->homework());
        if (rows.empty()) {
            return 0;
        }
        std::puts("\nWhat went wrong, and where to listen:");
    }
    Question question;
    question.more = {{"file", options.file}, {"homework", package->homework().id}};
    std::fputs(
        answer_table("homework-wrong", question, wrong_columns(), rows, options.format).c_str(),
        stdout);
    return 0;
}

/// Paragraphs whose further lines stand under the first.
std::string indented(const std::string& paragraphs, const char* margin) {
    std::string out;
    for (const char c : paragraphs) {
        const bool begins = !out.empty() && out.back() == '\n' && c != '\n';
        out += begins ? margin : "";
        out += c;
    }
    return out;
}

void print_task(const homework::Task& task, std::size_t number) {
    std::string how;
    if (const auto bars = homework::bars_of(task)) {
        how += bars->first == bars->second
                   ? fmt::format(", bar {}", bars->first)
                   : fmt::format(", bars {} to {}", bars->first, bars->second);
    } else if (task.first_step || task.last_step) {
        how += fmt::format(", steps {} to {}",
                           task.first_step.value_or(0) + 1,
                           task.last_step.value_or(static_cast<std::uint32_t>(
                               std::max<std::size_t>(task.exercise.steps.size(), 1) - 1)) +
                               1);
    }
    if (task.crook) {
        how += fmt::format(", crook {}", task.crook->label);
    }
    if (task.quarters_per_minute) {
        how += fmt::format(", {:g} quarters a minute", *task.quarters_per_minute);
    }
    if (task.repetitions) {
        how += fmt::format(", {} in a row", *task.repetitions);
    }
    how += ", " + homework::times_words(task);
    std::printf("%zu. %s%s\n", number, task.exercise.title.c_str(), how.c_str());
    if (!task.words.empty()) {
        std::printf("   %s\n", indented(task.words, "   ").c_str());
    }
}

void print_returned(const homework::Homework& homework) {
    const homework::Return& back = *homework.returned;
    std::printf("\nReturned %s\n", back.returned_at.c_str());
    if (!back.words.empty()) {
        std::printf("%s\n", back.words.c_str());
    }
    if (back.profile) {
        std::printf("Horn: %s\n", back.profile->name.c_str());
    }
    for (std::size_t i = 0; i < back.attempts.size(); ++i) {
        const homework::Attempt& attempt = back.attempts[i];
        const homework::AttemptFigures figures = homework::figures_of(attempt);
        std::printf("Attempt %zu: task %u, %s, crook %s, %s, %s\n",
                    i + 1,
                    attempt.task + 1,
                    attempt.done_at.c_str(),
                    attempt.crook.c_str(),
                    homework::attempt_words(homework.tasks[attempt.task], attempt).c_str(),
                    words::right_of(figures.good, figures.steps).c_str());
    }
    const std::vector<int> done = homework::times_done(homework);
    for (std::size_t task = 0; task < done.size(); ++task) {
        std::printf("Task %zu: %s\n",
                    task + 1,
                    homework::done_words(homework.tasks[task], done[task]).c_str());
    }
    for (std::size_t i = 0; i < back.takes.size(); ++i) {
        std::printf("Take %zu: %s, %s%s\n",
                    i + 1,
                    at_time(back.takes[i].duration_s).c_str(),
                    back.takes[i].why.c_str(),
                    back.takes[i].attempt
                        ? fmt::format(", attempt {}", *back.takes[i].attempt + 1).c_str()
                        : "");
    }
}

} // namespace

void print_homework(const homework::Homework& homework) {
    std::printf("%s (%s)\n", homework.title.c_str(), homework.id.c_str());
    if (!homework.teacher.empty() || !homework.student.empty()) {
        std::printf("From %s to %s\n",
                    homework.teacher.empty() ? "-" : homework.teacher.c_str(),
                    homework.student.empty() ? "-" : homework.student.c_str());
    }
    if (!homework.due_on.empty()) {
        std::printf("Due %s\n", homework.due_on.c_str());
    }
    std::fputs(
        fmt::format("A4 {:g} Hz, temperament {}\n", homework.a4_hz, homework.temperament).c_str(),
        stdout);
    if (!homework.words.empty()) {
        std::printf("%s\n", homework.words.c_str());
    }
    for (std::size_t i = 0; i < homework.tasks.size(); ++i) {
        print_task(homework.tasks[i], i + 1);
    }
    if (homework.returned) {
        print_returned(homework);
    }
    for (const homework::Comment& comment : homework.comments) {
        std::string place;
        if (comment.task) {
            place += fmt::format(", task {}", *comment.task + 1);
        }
        if (comment.take) {
            place += fmt::format(", take {} at {}", *comment.take + 1, at_time(comment.at_s));
        }
        if (comment.note) {
            place += ", " + horn::ascii_name(*comment.note);
        }
        std::printf("%s%s: %s\n",
                    comment.who == homework::Who::teacher ? "Teacher" : "Student",
                    place.c_str(),
                    indented(comment.text, "    ").c_str());
    }
}

void add_homework_show(const OptionSet& homework, const Further& further) {
    auto options = std::make_shared<ShowOptions>();
    const OptionSet command = homework.add_command(
        "show", "Show what was asked, what came back, what went wrong where; takes and comments");
    command.add_option("FILE", options->file, "The homework file").required();
    command.add_option("--extract-take", options->extract, "Write this take to a file")
        .type_name("N")
        .range(1, 24);
    command.add_option("--out", options->out, "That file, NAME.flac").type_name("FILE");
    add_format_option(command, options->format);
    command.when_chosen([=] { *further = [options] { return show(*options); }; });
}

void add_homework(CommandLine& line) {
    auto further = std::make_shared<HomeworkAction>();
    const OptionSet command =
        add_command(line, "homework", "Homework files between teacher and student", [further] {
            return *further ? (*further)()
                            : Result<int>(usage_error("Say what to do with homework: new, open, "
                                                      "return, show, comment or next."));
        });
    add_homework_new(command, further);
    add_homework_open(command, further);
    add_homework_return(command, further);
    add_homework_show(command, further);
    add_homework_comment(command, further);
    add_homework_next(command, further);
}

} // namespace bellhand::cli
