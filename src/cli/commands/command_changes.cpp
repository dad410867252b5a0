// The crook-change drill in the terminal: a key is called, the pieces are typed, or mounted and shown by one open note.
#include "app/calibration_hearing.h"
#include "app/kept_changes.h"
#include "audio/device.h"
#include "audio/file.h"
#include "cli/answer.h"
#include "cli/horn_options.h"
#include "cli/log_options.h"
#include "core/platform.h"
#include "instrument/planner/change_drill.h"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <iostream>
#include <memory>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace bellhand::cli {

namespace {

using instrument::ChangeCall;
using instrument::ChangeDrill;
using instrument::ChangeResult;

struct ChangesOptions {
    HornOptions horn;
    std::optional<std::string> set_list;
    std::vector<std::string> recordings;
    double listen_s = 0.0;
    std::string device;
    int channel = 0;
    int questions = 6;
    std::optional<std::uint64_t> seed;
    std::optional<std::string> log;
    TableFormat format = TableFormat::table;
};

double now_s() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

/// What is called, and the title of the set list it comes from; empty: a quiz.
struct Calls {
    std::vector<ChangeCall> calls;
    std::string title;
};

Result<Calls> calls_for(const ChangesOptions& options, const LoadedHorn& horn) {
    if (!options.set_list) {
        const auto seed = options.seed.value_or(static_cast<std::uint64_t>(
            std::chrono::system_clock::now().time_since_epoch().count()));
        return Calls{
            instrument::quiz_of(horn.lengths, horn.a4_hz, horn.air, options.questions, seed), ""};
    }
    auto list = instrument::load_set_list(platform::path_of(*options.set_list));
    if (!list) {
        return tl::unexpected(list.error());
    }
    if (options.horn.a4_hz) {
        list->a4_hz = horn.a4_hz;
    }
    if (options.horn.temperature_c) {
        list->temperature_c = horn.air.temperature_c;
    }
    instrument::PlanRequest request;
    request.most_between = horn.lengths.most_pieces_between;
    const auto plan = instrument::plan_set_list(horn.lengths, *list, horn.air, request);
    if (!plan) {
        return tl::unexpected(plan.error());
    }
    return Calls{instrument::rehearsal_of(*plan), list->title};
}

/// "Eb, A4 = 430 Hz. On the horn: long master. What plus what?"
std::string called(const instrument::HornLengths& horn, const ChangeCall& call, bool listens) {
    return fmt::format("{}{} at A4 = {:g} Hz.{}{} {}\n",
                       call.number.empty() ? "" : call.number + ": ",
                       call.target.key.label,
                       call.target.a4_hz,
                       call.from ? " On the horn: " + instrument::describe(horn, *call.from) + "."
                                 : std::string(),
                       call.rest_s ? fmt::format(" Rest {:g} s.", *call.rest_s) : std::string(),
                       listens ? "Mount it and hold written C4, open." : "What plus what?");
}

horn::Tuning tuning_of(const ChangeCall& call) {
    return {call.target.key, call.target.a4_hz, {}};
}

/// The first held note of a source, with when it began.
struct Shown {
    instrument::ShownNote note;
    double begun_s = 0.0;
};

Result<Shown>
first_note(audio::Source& source, const ChangeCall& call, std::optional<double> most_s) {
    const auto heard = app::hear(source, tuning_of(call), most_s, [](const app::Heard& so_far) {
        return !so_far.notes.empty();
    });
    if (!heard) {
        return tl::unexpected(heard.error());
    }
    if (heard->notes.empty()) {
        return failure("No held note was heard for " + std::string(call.target.key.label) +
                       ": hold one open note for a second or longer.");
    }
    return Shown{{heard->notes.front().f0_hz, heard->notes.front().sd_cents, 4},
                 heard->note_starts_s.front()};
}

/// Runs the drill with typed answers. Ends early at the end of input or at "q".
Result<void> ask(ChangeDrill& drill, bool talks) {
    std::string typed;
    for (drill.next(now_s()); drill.phase() != ChangeDrill::Phase::over; drill.next(now_s())) {
        fmt::print(stderr, "{}", called(drill.horn(), drill.call(), false));
        std::optional<instrument::Stack> said;
        while (!said) {
            if (!std::getline(std::cin, typed) || typed == "q") {
                return {};
            }
            if (typed.empty()) {
                break;
            }
            const auto stack = instrument::stack_of(drill.horn(), split_names(typed));
            if (!stack) {
                fmt::print(stderr, "{}\n", stack.error().message);
                continue;
            }
            said = *stack;
        }
        if (!said) {
            drill.skip();
            fmt::print(stderr,
                       "Passed. It is {}.\n",
                       instrument::describe(drill.horn(), drill.call().right));
            continue;
        }
        drill.say(*said, now_s());
        if (talks) {
            fmt::print("{}\n",
                       instrument::in_words(drill.horn(), drill.call(), drill.results().back()));
        }
    }
    return {};
}

/// Each change shown by a note: recordings in the order of the calls, or the microphone. In a recording the call is its
/// beginning.
Result<void> listen(ChangeDrill& drill, const ChangesOptions& options, bool talks) {
    std::size_t change = 0;
    for (drill.next(0.0); drill.phase() != ChangeDrill::Phase::over; drill.next(0.0), ++change) {
        const bool recorded = options.listen_s <= 0.0;
        if (recorded && change == options.recordings.size()) {
            return {};
        }
        if (!recorded) {
            fmt::print(stderr, "{}", called(drill.horn(), drill.call(), true));
        }
        audio::DeviceChoice choice;
        choice.name = options.device;
        choice.channel = options.channel > 0 ? options.channel : 1;
        auto source = recorded ? audio::open_file(platform::path_of(options.recordings[change]),
                                                  audio::Pace::as_fast_as_possible,
                                                  options.channel)
                               : audio::open_device(choice);
        if (!source) {
            return tl::unexpected(source.error());
        }
        const auto shown = first_note(
            **source, drill.call(), recorded ? std::nullopt : std::optional(options.listen_s));
        if (!shown) {
            return tl::unexpected(shown.error());
        }
        drill.show(shown->note, shown->begun_s);
        if (talks) {
            fmt::print("{}: {}\n",
                       drill.call().target.key.label,
                       instrument::in_words(drill.horn(), drill.call(), drill.results().back()));
        }
    }
    return {};
}

nlohmann::ordered_json heard_json(const instrument::HornLengths& horn,
                                  const instrument::HeardVerdict& heard) {
    nlohmann::ordered_json out{{"stands", instrument::stands_id(heard.stands)},
                               {"off_cents", heard.off_cents},
                               {"off_sd_cents", heard.off_sd_cents},
                               {"guesses", nlohmann::ordered_json::array()}};
    for (const instrument::MountedGuess& guess : heard.guesses) {
        out["guesses"].push_back({{"pieces", instrument::names_of(horn, guess.stack)},
                                  {"partial", guess.partial},
                                  {"share", guess.share},
                                  {"what", guess.what}});
    }
    return out;
}

nlohmann::ordered_json result_json(const ChangeDrill& drill, const ChangeResult& result) {
    const ChangeCall& call = drill.calls()[result.call];
    nlohmann::ordered_json out{{"number", call.number},
                               {"key", call.target.key.id},
                               {"right_pieces", instrument::names_of(drill.horn(), call.right)},
                               {"slide_m", call.slide_m},
                               {"change_s", result.seconds},
                               {"estimate_s", call.estimate_s},
                               {"rest_s", nullptr},
                               {"right", result.right()},
                               {"said", nullptr},
                               {"heard", nullptr},
                               {"sentence", instrument::in_words(drill.horn(), call, result)}};
    if (call.rest_s) {
        out["rest_s"] = *call.rest_s;
    }
    if (result.said_verdict) {
        out["said"] = {{"pieces", instrument::names_of(drill.horn(), *result.said)},
                       {"right", result.said_verdict->right},
                       {"left_cents", result.said_verdict->slide.left_cents}};
    }
    if (result.heard) {
        out["heard"] = heard_json(drill.horn(), *result.heard);
    }
    return out;
}

void print_json(const ChangesOptions& options, const LoadedHorn& horn, const ChangeDrill& drill) {
    Question question = question_of(horn, options.horn);
    question.more = {
        {"set_list", options.set_list ? Question::Value(*options.set_list) : Question::Value()},
        {"calls", static_cast<double>(drill.calls().size())}};
    nlohmann::ordered_json results = nlohmann::ordered_json::array();
    for (const ChangeResult& result : drill.results()) {
        results.push_back(result_json(drill, result));
    }
    const auto right = std::count_if(drill.results().begin(),
                                     drill.results().end(),
                                     [](const ChangeResult& result) { return result.right(); });
    const nlohmann::ordered_json answer{{"right", right}, {"results", std::move(results)}};
    std::fputs(
        answer_json("changes",
                    question,
                    answer.dump(1, ' ', false, nlohmann::ordered_json::error_handler_t::replace))
            .c_str(),
        stdout);
}

void print_rows(const ChangeDrill& drill) {
    std::vector<std::vector<std::string>> rows;
    for (const ChangeResult& result : drill.results()) {
        const ChangeCall& call = drill.calls()[result.call];
        rows.push_back({call.number,
                        call.target.key.id,
                        instrument::describe(drill.horn(), call.right),
                        fmt::format("{:.1f}", result.seconds),
                        call.rest_s ? fmt::format("{:g}", *call.rest_s) : "",
                        result.right() ? "yes" : "no",
                        result.heard ? instrument::stands_id(result.heard->stands) : ""});
    }
    std::fputs(format_table({{"number"},
                             {"key"},
                             {"right_pieces"},
                             {"change_s", true},
                             {"rest_s", true},
                             {"right"},
                             {"heard"}},
                            rows,
                            PlainFormat::csv)
                   .c_str(),
               stdout);
}

/// Into the log, as a session of its own. A drill that nothing came of leaves nothing.
Result<void> keep(const ChangesOptions& options,
                  const ChangeDrill& drill,
                  const std::string& title,
                  const LoadedHorn& horn,
                  double began_s) {
    if (drill.results().empty()) {
        return {};
    }
    auto log =
        open_and_tidy(options.log ? platform::path_of(*options.log) : logbook::default_path());
    if (!log) {
        return tl::unexpected(log.error());
    }
    app::KeptDrill kept;
    horn::Tuning tuning;
    tuning.a4_hz = horn.a4_hz;
    kept.began = app::session_of_drill(drill, title, tuning);
    kept.duration_s = now_s() - began_s;
    kept.changes = app::change_records(drill, title, horn.profile.name);
    const auto session = app::keep_drill(**log, kept);
    return session ? Result<void>() : tl::unexpected(session.error());
}

Result<int> run(const ChangesOptions& options) {
    const auto horn = load_horn(options.horn);
    if (!horn) {
        return tl::unexpected(horn.error());
    }
    auto calls = calls_for(options, *horn);
    if (!calls) {
        return tl::unexpected(calls.error());
    }
    if (calls->calls.empty()) {
        return failure("There is nothing to call: no key can be built from this profile in tune.");
    }
    const bool talks = options.format == TableFormat::table;
    const bool listens = options.listen_s > 0.0 || !options.recordings.empty();
    const double began_s = now_s();
    ChangeDrill drill(horn->lengths, std::move(calls->calls));
    const auto done = listens ? listen(drill, options, talks) : ask(drill, talks);
    if (!done) {
        return tl::unexpected(done.error());
    }
    switch (options.format) {
    case TableFormat::json:
        print_json(options, *horn, drill);
        break;
    case TableFormat::csv:
        print_rows(drill);
        break;
    case TableFormat::table:
        fmt::print("\n{}\n", instrument::summary_words(drill));
        break;
    }
    if (options.recordings.empty()) { // recordings were made another day
        if (const auto kept = keep(options, drill, calls->title, *horn, began_s); !kept) {
            return tl::unexpected(kept.error());
        }
    }
    return 0;
}

} // namespace

void add_changes(CommandLine& line) {
    auto options = std::make_shared<ChangesOptions>();
    const OptionSet command =
        add_command(line,
                    "changes",
                    "Drill changing crooks: a key is called, you name or mount the pieces",
                    [options] { return run(*options); });
    command.add_option("RECORDINGS",
                       options->recordings,
                       "One open note (written C4) after each change, in the order of the calls; "
                       "the call is the recording's beginning");
    add_horn_options(command, options->horn, true);
    command
        .add_option("--setlist",
                    options->set_list,
                    "Rehearse the changes of this list; a quiz over all keys when left out")
        .type_name("FILE");
    command
        .add_option("--listen",
                    options->listen_s,
                    "Hear the mounted horn through the microphone, so long for each change")
        .range(1.0, 600.0)
        .type_name("SECONDS");
    command.add_option("--device", options->device, "Input for --listen: name or part of it")
        .type_name("NAME");
    add_channel_option(command, options->channel);
    command.add_option("--questions", options->questions, "How many keys the quiz asks")
        .range(1, 200)
        .type_name("N");
    command.add_option("--seed", options->seed, "The same quiz again: any whole number")
        .type_name("N");
    add_log_option(command, options->log);
    add_format_option(command, options->format);
}

} // namespace bellhand::cli
