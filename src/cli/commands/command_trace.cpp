#include "cli/commands.h"
#include "cli/csv_file.h"
#include "cli/recording.h"

#include <iterator>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

/// Column names are a contract: other programs read them.
constexpr const char* kHeader =
    "time_s,f0_hz,confidence,level_dbfs,written,partial,hand,target_hz,deviation_cents,"
    "judged_time_s,judged_hz,f0_sd_cents,judged_sd_cents,closure,hand_confidence\n";

struct TraceOptions {
    RecordingOptions recording;
    std::optional<std::string> out;
};

class TraceRows final : public practice::AnalysisSink {
public:
    explicit TraceRows(CsvFile& out) : out_(out) {}

    /// Once; not before it is known that the recording can be heard.
    void head() {
        if (!headed_) {
            out_.buffer() += kHeader;
            headed_ = true;
        }
    }

    void reading(const trainer::Reading& reading) override {
        head();
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
    bool headed_ = false;
};

Result<int> trace(const TraceOptions& options) {
    auto recording = open_recording(options.recording);
    if (!recording) {
        return tl::unexpected(recording.error());
    }
    auto out = CsvFile::open(options.out);
    if (!out) {
        return tl::unexpected(out.error());
    }
    TraceRows rows(**out);
    const auto analysed = analyse(*recording, rows);
    if (analysed) {
        rows.head();
    }
    if (auto closed = (*out)->close(); !closed) {
        return tl::unexpected(closed.error());
    }
    if (!analysed) {
        return tl::unexpected(analysed.error());
    }
    tell_horn(*analysed, recording->tuning);
    return 0;
}

} // namespace

void add_trace(CommandLine& line) {
    auto options = std::make_shared<TraceOptions>();
    const OptionSet command = add_command(line,
                                          "trace",
                                          "Print the pitch of a recording, a CSV row for each hop",
                                          [options] { return trace(*options); });
    add_recording_options(command, options->recording);
    command.add_option("--out", options->out, "Write here instead of standard output")
        .type_name("FILE");
}

} // namespace bellhand::cli
