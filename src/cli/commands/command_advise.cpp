#include "chart/text.h"
#include "cli/answer.h"
#include "cli/horn_options.h"
#include "horn/adviser.h"
#include "horn/note.h"
#include "horn/scale.h"
#include "instrument/planner/missing.h"
#include "terminal/text_width.h"

#include <algorithm>
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
    HornOptions horn;
    TableFormat format = TableFormat::table;
};

/// What the player's own box makes of one crook.
struct Owned {
    std::string pieces; ///< the best stack; empty: it cannot be built
    std::string lacks;  ///< what is missing, when it cannot
};

/// For each crook of the ranking.
std::vector<Owned> owned(const LoadedHorn& horn, const std::vector<horn::CrookAdvice>& ranked) {
    std::vector<Owned> out;
    for (const horn::CrookAdvice& advice : ranked) {
        instrument::BuildRequest request;
        request.target = {advice.crook, horn.a4_hz, horn.air};
        request.most_between = horn.lengths.most_pieces_between;
        request.most_ways = 1;
        const instrument::BuildAnswer answer = instrument::ways_to_build(horn.lengths, request);
        if (answer.in_tune) {
            out.push_back({instrument::describe(horn.lengths, answer.ways.front().stack), ""});
        } else {
            out.push_back(
                {"",
                 instrument::in_words(horn.lengths,
                                      advice.crook,
                                      instrument::what_is_missing(horn.lengths, request))});
        }
    }
    return out;
}

/// `box`: empty, or of the same length as the ranking.
std::string as_sentences(const std::vector<horn::CrookAdvice>& ranked,
                         const std::vector<Owned>& box) {
    std::string text;
    std::string others;
    int rank = 0;
    for (std::size_t i = 0; i < ranked.size(); ++i) {
        const horn::CrookAdvice& advice = ranked[i];
        const std::string label = advice.crook.label;
        if (!box.empty() && box[i].pieces.empty()) {
            others +=
                fmt::format("    {}, tone {:.1f}. {}\n", label, advice.mean_evenness, box[i].lacks);
            continue;
        }
        const std::string padding(10 - std::min<std::size_t>(10, terminal::display_width(label)),
                                  ' ');
        text += fmt::format("{:>2}  {}{}tone {:.1f}  {}{}\n",
                            ++rank,
                            label,
                            padding,
                            advice.mean_evenness,
                            advice.why,
                            box.empty() ? "" : " Yours: " + box[i].pieces + ".");
    }
    text += "\nTone from 5 (all open) to 1. Ranked by tone, usual partials and how often "
            "parts ask for the crook.\n";
    return text + (others.empty() ? "" : "\nNot with your pieces:\n" + others);
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

/// The box in columns of its own; what is not owned has no rank and comes last.
void add_box(const std::vector<Owned>& box,
             std::vector<Column>& columns,
             std::vector<std::vector<std::string>>& rows) {
    columns.push_back({"owned"});
    columns.push_back({"pieces"});
    columns.push_back({"lacks"});
    int rank = 0;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const bool has = !box[i].pieces.empty();
        rows[i][0] = has ? std::to_string(++rank) : "";
        rows[i].insert(rows[i].end(), {has ? "yes" : "no", box[i].pieces, box[i].lacks});
    }
    std::stable_partition(
        rows.begin(), rows.end(), [](const auto& row) { return !row[0].empty(); });
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
    std::vector<Owned> box;
    if (options.horn.profile) {
        const auto horn = load_horn(options.horn);
        if (!horn) {
            return tl::unexpected(horn.error());
        }
        box = owned(*horn, ranked);
    }
    if (options.format == TableFormat::table) {
        std::fputs(as_sentences(ranked, box).c_str(), stdout);
        return 0;
    }
    chart::Table table = chart::advice_table(ranked);
    std::vector<Column> columns;
    for (const auto& heading : table.headings) {
        columns.push_back({heading.name, heading.number});
    }
    if (!box.empty()) {
        add_box(box, columns, table.rows);
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
    add_horn_options(command, options->horn, false);
    add_format_option(command, options->format);
}

} // namespace bellhand::cli
