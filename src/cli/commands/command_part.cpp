#include "app/players_horn.h"
#include "chart/score_pages.h"
#include "cli/answer.h"
#include "cli/commands.h"
#include "cli/part_play.h"
#include "cli/part_text.h"
#include "core/files.h"
#include "core/platform.h"
#include "part/write/annotate.h"
#include "part/write/plan_json.h"
#include "part/write/printed.h"

#include <algorithm>
#include <cstdio>
#include <memory>

namespace bellhand::cli {

namespace {

constexpr int kQuestionExit = 3;
constexpr std::size_t kLargestCosts_bytes = 100'000;

struct PartOptions {
    std::string file;
    std::optional<std::string> part;
    std::optional<int> player;
    std::vector<std::string> crooks;
    std::optional<horn::BassClef> bass_clef;
    std::optional<part::Notation> notes;
    std::optional<double> tempo;
    TuningOptions pitch;
    std::optional<std::string> profile;
    std::optional<std::string> costs;
    std::vector<std::string> pins;
    std::optional<std::string> bars;
    std::optional<TableFormat> plan;
    std::optional<std::string> annotate;
    std::optional<std::string> print;
    bool partials = false;
    bool compare_crooks = false;
    std::optional<std::string> perform;
    PartPlay play;

    [[nodiscard]] bool plays() const { return play.play || play.worst || play.loop || play.from; }
};

Result<part::ReadOptions> read_options(const PartOptions& options) {
    part::ReadOptions read;
    read.player = options.player;
    read.bass_clef = options.bass_clef;
    read.notes = options.notes;
    read.quarters_per_minute = options.tempo;
    const auto crooks = crooks_said(options.crooks);
    if (!crooks) {
        return tl::unexpected(crooks.error());
    }
    read.crooks = *crooks;
    return read;
}

Result<part::PlanSettings> plan_settings(const PartOptions& options) {
    part::PlanSettings settings;
    const auto tuning = resolve_tuning(options.pitch);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    settings.a4_hz = tuning->a4_hz;
    settings.temperament = tuning->temperament;
    settings.footing = tuning->footing;
    if (options.costs) {
        const auto text = read_small_file(platform::path_of(*options.costs), kLargestCosts_bytes);
        const auto costs =
            text ? part::parse_costs(*text, *options.costs) : tl::unexpected(text.error());
        if (!costs) {
            return tl::unexpected(costs.error());
        }
        settings.costs = *costs;
    }
    for (const std::string& typed : options.pins) {
        const auto pin = part::parse_pin(typed);
        if (!pin) {
            return tl::unexpected(pin.error());
        }
        settings.pins.push_back(*pin);
    }
    if (options.profile) {
        auto players = app::PlayersHorn::open(platform::path_of(*options.profile), false);
        if (!players) {
            return tl::unexpected(players.error());
        }
        const auto horn = std::make_shared<app::PlayersHorn>(std::move(*players));
        settings.response = [horn](const horn::Tuning& on) {
            return horn->response_on(on).value_or(horn::hand_response(on));
        };
    }
    return settings;
}

int ask(const std::string& question) {
    std::fprintf(stderr, "%s\n", question.c_str());
    return kQuestionExit;
}

bool ends_in(std::string_view name, std::string_view ending) {
    return name.size() > ending.size() && name.substr(name.size() - ending.size()) == ending;
}

Result<void> write_annotated(const std::string& path,
                             const part::Score& score,
                             const part::Part& part,
                             const part::Plan& plan,
                             bool partials) {
    auto text = part::annotated(score, part, plan, {partials});
    if (text && ends_in(path, ".mxl")) {
        text = part::compressed(score, std::move(*text));
    }
    if (!text) {
        return tl::unexpected(text.error());
    }
    return write_file_in_one_step(platform::path_of(path), *text);
}

Result<void> write_pages(const std::string& path,
                         const part::Score& score,
                         const part::Part& part,
                         const part::Plan& plan,
                         bool partials) {
    const bool pdf = ends_in(path, ".pdf");
    if (!pdf && !ends_in(path, ".svg")) {
        return usage_error("--print " + path +
                           " names neither kind of page: end the name in .pdf or .svg.");
    }
    const auto pages =
        chart::score_pages(part::printed_part(part, plan, {score.title(), partials}).score,
                           pdf ? chart::PageFormat::pdf : chart::PageFormat::svg);
    return pages ? write_file_in_one_step(platform::path_of(path), *pages)
                 : tl::unexpected(pages.error());
}

/// Pitch and temperament as the first crook stands in them; every note tells its own crook.
Question question_of(const PartOptions& options,
                     const part::Part& part,
                     const part::PlanSettings& settings) {
    Question question;
    question.tuning = horn::Tuning{
        part.crooks.front().crook, settings.a4_hz, settings.temperament, settings.footing};
    question.profile = options.profile;
    const auto said = [](const std::optional<std::string>& typed) {
        return typed ? Question::Value(*typed) : Question::Value();
    };
    question.more = {{"file", options.file},
                     {"part", part.head.id},
                     {"player", static_cast<double>(part.player)},
                     {"bars", said(options.bars)},
                     {"costs", said(options.costs)}};
    return question;
}

void print_plan(const part::Score& score,
                const part::Part& part,
                const part::Plan& plan,
                drill::PartBars bars,
                const Question& question,
                TableFormat format) {
    if (format == TableFormat::json) {
        std::fputs(answer_json("part-plan",
                               question,
                               part::plan_json(score, part, plan, bars.first, bars.last))
                       .c_str(),
                   stdout);
        return;
    }
    std::vector<Column> columns;
    for (const part::PlanColumn& column : part::plan_columns()) {
        columns.push_back({column.name, column.number});
    }
    std::fputs(format_table(columns,
                            part::plan_rows(part, plan, bars.first, bars.last),
                            format == TableFormat::csv ? PlainFormat::csv : PlainFormat::aligned)
                   .c_str(),
               stdout);
}

/// The files that are asked for: the score with signs, the pages to play from.
Result<void> write_files(const PartOptions& options,
                         const part::Score& score,
                         const part::Part& part,
                         const part::Plan& plan) {
    if (options.annotate) {
        auto written = write_annotated(*options.annotate, score, part, plan, options.partials);
        if (!written) {
            return written;
        }
    }
    return options.print ? write_pages(*options.print, score, part, plan, options.partials)
                         : Result<void>{};
}

/// Everything that is asked of one part.
Result<int> one_part(const PartOptions& options,
                     const part::Score& score,
                     const part::Part& part,
                     const part::PlanSettings& settings) {
    if (!part.questions.empty()) {
        for (const std::string& question : part.questions) {
            ask(question);
        }
        return kQuestionExit;
    }
    const auto bars = bars_said(part, options.bars);
    const auto plan = part::plan_part(part, settings);
    if (!bars || !plan) {
        return tl::unexpected(bars ? plan.error() : bars.error());
    }
    const part::Part some = part::notes_in(part, bars->first, bars->last);
    if (some.attacks.empty()) {
        return usage_error("There is no note to play in these bars: choose others.");
    }
    if (const auto written = write_files(options, score, part, *plan); !written) {
        return tl::unexpected(written.error());
    }
    if (options.plan) {
        print_plan(score, part, *plan, *bars, question_of(options, part, settings), *options.plan);
    }
    if (options.compare_crooks) {
        std::fputs(crook_ranking(some, part::compare_crooks(some, settings)).c_str(), stdout);
    }
    if (options.perform) {
        const auto done = perform_part(part, *plan, settings, *bars, *options.perform);
        if (!done) {
            return tl::unexpected(done.error());
        }
    }
    if (options.plays()) {
        PartPlay play = options.play;
        play.run.listen.profile = options.profile;
        return play_part(part, *plan, settings, *bars, play);
    }
    if (!options.plan && !options.compare_crooks && !options.perform) {
        std::fputs(
            part_summary(some, part::notes_in(*plan, part, bars->first, bars->last), *bars).c_str(),
            stdout);
    }
    return 0;
}

Result<int> all_parts(const part::Score& score,
                      const std::vector<std::size_t>& horns,
                      const part::ReadOptions& read,
                      const part::PlanSettings& settings) {
    if (!score.title().empty()) {
        std::printf("%s\n\n", score.title().c_str());
    }
    bool open = false;
    for (const std::size_t index : horns) {
        const auto part = part::read_part(score, index, read);
        if (!part) {
            std::printf("%s\n\n", part.error().message.c_str());
            continue;
        }
        std::optional<part::Plan> plan;
        if (part->questions.empty()) {
            auto made = part::plan_part(*part, settings);
            if (!made) {
                return tl::unexpected(made.error());
            }
            plan = std::move(*made);
        }
        open = open || !part->questions.empty();
        std::printf("%s\n", part_summary(*part, plan).c_str());
    }
    std::vector<std::size_t> others;
    for (std::size_t i = 0; i < score.parts().size(); ++i) {
        if (std::find(horns.begin(), horns.end(), i) == horns.end()) {
            others.push_back(i);
        }
    }
    if (!others.empty()) {
        std::printf("Other parts: %s.\n", part_list(score, others).c_str());
    }
    return open ? kQuestionExit : 0;
}

/// The part that was named, else all horns; a part that is alone needs no name.
Result<std::vector<std::size_t>> parts_asked(const PartOptions& options, const part::Score& score) {
    if (options.part) {
        const auto named = part::part_named(score, *options.part);
        if (!named) {
            return tl::unexpected(named.error());
        }
        return std::vector<std::size_t>{*named};
    }
    std::vector<std::size_t> horns;
    for (std::size_t i = 0; i < score.parts().size(); ++i) {
        if (score.parts()[i].horn || score.parts().size() == 1) {
            horns.push_back(i);
        }
    }
    return horns;
}

Result<int> run(const PartOptions& options) {
    const auto read = read_options(options);
    const auto settings = plan_settings(options);
    if (!read || !settings) {
        return tl::unexpected(read ? settings.error() : read.error());
    }
    const auto score = part::Score::load(platform::path_of(options.file));
    if (!score) {
        return tl::unexpected(score.error());
    }
    const auto parts = parts_asked(options, *score);
    if (!parts) {
        return tl::unexpected(parts.error());
    }
    const std::vector<std::size_t>& chosen = *parts;
    if (chosen.empty()) {
        std::vector<std::size_t> all(score->parts().size());
        for (std::size_t i = 0; i < all.size(); ++i) {
            all[i] = i;
        }
        return ask("No part of " + score->where() +
                   " is named as a horn: answer --part with one of " + part_list(*score, all) +
                   ".");
    }
    const bool for_one = options.plan || options.annotate || options.print ||
                         options.compare_crooks || options.perform || options.plays();
    if (!for_one && chosen.size() > 1) {
        return all_parts(*score, chosen, *read, *settings);
    }
    if (chosen.size() > 1) {
        return ask(score->where() + " holds several horn parts: answer --part with one of " +
                   part_list(*score, chosen) + ".");
    }
    const auto part = part::read_part(*score, chosen.front(), *read);
    if (!part) {
        return tl::unexpected(part.error());
    }
    if (!for_one && !part->questions.empty()) {
        std::fputs(part_summary(*part, std::nullopt).c_str(), stdout);
    }
    return one_part(options, *score, *part, *settings);
}

void add_answers(const OptionSet& command, PartOptions& options) {
    command
        .add_option(
            "--part", options.part, "Which part: its id in the file, its number, or its name")
        .type_name("ID|N|NAME");
    command
        .add_option(
            "--player", options.player, "Of two players on a staff: 1 the upper, 2 the lower")
        .range(1, 2)
        .type_name("N");
    command
        .add_option("--crook",
                    options.crooks,
                    "The crook the part is written for, such as C-basso; 151=Eb from bar 151 on")
        .type_name("[BAR=]CROOK");
    using Clef = std::optional<horn::BassClef>;
    command.add_choice("--bass-clef",
                       options.bass_clef,
                       std::vector<Choice<Clef>>{{"old", horn::BassClef::octave_lower},
                                                 {"new", horn::BassClef::sounding_octave}},
                       "What notes in bass clef mean: old, written an octave low, or new");
    using Notes = std::optional<part::Notation>;
    command.add_choice("--notes",
                       options.notes,
                       std::vector<Choice<Notes>>{{"written", part::Notation::written},
                                                  {"sounding", part::Notation::sounding}},
                       "How the notes of the file stand: written or sounding");
}

void add_planning(const OptionSet& command, PartOptions& options) {
    command.add_option("--tempo", options.tempo, "Quarter notes a minute, in place of the file's")
        .range(5.0, 1000.0)
        .type_name("BPM");
    command
        .add_option("--pin",
                    options.pins,
                    "Hand of one note: bar, note in the bar, sign, such as 12.3=½ or 12.3=p12+")
        .type_name("BAR.NOTE=HAND");
    command.add_option("--costs", options.costs, "JSON file with costs of your own")
        .type_name("FILE");
    add_pitch_options(command, options.pitch);
    command.add_option("--profile", options.profile, "Your horn, with the hand as it was measured")
        .type_name("FILE");
}

void add_output(const OptionSet& command, PartOptions& options) {
    using Format = std::optional<TableFormat>;
    command.add_choice(
        "--plan",
        options.plan,
        std::vector<Choice<Format>>{{"csv", TableFormat::csv}, {"json", TableFormat::json}},
        "Print the plan note by note: csv or json");
    command
        .add_option("--perform",
                    options.perform,
                    "Sound file of the part as it was played: judged note by note")
        .type_name("RECORDING");
    command.add_option("--bars", options.bars, "Only these bars, such as 12-40")
        .type_name("FIRST-LAST");
    command
        .add_option("--annotate",
                    options.annotate,
                    "Write the score with hand signs to this file (.musicxml, or .mxl compressed)")
        .type_name("OUT");
    command
        .add_option("--print",
                    options.print,
                    "Print the part with hand signs to this file, A4, to play from (.pdf or .svg)")
        .type_name("OUT");
    command.add_flag(
        "--partials", options.partials, "With --annotate and --print: number of the partial too");
    command.add_flag("--compare-crooks",
                     options.compare_crooks,
                     "Rank all crooks for what the part sounds, the easiest first");
}

} // namespace

void add_part(CommandLine& line) {
    auto options = std::make_shared<PartOptions>();
    const OptionSet command = add_command(
        line,
        "part",
        "Read a horn part, plan the hand note by note, write the signs into it. Exit code 3: a "
        "question is open, and the option that answers it is named",
        [options] { return run(*options); });
    command.add_option("FILE", options->file, "The part or full score: MusicXML or MIDI")
        .type_name("FILE")
        .required();
    add_answers(command, *options);
    add_planning(command, *options);
    add_output(command, *options);
    add_part_play(command, options->play);
}

} // namespace bellhand::cli
