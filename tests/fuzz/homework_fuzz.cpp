// Homework files from anybody, the archive or its homework.json alone: one sentence, or a homework that is written and read again
// alike, and that everything done with one comes through.
#include "drill/runner.h"
#include "homework/package.h"
#include "homework/teacher.h"

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

using namespace bellhand;
using namespace bellhand::homework;

namespace {

void must(bool holds, const char* what) {
    if (!holds) {
        std::fprintf(stderr, "does not hold: %s\n", what);
        std::abort();
    }
}

void check_sentence(const std::string& sentence) {
    must(sentence.rfind("fuzz", 0) == 0, "the sentence names the file");
    must(sentence.back() == '.', "the sentence is finished");
    must(sentence.find('\n') == std::string::npos, "one line");
    must(sentence.find('\x1b') == std::string::npos, "no terminal codes");
}

void work_with(const Homework& homework) {
    for (const std::string& problem : problems(homework)) {
        must(problem.back() == '.', "a problem is a sentence");
    }
    for (const Task& task : homework.tasks) {
        const drill::Exercise exercise = exercise_of(task);
        must(!exercise.steps.empty(), "a task that was read has steps");
        drill::RunSettings settings;
        settings.tuning = tuning_of(homework, task, horn::Crook{});
        (void)drill::Runner::make(exercise, settings);
        (void)steps_of_bars(task.exercise, 1, 2);
    }
    for (const Wrong& wrong : what_went_wrong(homework)) {
        must(wrong.task < homework.tasks.size(), "what went wrong is in a task");
        must(!wrong.take || (wrong.in_take_s >= 0.0 &&
                             wrong.in_take_s < homework.returned->takes[*wrong.take].duration_s),
             "and in its take");
    }
    const Homework next = next_after(homework);
    must(!next.tasks.empty() && next.tasks.size() <= homework.tasks.size(),
         "the next asks for something");
    must(!make_id(next).empty(), "it has an id");
}

void check_text(const std::string& text) {
    const auto homework = parse_homework(text, "fuzz");
    if (!homework) {
        check_sentence(homework.error().message);
        return;
    }
    const std::string written = homework_text(*homework);
    const auto again = parse_homework(written, "fuzz");
    must(again.has_value(), "what is written can be read");
    must(homework_text(*again) == written, "and is the same");
    work_with(*homework);
}

void check_archive(const std::string& bytes) {
    const auto package = Package::parse(bytes, "fuzz");
    if (!package) {
        check_sentence(package.error().message);
        return;
    }
    for (std::size_t take = 0; take < package->takes(); ++take) {
        (void)package->sound(take);
    }
    const auto written = package->bytes();
    if (!written) { // a take that is damaged further on
        return;
    }
    const auto again = Package::parse(*written, "fuzz");
    must(again.has_value(), "what is packed can be opened");
    must(again->bytes() == *written, "and is the same");
    work_with(package->homework());
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string bytes(data, data + size);
    if (bytes.rfind("PK", 0) == 0) {
        check_archive(bytes);
    } else {
        check_text(bytes);
    }
    return 0;
}
