#include "cli/answer.h"
#include "cli/horn_options.h"
#include "instrument/planner/ways.h"

#include <algorithm>
#include <cstdio>
#include <memory>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

struct BuildOptions {
    HornOptions horn;
    std::string key;
    std::optional<std::string> from;
    double tolerance_cents = instrument::kUsualTolerance_cents;
    std::optional<int> most_between;
    std::size_t ways = 10;
    TableFormat format = TableFormat::table;
};

/// A column and its cells; the table on a terminal leaves out those that have nothing to say.
struct Filled {
    Column column;
    std::vector<std::string> cells;
};

std::vector<Filled> columns_of(const LoadedHorn& horn,
                               const instrument::BuildAnswer& answer,
                               bool coming_from,
                               TableFormat format) {
    std::vector<Filled> columns{{{"way", true}, {}},
                                {{"pieces"}, {}},
                                {{"slide_mm", true}, {}},
                                {{"left_cents", true}, {}},
                                {{"before_cents", true}, {}},
                                {{"joints", true}, {}},
                                {{"reach_mm", true}, {}},
                                {{"load_kg", true}, {}},
                                {{"moment_nm", true}, {}},
                                {{"sd_cents", true}, {}},
                                {{"change_s", true}, {}},
                                {{"off"}, {}},
                                {{"on"}, {}}};
    for (std::size_t i = 0; i < answer.ways.size(); ++i) {
        const instrument::Way& way = answer.ways[i];
        const instrument::Assembly assembly =
            instrument::assemble(horn.lengths, way.stack, way.slide.pull_m, horn.a4_hz, horn.air);
        const std::vector<std::string> cells{
            std::to_string(i + 1),
            instrument::describe(horn.lengths, way.stack),
            fmt::format("{:.0f}", 1000.0 * way.slide.pull_m),
            cents_cell(way.slide.left_cents, 1, format),
            cents_cell(way.slide.before_cents, 0, format),
            std::to_string(way.joints),
            fmt::format("{:.0f}", 1000.0 * way.reach_m),
            assembly.load ? fmt::format("{:.2f}", assembly.load->mass_kg) : "",
            assembly.load ? fmt::format("{:.2f}", assembly.load->moment_nm) : "",
            fmt::format("{:.1f}", assembly.sd_cents),
            coming_from ? fmt::format("{:.0f}", way.change.seconds) : "",
            joined(way.change.off),
            joined(way.change.on)};
        for (std::size_t k = 0; k < columns.size(); ++k) {
            columns[k].cells.push_back(cells[k]);
        }
    }
    if (format == TableFormat::table) {
        std::erase_if(columns, [](const Filled& filled) {
            return std::all_of(filled.cells.begin(),
                               filled.cells.end(),
                               [](const std::string& cell) { return cell.empty(); });
        });
    }
    return columns;
}

void explain(const LoadedHorn& horn,
             const instrument::BuildRequest& request,
             const instrument::BuildAnswer& answer) {
    const double f1_hz = horn::fundamental_hz({request.target.key, horn.a4_hz, {}});
    fmt::print("{} at A4 = {:g} Hz, air in the horn {:g} °C: f1 {:.3f} Hz, acoustic length "
               "{:.3f} m.\n",
               request.target.key.label,
               horn.a4_hz,
               horn.air.temperature_c,
               f1_hz,
               instrument::target_length_m(request.target));
    if (answer.in_tune) {
        fmt::print("{} of {} stacks are in tune within {:g} cents; the best:\n\n",
                   answer.found,
                   answer.stacks,
                   request.tolerance_cents);
    } else {
        fmt::print("None of {} stacks comes within {:g} cents; the nearest:\n\n",
                   answer.stacks,
                   request.tolerance_cents);
    }
}

void caution(const LoadedHorn& horn, const instrument::BuildAnswer& answer, bool coming_from) {
    fmt::print("\nslide_mm: how far to pull the slide; left: cents that remain, before: with the "
               "slide where it usually stands.\n");
    bool estimated = false;
    std::string warning;
    for (const instrument::Way& way : answer.ways) {
        const instrument::Assembly assembly =
            instrument::assemble(horn.lengths, way.stack, way.slide.pull_m, horn.a4_hz, horn.air);
        estimated = estimated || assembly.reach_estimated;
        warning = warning.empty() ? assembly.caution : warning;
    }
    if (estimated) {
        fmt::print("Reach is partly an estimate: the profile does not give reach_m for every "
                   "piece.\n");
    }
    if (coming_from) {
        fmt::print("Seconds of change are an estimate.\n");
    }
    if (!warning.empty()) {
        fmt::print("{}\n", warning);
    }
}

Result<int> build(const BuildOptions& options) {
    const auto key = horn::parse_crook(options.key);
    if (!key) {
        return tl::unexpected(key.error());
    }
    if (!(options.tolerance_cents >= 0.0 && options.tolerance_cents <= 100.0)) {
        return usage_error("--tolerance must lie between 0 and 100 cents.");
    }
    const auto horn = load_horn(options.horn);
    if (!horn) {
        return tl::unexpected(horn.error());
    }
    const auto from = stack_from(horn->lengths, options.from);
    if (!from) {
        return tl::unexpected(from.error());
    }
    instrument::BuildRequest request;
    request.target = {*key, horn->a4_hz, horn->air};
    request.tolerance_cents = options.tolerance_cents;
    const auto most = instrument::checked_most_between(
        horn->lengths, options.most_between.value_or(horn->lengths.most_pieces_between));
    if (!most) {
        return tl::unexpected(most.error());
    }
    request.most_between = *most;
    request.from = *from;
    request.most_ways = options.ways;
    const instrument::BuildAnswer answer = instrument::ways_to_build(horn->lengths, request);
    const bool table = options.format == TableFormat::table;
    if (table) {
        explain(*horn, request, answer);
    }
    std::vector<Column> headings;
    std::vector<std::vector<std::string>> rows(answer.ways.size());
    for (const Filled& filled : columns_of(*horn, answer, from->has_value(), options.format)) {
        headings.push_back(filled.column);
        for (std::size_t i = 0; i < rows.size(); ++i) {
            rows[i].push_back(filled.cells[i]);
        }
    }
    Question question = question_of(*horn, options.horn);
    question.more = {{"key", key->id},
                     {"tolerance_cents", options.tolerance_cents},
                     {"most_between", static_cast<double>(request.most_between)},
                     {"from", options.from ? Question::Value(*options.from) : Question::Value()}};
    std::fputs(answer_table("build", question, headings, rows, options.format).c_str(), stdout);
    if (table) {
        caution(*horn, answer, from->has_value());
    }
    return 0;
}

} // namespace

void add_build(CommandLine& line) {
    auto options = std::make_shared<BuildOptions>();
    const OptionSet command =
        add_command(line,
                    "build",
                    "Every way to build a key from your crooks and couplers, best first",
                    [options] { return build(*options); });
    command.add_option("--key", options->key, "The key: Eb, G, Bb-alto, C-basso ...")
        .type_name("KEY")
        .required();
    add_horn_options(command, options->horn, true);
    command
        .add_option("--from",
                    options->from,
                    "What is on the horn now, names separated by commas: tells what to swap")
        .type_name("NAMES");
    command
        .add_option("--tolerance",
                    options->tolerance_cents,
                    "Cents that may remain after the slide, 0 to 100")
        .type_name("CENTS");
    command
        .add_option("--most-between",
                    options->most_between,
                    "Most couplers and bits in one stack (usual: as the profile says)")
        .range(0, 32)
        .type_name("N");
    command.add_option("--ways", options->ways, "How many to print, the best first")
        .range(1, 10000)
        .type_name("N");
    add_format_option(command, options->format);
}

} // namespace bellhand::cli
