#include "app/commands.h"
#include "app/csv_file.h"
#include "app/hand_rows.h"
#include "audio/file.h"
#include "practice/offline.h"

#include <iterator>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace bellhand::app {

namespace {

/// Column names are a contract: other programs read them.
constexpr const char* kHeader =
    "time_s,f0_hz,confidence,level_dbfs,written,partial,hand,target_hz,deviation_cents,"
    "judged_time_s,judged_hz,f0_sd_cents,judged_sd_cents,closure,hand_confidence\n";

struct TraceOptions {
    std::string file;
    TuningOptions tuning;
    std::optional<std::string> profile;
    int channel = 0;
    std::optional<std::string> out;
};

class TraceRows final : public practice::AnalysisSink {
public:
    explicit TraceRows(CsvFile& out) : out_(out) {}

    void reading(const trainer::Reading& reading) override {
        const pitch::PitchFrame& frame = reading.frame;
        auto at = std::back_inserter(out_.buffer());
        fmt::format_to(at, "{:.6f},", frame.time_s);
        if (frame.voiced) {
            fmt::format_to(at, "{:.6f}", frame.f0_hz);
        }
        fmt::format_to(at, ",{:.4f},{:.2f},", frame.confidence, frame.level_dbfs);
        if (reading.has_note) {
            fmt::format_to(at,
                           "{},{},{},{:.6f},{:.4f}",
                           horn::ascii_name(reading.note.written),
                           reading.note.partial,
                           horn::hand_id(reading.note.hand),
                           reading.note.target_hz,
                           reading.note.deviation_cents);
        } else {
            fmt::format_to(at, ",,,,");
        }
        if (frame.voiced && frame.judged_hz > 0.0) {
            fmt::format_to(at,
                           ",{:.6f},{:.6f},{:.4f},{:.4f}",
                           frame.judged_time_s,
                           frame.judged_hz,
                           frame.f0_sd_cents,
                           frame.judged_sd_cents);
        } else if (frame.voiced) {
            fmt::format_to(at, ",,,{:.4f},", frame.f0_sd_cents);
        } else {
            fmt::format_to(at, ",,,,");
        }
        const hand::Position& position = reading.hand.position;
        if (position.known) {
            fmt::format_to(at, ",{:.3f},{:.3f}\n", position.closure, position.confidence);
        } else {
            fmt::format_to(at, ",,\n");
        }
        out_.flush_when_long();
    }

    void note(const trainer::PlayedNote& /*note*/, const horn::Tuning& /*tuning*/) override {}

private:
    CsvFile& out_;
};

Result<int> trace(const TraceOptions& options) {
    const auto tuning = resolve_tuning(options.tuning);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    const auto own = own_hand(options.profile, *tuning);
    if (!own) {
        return tl::unexpected(own.error());
    }
    auto source = audio::open_file(options.file, audio::Pace::as_fast_as_possible, options.channel);
    if (!source) {
        return tl::unexpected(source.error());
    }
    auto out = CsvFile::open(options.out);
    if (!out) {
        return tl::unexpected(out.error());
    }
    (*out)->buffer() += kHeader;
    TraceRows rows(**out);
    const auto analysed = practice::analyse(**source, *tuning, rows, *own);
    if (auto closed = (*out)->close(); !closed) {
        return tl::unexpected(closed.error());
    }
    if (!analysed) {
        return tl::unexpected(analysed.error());
    }
    return 0;
}

} // namespace

void add_trace(CommandLine& line) {
    auto options = std::make_shared<TraceOptions>();
    CLI::App& command = add_command(line,
                                    "trace",
                                    "Print the pitch of a recording, a CSV row for each hop",
                                    [options] { return trace(*options); });
    command.add_option("FILE", options->file, "Sound file (WAV, FLAC, OGG)")->required();
    add_tuning_options(command, options->tuning);
    add_hand_profile_option(command, options->profile);
    add_channel_option(command, options->channel);
    command.add_option("--out", options->out, "Write here instead of standard output")
        ->type_name("FILE");
}

} // namespace bellhand::app
