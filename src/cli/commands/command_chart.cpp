#include "chart/page.h"
#include "chart/sheet.h"
#include "chart/text.h"
#include "cli/answer.h"
#include "cli/commands.h"
#include "core/platform.h"
#include "horn/hand_response.h"
#include "instrument/measured_hand.h"

#include <cstdio>
#include <fstream>
#include <memory>

namespace bellhand::cli {

namespace {

enum class ChartFormat { table, csv, json, svg, pdf };

struct ChartOptions {
    TuningOptions tuning;
    std::optional<std::string> profile;
    ChartFormat format = ChartFormat::table;
    horn::BassClef bass_clef = horn::BassClef::sounding_octave;
    std::optional<std::string> key;
    bool sounding = false;
    std::optional<std::string> out;
};

std::vector<Column> columns_of(const chart::Table& table) {
    std::vector<Column> columns;
    for (const auto& heading : table.headings) {
        columns.push_back({heading.name, heading.number});
    }
    return columns;
}

std::string aligned(const chart::Table& table) {
    return format_table(columns_of(table), table.rows, PlainFormat::aligned);
}

Question question_of(const ChartOptions& options, const horn::Tuning& tuning) {
    Question question;
    question.tuning = tuning;
    question.profile = options.profile;
    return question;
}

std::string for_terminal(const chart::Sheet& sheet) {
    const std::string key = chart::key_words(sheet.tuning);
    std::string text = chart::sheet_title(sheet) + (key.empty() ? "" : "\n" + key) +
                       "\nHand: " + sheet.hand_source +
                       ".\nCents from the nominal open partial: needed = hand + lips. Tone from 5 "
                       "(open) to 1 (full "
                       "stop).\nSigns: o open, ¼ ½ ¾ covered, + full stop.\n\n" +
                       aligned(chart::terminal_table(sheet));
    if (sheet.key) {
        text += "\nWritten " + horn::scale_label(*sheet.key) +
                " (marked *), octave by octave in the usual ways:\n" +
                aligned(chart::scale_table(sheet));
    }
    return text;
}

Result<std::string> in_format(const chart::Sheet& sheet, const ChartOptions& options) {
    const chart::Table full = chart::full_table(sheet);
    switch (options.format) {
    case ChartFormat::csv:
        return answer_table("chart",
                            question_of(options, sheet.tuning),
                            columns_of(full),
                            full.rows,
                            TableFormat::csv);
    case ChartFormat::json:
        return answer_json("chart", question_of(options, sheet.tuning), chart::sheet_json(sheet));
    case ChartFormat::svg:
        return chart::sheet_page(sheet, chart::PageFormat::svg);
    case ChartFormat::pdf:
        return chart::sheet_page(sheet, chart::PageFormat::pdf);
    case ChartFormat::table:
        break;
    }
    return for_terminal(sheet);
}

Result<int> write_out(const std::string& content, const std::optional<std::string>& path) {
    if (!path) {
        std::fwrite(content.data(), 1, content.size(), stdout);
        return 0;
    }
    std::ofstream file(platform::path_of(*path), std::ios::binary);
    file.write(content.data(), static_cast<std::streamsize>(content.size()));
    file.close();
    if (!file) {
        return failure("The chart could not be written to " + *path +
                       ": check that the folder exists, is writable and has room.");
    }
    return 0;
}

// The hand the cents are for: modelled, with what a profile has measured on top.
Result<horn::HandResponse> hand_of(const ChartOptions& options, const horn::Tuning& tuning) {
    horn::HandResponse modelled = horn::hand_response(tuning);
    if (!options.profile) {
        return modelled;
    }
    const auto profile = instrument::load_profile(platform::path_of(*options.profile));
    if (!profile) {
        return tl::unexpected(profile.error());
    }
    return instrument::measured_hand_response(*profile, tuning, modelled);
}

Result<int> print_chart(const ChartOptions& options) {
    const auto tuning = resolve_tuning(options.tuning);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    std::optional<horn::Scale> key;
    if (options.key) {
        const auto parsed = horn::parse_scale(*options.key);
        if (!parsed) {
            return tl::unexpected(parsed.error());
        }
        key = options.sounding ? chart::written_key(*parsed, tuning->crook) : *parsed;
    } else if (options.sounding) {
        return usage_error("--sounding says how to read --key: give a key too, such as --key G.");
    }
    const auto hand = hand_of(options, *tuning);
    if (!hand) {
        return tl::unexpected(hand.error());
    }
    const chart::Sheet sheet = chart::make_sheet(*tuning, *hand, options.bass_clef, key);
    const auto content = in_format(sheet, options);
    if (!content) {
        return tl::unexpected(content.error());
    }
    return write_out(*content, options.out);
}

} // namespace

void add_chart(CommandLine& line) {
    auto options = std::make_shared<ChartOptions>();
    const OptionSet command = add_command(line,
                                          "chart",
                                          "The hand chart of a crook: every note, partial and hand",
                                          [options] { return print_chart(*options); });
    add_tuning_options(command, options->tuning);
    static const std::vector<Choice<ChartFormat>> kFormats = {{"table", ChartFormat::table},
                                                              {"csv", ChartFormat::csv},
                                                              {"json", ChartFormat::json},
                                                              {"svg", ChartFormat::svg},
                                                              {"pdf", ChartFormat::pdf}};
    command.add_choice(
        "--format",
        options->format,
        kFormats,
        "How to print: table, csv, json, or a page for the music stand as svg or pdf");
    command
        .add_option("--profile",
                    options->profile,
                    "Your horn: its calibration takes the place of those cents")
        .type_name("FILE");
    static const std::vector<Choice<horn::BassClef>> kClefs = {
        {"new", horn::BassClef::sounding_octave}, {"old", horn::BassClef::octave_lower}};
    command.add_choice("--bass-clef",
                       options->bass_clef,
                       kClefs,
                       "Notation of the bass clef: new, or old (an octave lower)");
    command
        .add_option(
            "--key", options->key, "Written key whose notes to mark and count: G-major, Bb-minor")
        .type_name("KEY");
    command.add_flag("--sounding", options->sounding, "The key of --key is the sounding one");
    command.add_option("--out", options->out, "Write to this file instead of the terminal")
        .type_name("FILE");
}

} // namespace bellhand::cli
