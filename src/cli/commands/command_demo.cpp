#include "app/demo.h"
#include "audio/file.h"
#include "cli/answer.h"
#include "cli/commands.h"
#include "core/platform.h"

#include <cstdio>
#include <fstream>
#include <memory>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

struct DemoOptions {
    std::string out;
    std::optional<std::string> truth;
    std::uint64_t seed = 1;
    int passes = 1;
    double rate_hz = 48000.0;
    TuningOptions tuning;
};

std::string truth_table(const app::DemoScore& score) {
    std::vector<std::vector<std::string>> rows;
    for (const app::DemoNote& note : score.notes) {
        rows.push_back({fmt::format("{:.3f}", note.start_s),
                        fmt::format("{:.3f}", note.duration_s),
                        horn::ascii_name(note.played),
                        std::to_string(note.partial),
                        horn::hand_id(note.hand),
                        fmt::format("{:.4f}", note.f0_hz),
                        fmt::format("{:.2f}", note.deviation_cents)});
    }
    return answer_table("demo-truth",
                        {},
                        {{"start_s", true},
                         {"duration_s", true},
                         {"written"},
                         {"partial", true},
                         {"hand"},
                         {"f0_hz", true},
                         {"deviation_cents", true}},
                        rows,
                        TableFormat::csv);
}

Result<int> write_demo(const DemoOptions& options) {
    const auto tuning = resolve_tuning(options.tuning);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    const app::DemoScore score = app::demo_score(*tuning, options.seed, options.passes);
    if (const auto playable = audio::check_score(score.sound, options.rate_hz); !playable) {
        return tl::unexpected(playable.error());
    }
    if (const auto written = audio::write_file(platform::path_of(options.out),
                                               audio::render(score.sound, options.rate_hz),
                                               options.rate_hz);
        !written) {
        return tl::unexpected(written.error());
    }
    if (options.truth) {
        std::ofstream file(platform::path_of(*options.truth), std::ios::binary);
        file << truth_table(score);
        file.close();
        if (!file) {
            return failure("'" + *options.truth + "' cannot be written.");
        }
    }
    return 0;
}

} // namespace

void add_demo(CommandLine& line) {
    auto options = std::make_shared<DemoOptions>();
    const OptionSet command =
        add_command(line, "demo", "Write what the demo player plays as a sound file", [options] {
            return write_demo(*options);
        });
    command.add_option("FILE", options->out, "The sound file to write: .wav or .flac")
        .required()
        .type_name("FILE");
    command
        .add_option("--truth", options->truth, "Also write what was played, note by note, as CSV")
        .type_name("FILE");
    command
        .add_option(
            "--seed", options->seed, "Seed of the demo player: another number, another performance")
        .type_name("N");
    command.add_option("--passes", options->passes, "How often it plays the exercise")
        .range(1, 500)
        .type_name("N");
    command.add_option("--rate", options->rate_hz, "Samples a second, 8000 to 192000")
        .type_name("HZ");
    add_tuning_options(command, options->tuning);
}

} // namespace bellhand::cli
