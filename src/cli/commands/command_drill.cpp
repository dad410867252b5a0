#include "app/settings.h"
#include "audio/file.h"
#include "cli/answer.h"
#include "cli/commands.h"
#include "cli/drill_rows.h"
#include "cli/hand_rows.h"
#include "cli/recording.h"
#include "core/platform.h"
#include "drill/exercise_file.h"
#include "drill/generators.h"
#include "drill/judge.h"
#include "drill/library.h"
#include "drill/plan.h"
#include "drill/playable.h"
#include "words/time.h"

#include <cstdio>

namespace bellhand::cli {

namespace {

struct DrillOptions {
    std::string name;
    std::optional<std::string> exercise; ///< of a collection in a file
    std::optional<std::string> input;
    bool list = false;
    bool show = false;
    std::uint64_t seed = 1;
    std::optional<double> tempo;
    std::optional<int> repetitions;
    std::optional<std::string> measure;
    std::optional<std::string> chord_root;
    std::optional<double> tolerance; ///< factor; empty: as in the settings
    TuningOptions tuning;
    std::optional<std::string> profile;
    int channel = 0;
    TableFormat format = TableFormat::table;
};

bool is_file(const std::string& name) {
    return name.find('/') != std::string::npos ||
           (name.size() > 5 && name.compare(name.size() - 5, 5, ".json") == 0);
}

Result<drill::Exercise> exercise_from(const DrillOptions& options, const horn::Crook& crook) {
    if (!is_file(options.name)) {
        return drill::find_exercise(options.name, crook, options.seed);
    }
    auto file = drill::load_exercises(platform::path_of(options.name));
    if (!file) {
        return tl::unexpected(file.error());
    }
    std::string names;
    for (drill::Exercise& exercise : file->exercises) {
        if (exercise.id == options.exercise || (!options.exercise && file->exercises.size() == 1)) {
            return std::move(exercise);
        }
        names += (names.empty() ? "" : ", ") + exercise.id;
    }
    return usage_error(options.name + " holds the exercises " + names +
                       ": say which with --exercise.");
}

/// The crook that was typed; else one that the exercise is meant for.
Result<horn::Tuning> tuning_for(const DrillOptions& options, const drill::Exercise& exercise) {
    horn::Tuning otherwise;
    if (!exercise.crooks.empty()) {
        otherwise.crook = drill::crook_at(exercise.crooks.front());
    }
    return resolve_tuning(options.tuning, otherwise);
}

Result<drill::RunSettings> run_settings(const DrillOptions& options, const horn::Tuning& tuning) {
    drill::RunSettings settings;
    settings.tuning = tuning;
    settings.quarters_per_minute = options.tempo;
    settings.repetitions = options.repetitions;
    settings.repeat_missed = 0; // nobody was there to ask for it
    settings.tolerances.pitch_factor = options.tolerance.value_or(
        app::load_settings(app::settings_path()).value_or(app::Settings{}).tolerance_factor);
    if (options.chord_root) {
        const auto root = horn::parse_note(*options.chord_root);
        if (!root) {
            return tl::unexpected(root.error());
        }
        settings.root = *root;
        settings.measure = drill::Measure::chord;
    }
    if (options.measure) {
        settings.measure =
            *options.measure == "chord" ? drill::Measure::chord : drill::Measure::temperament;
    }
    return settings;
}

Question question_of(const DrillOptions& options, const horn::Tuning& tuning) {
    Question question;
    question.tuning = tuning;
    question.profile = options.profile;
    return question;
}

Result<int> list(const DrillOptions& options) {
    const auto tuning = resolve_tuning(options.tuning);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    auto all = drill::built_in_exercises();
    if (!all) {
        return tl::unexpected(all.error());
    }
    for (const drill::Generator& generator : drill::generators()) {
        all->push_back(generator.make(tuning->crook, options.seed));
        all->back().id = generator.id;
    }
    std::vector<std::vector<std::string>> rows;
    for (const drill::Exercise& exercise : *all) {
        rows.push_back(exercise_row(exercise, tuning->crook));
    }
    std::fputs(answer_table("exercise-list",
                            question_of(options, *tuning),
                            exercise_columns(),
                            rows,
                            options.format)
                   .c_str(),
               stdout);
    return 0;
}

Result<int>
show(const drill::Exercise& exercise, const horn::Tuning& tuning, const DrillOptions& options) {
    if (options.format == TableFormat::json) {
        drill::ExerciseFile file;
        file.exercises.push_back(exercise);
        std::fputs(drill::exercises_text(file).c_str(), stdout);
        return 0;
    }
    if (options.format == TableFormat::table) {
        std::printf("%s. %s\n", exercise.title.c_str(), exercise.purpose.c_str());
    }
    std::fputs(answer_table("exercise-steps",
                            question_of(options, tuning),
                            step_columns(),
                            step_rows(exercise, tuning),
                            options.format)
                   .c_str(),
               stdout);
    return 0;
}

/// What all notes say of the horn, those of another tune too.
HornHeard horn_of(const practice::JudgedRecording& judged) {
    constexpr double kMostlyAsked = 0.75; // then what was asked speaks for the horn
    HornHeard heard;
    for (const hand::HornFit& fit : judged.horns) {
        heard.take(fit);
    }
    int played = 0;
    int asked = 0;
    for (const drill::Judgement& judgement : judged.judgements) {
        if (judgement.played && judgement.note.heard.heard) {
            ++played;
            asked += judgement.extra || drill::is_wrong(judgement) ? 0 : 1;
        }
    }
    return heard.fit.doubted() && asked >= kMostlyAsked * played ? HornHeard{} : heard;
}

Result<int>
judge(const drill::Exercise& exercise, const horn::Tuning& tuning, const DrillOptions& options) {
    auto settings = run_settings(options, tuning);
    if (!settings) {
        return tl::unexpected(settings.error());
    }
    const auto own = own_hand(options.profile, tuning);
    if (!own) {
        return tl::unexpected(own.error());
    }
    if (*own) {
        settings->hand = [hand = (*own)->response, tuning](const horn::Tuning& asked) {
            return asked == tuning ? std::optional(hand)
                                   : std::nullopt; // another crook is another tube
        };
    }
    auto source = audio::open_file(
        platform::path_of(*options.input), audio::Pace::as_fast_as_possible, options.channel);
    if (!source) {
        return tl::unexpected(source.error());
    }
    const auto judged = practice::judge_recording(**source, exercise, *settings, *own);
    if (!judged) {
        return tl::unexpected(judged.error());
    }
    std::vector<std::vector<std::string>> rows;
    for (std::size_t i = 0; i < judged->judgements.size(); ++i) {
        rows.push_back(judgement_row(exercise, judged->judgements[i], judged->tunings[i]));
    }
    Question question = question_of(options, tuning);
    question.more.emplace_back("file", *options.input);
    question.more.emplace_back("exercise", exercise.id);
    std::fputs(
        answer_table("judgements", question, judgement_columns(), rows, options.format).c_str(),
        stdout);
    if (options.format == TableFormat::table) {
        std::printf("%s\n", summary_of(exercise, *judged).c_str());
        for (const drill::Remark& remark : judged->remarks) {
            std::printf("%s\n", words::remark(remark).c_str());
        }
    }
    tell_horn(horn_of(*judged), tuning);
    return 0;
}

Result<int> drill_command(const DrillOptions& options) {
    if (options.list) {
        return list(options);
    }
    if (options.name.empty()) {
        return usage_error("Say which exercise: `bellhand drill NAME --input FILE`; `bellhand "
                           "drill --list` shows all.");
    }
    const auto for_generators = resolve_tuning(options.tuning);
    if (!for_generators) {
        return tl::unexpected(for_generators.error());
    }
    const auto exercise = exercise_from(options, for_generators->crook);
    if (!exercise) {
        return tl::unexpected(exercise.error());
    }
    const auto tuning = tuning_for(options, *exercise);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    if (const drill::Playable answer = drill::playable(*exercise, tuning->crook); !answer.yes) {
        std::fprintf(stderr, "bellhand: %s\n", answer.why.c_str());
    }
    if (options.show) {
        return show(*exercise, *tuning, options);
    }
    if (!options.input) {
        return usage_error("Say what to judge: --input FILE for a recording, or --show to see the "
                           "exercise.");
    }
    return judge(*exercise, *tuning, options);
}

} // namespace

void add_drill(CommandLine& line) {
    auto options = std::make_shared<DrillOptions>();
    const OptionSet command = add_command(
        line, "drill", "Judge a recording of an exercise; list exercises; show one", [options] {
            return drill_command(*options);
        });
    command.add_option("NAME", options->name, "Exercise by name, or a file of exercises (.json)");
    command
        .add_option("--exercise", options->exercise, "Which exercise, when the file holds several")
        .type_name("NAME");
    command.add_option("--input", options->input, "Sound file to judge (WAV, FLAC, OGG)")
        .type_name("FILE");
    command.add_flag("--list", options->list, "List all exercises and whether the crook has them");
    command.add_flag(
        "--show", options->show, "Show the steps; with --format json the exercise file");
    command.add_option("--tempo", options->tempo, "Quarter notes a minute; 0: free")
        .type_name("BEATS")
        .range(0.0, 300.0);
    command.add_option("--repetitions", options->repetitions, "How often in a row")
        .type_name("N")
        .range(1, 100);
    command
        .add_option("--measure",
                    options->measure,
                    "Measure pitch by the temperament, or in pure intervals above --chord-root")
        .one_of({"temperament", "chord"});
    command.add_option("--chord-root", options->chord_root, "Written root of the chord, such as C4")
        .type_name("NOTE");
    command
        .add_option("--tolerance",
                    options->tolerance,
                    "Factor on the pitch tolerances, 0.2 to 5 (usual: as set in the window with J)")
        .type_name("FACTOR")
        .range(0.2, 5.0);
    command.add_option("--seed", options->seed, "Seed of exercises in random order").type_name("N");
    add_tuning_options(command, options->tuning);
    add_hand_profile_option(command, options->profile);
    add_channel_option(command, options->channel);
    add_format_option(command, options->format);
}

} // namespace bellhand::cli
