#include "cli/homework_commands.h"
#include "core/calendar.h"
#include "core/files.h"
#include "core/platform.h"
#include "drill/library.h"
#include "homework/teacher.h"
#include "logbook/logbook.h"

#include <charconv>
#include <cstdio>
#include <optional>
#include <vector>

namespace bellhand::cli {

namespace {

struct NewOptions {
    std::string out;
    std::optional<std::string> draft;
    std::vector<std::string> exercises;
    std::string title;
    std::string teacher;
    std::string student;
    std::string words;
    std::string due;
    TuningOptions tuning;
    std::optional<double> tempo;
    double tolerance = 1.0;
    std::optional<int> repetitions;
    int times = 1;
    std::optional<double> minutes;
};

/// "scale-open" or "scale-open:3-6", the latter with bars.
Result<homework::Task> task_of(const std::string& typed,
                               const NewOptions& options,
                               const std::optional<horn::Crook>& crook) {
    const std::size_t colon = typed.find(':');
    auto exercise = drill::find_exercise(typed.substr(0, colon), crook.value_or(horn::Crook{}), 1);
    if (!exercise) {
        return tl::unexpected(exercise.error());
    }
    homework::Task task;
    task.exercise = std::move(*exercise);
    task.crook = crook;
    task.quarters_per_minute = options.tempo;
    task.tolerance_factor = options.tolerance;
    task.repetitions = options.repetitions;
    task.times = options.times;
    if (options.minutes) {
        task.time_is = homework::TimeIs::minutes;
        task.minutes = *options.minutes;
    }
    if (colon == std::string::npos) {
        return task;
    }
    const std::string bars = typed.substr(colon + 1);
    const char* const end = bars.data() + bars.size();
    int first = 0;
    const auto read = std::from_chars(bars.data(), end, first);
    int last = first;
    bool good = read.ec == std::errc();
    if (good && read.ptr != end) {
        const auto second = std::from_chars(read.ptr + 1, end, last);
        good = *read.ptr == '-' && second.ec == std::errc() && second.ptr == end;
    }
    if (!good) {
        return usage_error("\"" + bars + "\" are not bars: write them as 3-6, or one as 3.");
    }
    const auto steps = homework::steps_of_bars(task.exercise, first, last);
    if (!steps) {
        return tl::unexpected(steps.error());
    }
    task.first_step = steps->first;
    task.last_step = steps->second;
    return task;
}

Result<int> write(homework::Homework homework, const std::string& out) {
    if (homework.id.empty() || homework.id == "draft") {
        homework.id = homework::make_id(homework);
    }
    if (const auto problems = homework::problems(homework); !problems.empty()) {
        return usage_error(problems.front());
    }
    const homework::Package package(std::move(homework));
    if (auto saved = package.save(platform::path_of(out)); !saved) {
        return tl::unexpected(saved.error());
    }
    std::printf("%s: homework %s, %zu %s\n",
                out.c_str(),
                package.homework().id.c_str(),
                package.homework().tasks.size(),
                package.homework().tasks.size() == 1 ? "task" : "tasks");
    return 0;
}

Result<void> put_in(const NewOptions& options, homework::Homework& homework) {
    const auto tuning = resolve_tuning(options.tuning);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    if (options.tuning.a4_hz) {
        homework.a4_hz = tuning->a4_hz;
    }
    if (options.tuning.temperament) {
        homework.temperament = tuning->temperament.id;
    }
    if (options.tuning.root || options.tuning.anchor || options.tuning.enharmonic) {
        homework.footing = tuning->footing;
    }
    const auto take_over = [](const std::string& typed, std::string& text) {
        if (!typed.empty()) {
            text = typed;
        }
    };
    take_over(options.title, homework.title);
    take_over(options.teacher, homework.teacher);
    take_over(options.student, homework.student);
    take_over(options.words, homework.words);
    take_over(options.due, homework.due_on);
    const auto crook =
        options.tuning.crook ? std::optional(tuning->crook) : std::optional<horn::Crook>();
    for (const std::string& typed : options.exercises) {
        auto task = task_of(typed, options, crook);
        if (!task) {
            return tl::unexpected(task.error());
        }
        homework.tasks.push_back(std::move(*task));
    }
    return {};
}

Result<int> make_new(const NewOptions& options) {
    homework::Homework homework;
    if (options.draft) {
        const auto text =
            read_small_file(platform::path_of(*options.draft), homework::kLargestJson_bytes);
        if (!text) {
            return tl::unexpected(text.error());
        }
        auto draft = homework::parse_homework(*text, *options.draft);
        if (!draft) {
            return tl::unexpected(draft.error());
        }
        homework = std::move(*draft);
    }
    if (homework.written_on.empty()) {
        homework.written_on = calendar::now_utc().substr(0, 10);
    }
    if (auto put = put_in(options, homework); !put) {
        return tl::unexpected(put.error());
    }
    return write(std::move(homework), options.out);
}

Result<int> make_next(const std::string& before, const NewOptions& options) {
    const auto package = homework::Package::load(platform::path_of(before));
    if (!package) {
        return tl::unexpected(package.error());
    }
    homework::Homework next = homework::next_after(package->homework());
    next.written_on = calendar::now_utc().substr(0, 10);
    if (auto put = put_in(options, next); !put) {
        return tl::unexpected(put.error());
    }
    return write(std::move(next), options.out);
}

void add_options(const OptionSet& command, const std::shared_ptr<NewOptions>& options) {
    command.add_option("--out", options->out, "The file to write, NAME.hornwork")
        .type_name("FILE")
        .required();
    command
        .add_option("--exercise",
                    options->exercises,
                    "An exercise, or some of its bars as ID:3-6; again for more")
        .type_name("NAME");
    command.add_option("--title", options->title, "What it is, in a few words").type_name("WORDS");
    command.add_option("--teacher", options->teacher, "Name of the teacher").type_name("NAME");
    command.add_option("--student", options->student, "Name of the student").type_name("NAME");
    command.add_option("--words", options->words, "A note to the student").type_name("WORDS");
    command.add_option("--due", options->due, "Day it is due, such as 2026-03-08").type_name("DAY");
    add_tuning_options(command, options->tuning);
    command.add_option("--tempo", options->tempo, "Quarter notes a minute, 0 for free tempo")
        .type_name("BEATS")
        .range(0.0, 300.0);
    command
        .add_option(
            "--tolerance", options->tolerance, "Times the student's own tolerance, 0.2 to 5")
        .type_name("FACTOR")
        .range(0.2, 5.0);
    command
        .add_option(
            "--repetitions", options->repetitions, "How often in a row in one block, 1 to 50")
        .type_name("N")
        .range(1, 50);
    command
        .add_option(
            "--times",
            options->times,
            "How often it is to be played through, 1 to 50; with --minutes how often so long")
        .type_name("N")
        .range(1, 50);
    command.add_option("--minutes", options->minutes, "A time is so many minutes, 0.5 to 25")
        .type_name("MINUTES")
        .range(0.5, 25.0);
}

struct CommentOptions {
    std::string file;
    std::optional<std::string> out;
    std::optional<int> take;
    std::optional<int> task;
    double at_s = 0.0;
    std::string text;
    std::optional<std::string> note;
    bool student = false;
};

Result<int> comment(const CommentOptions& options) {
    auto package = homework::Package::load(platform::path_of(options.file));
    if (!package) {
        return tl::unexpected(package.error());
    }
    homework::Comment comment;
    comment.who = options.student ? homework::Who::student : homework::Who::teacher;
    if (options.take) {
        comment.take = static_cast<std::uint32_t>(*options.take - 1);
    }
    if (options.task) {
        comment.task = static_cast<std::uint32_t>(*options.task - 1);
    }
    comment.at_s = options.at_s;
    comment.text = options.text;
    comment.written_at = calendar::now_utc();
    if (options.note) {
        const auto note = horn::parse_note(*options.note);
        if (!note) {
            return tl::unexpected(note.error());
        }
        comment.note = *note;
    }
    if (auto added = homework::add_comment(package->homework(), std::move(comment)); !added) {
        return tl::unexpected(added.error());
    }
    if (auto saved = package->save(platform::path_of(options.out.value_or(options.file))); !saved) {
        return tl::unexpected(saved.error());
    }
    return 0;
}

} // namespace

void add_homework_new(const OptionSet& homework, const Further& further) {
    auto options = std::make_shared<NewOptions>();
    const OptionSet command = homework.add_command("new", "Teacher: compose a homework file");
    add_options(command, options);
    command.add_option("--from", options->draft, "Begin with a draft (homework.json)")
        .type_name("FILE");
    command.when_chosen([=] { *further = [options] { return make_new(*options); }; });
}

void add_homework_next(const OptionSet& homework, const Further& further) {
    auto options = std::make_shared<NewOptions>();
    auto before = std::make_shared<std::string>();
    const OptionSet command = homework.add_command(
        "next", "Teacher: what follows a returned homework, its weak tasks first");
    command.add_option("FILE", *before, "The returned homework").required();
    add_options(command, options);
    command.when_chosen([=] { *further = [=] { return make_next(*before, *options); }; });
}

void add_homework_comment(const OptionSet& homework, const Further& further) {
    auto options = std::make_shared<CommentOptions>();
    const OptionSet command = homework.add_command("comment", "Comment on a place in a take");
    command.add_option("FILE", options->file, "The homework file").required();
    command.add_option("--text", options->text, "The words").type_name("WORDS").required();
    command.add_option("--take", options->take, "Number of the take").type_name("N").range(1, 24);
    command.add_option("--task", options->task, "Number of the task").type_name("N").range(1, 40);
    command.add_option("--at", options->at_s, "Second of the take").type_name("S");
    command.add_option("--note", options->note, "The written note it is about").type_name("NOTE");
    command.add_flag("--student", options->student, "Say it as the student");
    command.add_option("--out", options->out, "Write to this file instead").type_name("FILE");
    command.when_chosen([=] { *further = [options] { return comment(*options); }; });
}

} // namespace bellhand::cli
