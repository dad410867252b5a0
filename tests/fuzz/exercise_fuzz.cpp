// Exercises from anybody: one sentence, or exercises that are written and read again alike, and can be run.
#include "drill/exercise_file.h"
#include "drill/playable.h"
#include "drill/runner.h"

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

using namespace bellhand;
using namespace bellhand::drill;

namespace {

void must(bool holds, const char* what) {
    if (!holds) {
        std::fprintf(stderr, "does not hold: %s\n", what);
        std::abort();
    }
}

/// Plays what is asked, as it is asked.
void run(const Exercise& exercise) {
    RunSettings settings;
    settings.tuning.crook = horn::all_crooks()[7];
    auto runner = Runner::make(exercise, settings);
    if (!runner) {
        must(runner.error().message.back() == '.', "the sentence is finished");
        return;
    }
    double now_s = 0.0;
    for (int i = 0; i < 12 && runner->where().phase != Phase::finished; ++i) {
        const std::vector<Asked>& asked = runner->asked();
        const std::uint32_t next = runner->where().next;
        trainer::PlayedNote note;
        for (const Asked& one : asked) {
            note.f0_hz = one.step == next ? one.target_hz : note.f0_hz;
        }
        must(note.f0_hz > 0.0, "what is asked next is in the plan");
        note.target_hz = note.f0_hz;
        note.start_s = now_s + 0.1;
        note.duration_s = 0.4;
        note.finished = true;
        runner->finished(note);
        now_s += 0.5;
    }
    runner->finish();
    Judgement judgement;
    bool any = false;
    while (runner->next(judgement)) {
        any = true;
        must(judgement.step < exercise.steps.size(), "every judgement is of a step");
    }
    must(any, "something was judged");
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(data, data + size);
    const auto file = parse_exercises(text, "fuzz");
    if (!file) {
        const std::string& sentence = file.error().message;
        must(sentence.rfind("fuzz", 0) == 0, "the sentence names the file");
        must(sentence.back() == '.', "the sentence is finished");
        must(sentence.find('\n') == std::string::npos, "one line");
        must(sentence.find('\x1b') == std::string::npos, "no terminal codes");
        return 0;
    }
    const std::string written = exercises_text(*file);
    const auto again = parse_exercises(written, "fuzz");
    must(again.has_value(), "what is written can be read");
    must(exercises_text(*again) == written, "and is the same");
    for (const Exercise& exercise : file->exercises) {
        for (const horn::Crook& crook : horn::all_crooks()) {
            const Playable answer = playable(exercise, crook);
            must(answer.yes == answer.why.empty(), "why not is said, and only then");
        }
        run(exercise);
    }
    return 0;
}
