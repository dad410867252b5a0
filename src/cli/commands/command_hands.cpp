#include "app/calibration_hearing.h"
#include "app/own_notes.h"
#include "cli/answer.h"
#include "cli/commands.h"
#include "cli/hand_rows.h"
#include "cli/note_rows.h"
#include "cli/recording.h"
#include "core/platform.h"
#include "horn/hand_response.h"
#include "instrument/calibration/calibration_closing.h"

#include <cstdio>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

constexpr double kShortestFall_s =
    1.0; // what falls faster is a slur or a hand change, no slow closing
constexpr double kLeastOfFall = 0.25; // of the fall to a full stop; what sinks less drifts

struct HandsOptions {
    RecordingOptions recording;
    bool closing = false;
    bool learn = false;
    TableFormat format = TableFormat::table;
};

class HeardNotes final : public practice::AnalysisSink {
public:
    std::vector<trainer::PlayedNote> notes;
    std::vector<instrument::ClosingSample> readings;

    void reading(const trainer::Reading& reading) override {
        const pitch::PitchFrame& frame = reading.frame;
        if (frame.voiced && frame.judged_hz > 0.0) {
            readings.push_back({frame.judged_time_s, frame.judged_hz});
        }
    }
    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        notes.push_back(note);
    }
};

std::string explained(const HeardNotes& heard, bool own) {
    std::string out =
        own ? "Hand as measured on this player; lips within 8 cents.\n"
            : "Modelled hand, computed, not measured: calibrate for a surer answer.\n";
    std::size_t known = 0;
    for (const trainer::PlayedNote& note : heard.notes) {
        out += heard_paragraph(note);
        known += note.heard.heard ? 1 : 0;
    }
    out += fmt::format(
        "{} notes, the hand heard in {}. Steadiness bands are common practice, no "
        "source; a half-stopped horn was modelled, not measured. What colour says rests "
        "on tones with two kinds of mute, none of them a hand in a bell.\n",
        heard.notes.size(),
        known);
    return out;
}

/// Each slow closing of the recording: what was played beside what the model predicts for an even movement.
Result<int> print_closings(const HeardNotes& heard,
                           const Question& question,
                           const horn::Tuning& tuning,
                           const horn::HandResponse& response,
                           TableFormat format) {
    std::vector<std::vector<std::string>> rows;
    const double f1_hz = horn::fundamental_hz(tuning);
    std::string trouble = "no tone of a second or longer";
    for (const auto& breath : app::breaths(heard.readings)) {
        const int partial = app::first_partial(breath, f1_hz);
        if (partial < 2) {
            continue;
        }
        const auto closing = instrument::measure_closing(
            breath, {partial, f1_hz, response.open_cents[static_cast<std::size_t>(partial - 2)]});
        if (!closing) {
            trouble = closing.error().message;
            continue;
        }
        if (closing->lands_s - closing->starts_s < kShortestFall_s) {
            trouble = "a fall shorter than a second is a change of note";
            continue;
        }
        const double open = horn::response_at(response, partial, 0.0);
        const double whole_fall = open - horn::response_at(response, partial, 1.0);
        if (-closing->fall_cents < kLeastOfFall * whole_fall) {
            trouble = "a note sank less than a hand that closes by half would lower it";
            continue;
        }
        for (const instrument::ClosingPoint& point : closing->curve) {
            const double predicted = horn::response_at(response, partial, point.share) - open;
            rows.push_back({fmt::format("{:.2f}", closing->starts_s),
                            std::to_string(partial),
                            fmt::format("{:.3f}", point.share),
                            fmt::format("{:.1f}", point.cents),
                            fmt::format("{:.1f}", predicted)});
        }
    }
    if (rows.empty()) {
        return failure("No slow closing was found (" + trouble +
                       "); hold an open note and close the hand over some four seconds.");
    }
    std::fputs(answer_table("closings",
                            question,
                            {{"start_s", true},
                             {"partial", true},
                             {"closing", true},
                             {"cents", true},
                             {"predicted_cents", true}},
                            rows,
                            format)
                   .c_str(),
               stdout);
    return 0;
}

Result<int> hands(const HandsOptions& options) {
    auto recording = open_recording(options.recording);
    if (!recording) {
        return tl::unexpected(recording.error());
    }
    HeardNotes heard;
    const auto horn = analyse(*recording, heard);
    if (!horn) {
        return tl::unexpected(horn.error());
    }
    if (horn->doubted()) {
        take_back_advice(heard.notes);
    }
    tell_horn(*horn, recording->tuning);
    if (options.learn && horn->doubted()) {
        return failure("Nothing was kept in the profile: perhaps another horn sounds than the one "
                       "that was named.");
    }
    if (options.learn) {
        std::vector<hand::Colour> taught;
        for (const trainer::PlayedNote& note : heard.notes) {
            if (note.heard.taught.known) {
                taught.push_back(note.heard.taught);
            }
        }
        if (auto kept = app::keep_own_notes(platform::path_of(*options.recording.profile), taught);
            !kept) {
            return tl::unexpected(kept.error());
        }
    }
    if (options.closing) {
        return print_closings(heard,
                              question_of(options.recording, *recording),
                              recording->tuning,
                              recording->own ? recording->own->response
                                             : horn::hand_response(recording->tuning),
                              options.format);
    }
    if (options.format == TableFormat::table) {
        std::fputs(explained(heard, recording->own.has_value()).c_str(), stdout);
        return 0;
    }
    std::vector<Column> columns = note_columns();
    std::vector<std::vector<std::string>> rows;
    for (const Column& column : heard_columns()) {
        columns.push_back(column);
    }
    columns.push_back({"words"});
    for (const trainer::PlayedNote& note : heard.notes) {
        std::vector<std::string> row = note_row(note);
        const std::vector<std::string> more = heard_row(note);
        row.insert(row.end(), more.begin(), more.end());
        row.push_back(note.heard.heard ? hand::advice_text(note.heard.advice,
                                                           note.heard.intent,
                                                           note.heard.estimate.position)
                                       : std::string());
        rows.push_back(std::move(row));
    }
    std::fputs(
        answer_table(
            "hands", question_of(options.recording, *recording), columns, rows, options.format)
            .c_str(),
        stdout);
    return 0;
}

} // namespace

void add_hands(CommandLine& line) {
    auto options = std::make_shared<HandsOptions>();
    const OptionSet command = add_command(line,
                                          "hands",
                                          "Explain note by note what the hand did in a recording",
                                          [options] { return hands(*options); });
    add_recording_options(command, options->recording);
    command.add_flag("--closing",
                     options->closing,
                     "The recording is a slow closing: print its curve beside the predicted one");
    command
        .add_flag("--learn",
                  options->learn,
                  "Keep the open notes of this recording in the profile: your own colour, "
                  "microphone and room")
        .needs("--profile");
    add_format_option(command, options->format);
}

} // namespace bellhand::cli
