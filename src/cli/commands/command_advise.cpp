#include "chart/text.h"
#include "cli/answer.h"
#include "cli/commands.h"
#include "cli/horn_options.h"
#include "horn/adviser.h"
#include "horn/note.h"
#include "horn/scale.h"
#include "terminal/text_width.h"

#include <cstdio>
#include <memory>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

struct AdviseOptions {
    std::vector<std::string> notes;
    bool sounding = false;
    std::optional<std::string> crook;
    std::optional<std::string> key;
    TableFormat format = TableFormat::table;
};

std::string as_sentences(const std::vector<horn::CrookAdvice>& ranked) {
    std::string text;
    int rank = 0;
    for (const horn::CrookAdvice& advice : ranked) {
        const std::string label = advice.crook.label;
        const std::string padding(10 - std::min<std::size_t>(10, terminal::display_width(label)),
                                  ' ');
        text += fmt::format("{:>2}  {}{}tone {:.1f}  {}\n",
                            ++rank,
                            label,
                            padding,
                            advice.mean_evenness,
                            advice.why);
    }
    return text + "\nTone from 5 (all open) to 1. Ranked by tone, usual partials and how often "
                  "parts ask for the crook.\n";
}

Result<std::vector<int>> sounding_numbers(const AdviseOptions& options) {
    if (!options.sounding && !options.crook) {
        return usage_error("Say which crook the notes are written for, such as --crook D, or add "
                           "--sounding when they are sounding notes.");
    }
    if (options.sounding && options.crook) {
        return usage_error("Choose one: --crook for notes as written for that crook, or --sounding "
                           "for sounding notes.");
    }
    int transposition = 0;
    if (options.crook) {
        const auto crook = horn::parse_crook(*options.crook);
        if (!crook) {
            return tl::unexpected(crook.error());
        }
        transposition = crook->transposition;
    }
    std::vector<int> numbers;
    for (const std::string& text : options.notes) {
        const auto note = horn::parse_note(text);
        if (!note) {
            return tl::unexpected(note.error());
        }
        numbers.push_back(note->number + transposition);
    }
    return numbers;
}

Result<int> print_advice(const AdviseOptions& options) {
    const auto numbers = sounding_numbers(options);
    if (!numbers) {
        return tl::unexpected(numbers.error());
    }
    std::optional<horn::Scale> key;
    if (options.key) {
        const auto parsed = horn::parse_scale(*options.key);
        if (!parsed) {
            return tl::unexpected(parsed.error());
        }
        key = *parsed;
    }
    const auto ranked = horn::advise(*numbers, key);
    if (options.format == TableFormat::table) {
        std::fputs(as_sentences(ranked).c_str(), stdout);
        return 0;
    }
    const chart::Table table = chart::advice_table(ranked);
    std::vector<Column> columns;
    for (const auto& heading : table.headings) {
        columns.push_back({heading.name, heading.number});
    }
    Question question;
    question.more = {
        {"notes", joined(options.notes)},
        {"written_for", options.crook ? Question::Value(*options.crook) : Question::Value()},
        {"key", options.key ? Question::Value(*options.key) : Question::Value()}};
    std::fputs(answer_table("advise", question, columns, table.rows, options.format).c_str(),
               stdout);
    return 0;
}

} // namespace

void add_advise(CommandLine& line) {
    auto options = std::make_shared<AdviseOptions>();
    const OptionSet command = add_command(line,
                                          "advise",
                                          "Which crook suits a passage: all crooks, best first",
                                          [options] { return print_advice(*options); });
    command.add_option("NOTES", options->notes, "The notes of the passage: C4 E4 G4 Bb4 ...")
        .required()
        .type_name("NOTES");
    command.add_option("--crook", options->crook, "The notes are written for this crook")
        .type_name("NAME");
    command.add_flag("--sounding", options->sounding, "The notes are sounding notes");
    command
        .add_option("--key",
                    options->key,
                    "Sounding key of the piece: its usual crooks come first among equals")
        .type_name("KEY");
    add_format_option(command, options->format);
}

} // namespace bellhand::cli
