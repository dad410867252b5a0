#include "cli/answer.h"
#include "cli/planning_options.h"
#include "instrument/planner/missing.h"

#include <algorithm>
#include <cstdio>
#include <memory>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace bellhand::cli {

namespace {

struct BuildOptions {
    HornOptions horn;
    std::string key;
    PlanningOptions planning;
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
                                {{"sure_percent", true}, {}},
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
            fmt::format("{:.0f}", 100.0 * way.chance),
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
        fmt::print(
            "None of {} stacks comes within {:g} cents as far as their lengths are known; the "
            "nearest:\n\n",
            answer.stacks,
            request.tolerance_cents);
    }
}

/// What was not searched, when the box is too large for the whole question.
std::string not_searched(const instrument::BuildRequest& request,
                         const instrument::BuildAnswer& answer,
                         std::size_t pieces) {
    const int asked = std::min(request.most_between, static_cast<int>(pieces));
    return answer.searched_between >= asked
               ? ""
               : fmt::format("Stacks with more than {} couplers and bits were not searched: there "
                             "are too many of them.",
                             answer.searched_between);
}

/// The best way cold and after twenty minutes of playing.
std::string warm_up_text(const LoadedHorn& horn,
                         const instrument::Way& way,
                         const instrument::Target& target,
                         double room_c) {
    const auto warm = instrument::warm_up(target.air.temperature_c, room_c, kWarmAfter_min);
    return fmt::format("\nWarm-up: {}.\n{}: {}.\n",
                       in_words(warm),
                       instrument::describe(horn.lengths, way.stack),
                       in_words(instrument::warm_slide(horn.lengths, way.stack, target, warm)));
}

void caution(const LoadedHorn& horn, const instrument::BuildAnswer& answer, bool coming_from) {
    fmt::print(
        "\nslide_mm: how far to pull the slide; left: cents that remain, before: with the "
        "slide where it usually stands; sure: chance that the slide reaches the key, by what "
        "is known of the lengths (sd).\n");
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

nlohmann::ordered_json way_json(const LoadedHorn& horn, const instrument::Way& way) {
    const instrument::Assembly assembly =
        instrument::assemble(horn.lengths, way.stack, way.slide.pull_m, horn.a4_hz, horn.air);
    nlohmann::ordered_json out{{"pieces", instrument::names_of(horn.lengths, way.stack)},
                               {"in_tune", way.in_tune},
                               {"sure_share", way.chance},
                               {"slide_m", way.slide.pull_m},
                               {"left_cents", way.slide.left_cents},
                               {"before_cents", way.slide.before_cents},
                               {"sd_cents", assembly.sd_cents},
                               {"joints", way.joints},
                               {"reach_m", way.reach_m},
                               {"change_s", way.change.seconds},
                               {"off", way.change.off},
                               {"on", way.change.on}};
    if (assembly.load) {
        out["load_kg"] = assembly.load->mass_kg;
        out["moment_nm"] = assembly.load->moment_nm;
    }
    return out;
}

nlohmann::ordered_json
missing_json(const LoadedHorn& horn, const horn::Crook& key, const instrument::Missing& missing) {
    nlohmann::ordered_json out{{"sentence", instrument::in_words(horn.lengths, key, missing)},
                               {"too_long", missing.too_long},
                               {"tube_m", missing.by_m},
                               {"left_cents", missing.by_cents},
                               {"nearest", instrument::names_of(horn.lengths, missing.nearest)},
                               {"make", nullptr}};
    if (missing.make) {
        const bool crook = missing.make->kind == instrument::PieceKind::terminal_crook;
        const bool bit = missing.make->kind == instrument::PieceKind::tuning_bit;
        out["make"] = {
            {"kind",
             crook ? "crook"
             : bit ? "bit"
                   : "coupler"},
            {crook ? "instead_of" : "on", instrument::names_of(horn.lengths, missing.make->on)},
            {"tube_m", missing.make->tape_m},
            {"tube_sd_m", missing.make->sd_m},
            {"slide_m", missing.make->pull_m}};
    }
    return out;
}

nlohmann::ordered_json warm_way_json(const LoadedHorn& horn,
                                     const instrument::Way& way,
                                     const instrument::Target& target,
                                     double room_c) {
    const auto warm = instrument::warm_up(target.air.temperature_c, room_c, kWarmAfter_min);
    nlohmann::ordered_json out = warm_json(warm, room_c);
    add_warm_slide(out, instrument::warm_slide(horn.lengths, way.stack, target, warm));
    return out;
}

/// A build question with its answer, ready to be printed.
struct Answered {
    instrument::BuildRequest request;
    instrument::BuildAnswer answer;
    std::optional<instrument::Missing> missing; ///< when nothing is in tune
    std::string not_searched;
};

void print_json(const LoadedHorn& horn, const BuildOptions& options, const Answered& all) {
    Question question = question_of(horn, options.horn);
    question.more = {
        {"key", std::string(all.request.target.key.id)},
        {"tolerance_cents", all.request.tolerance_cents},
        {"most_between", static_cast<double>(all.request.most_between)},
        {"from",
         options.planning.from ? Question::Value(*options.planning.from) : Question::Value()}};
    nlohmann::ordered_json answer{{"in_tune", all.answer.in_tune},
                                  {"found", all.answer.found},
                                  {"stacks", all.answer.stacks},
                                  {"searched_between", all.answer.searched_between},
                                  {"not_searched", all.not_searched},
                                  {"warnings", horn.lengths.warnings},
                                  {"ways", nlohmann::ordered_json::array()},
                                  {"missing", nullptr},
                                  {"warm_up", nullptr}};
    for (const instrument::Way& way : all.answer.ways) {
        answer["ways"].push_back(way_json(horn, way));
    }
    if (all.missing) {
        answer["missing"] = missing_json(horn, all.request.target.key, *all.missing);
    }
    if (options.planning.room_c && !all.answer.ways.empty()) {
        answer["warm_up"] = warm_way_json(
            horn, all.answer.ways.front(), all.request.target, *options.planning.room_c);
    }
    std::fputs(
        answer_json("build",
                    question,
                    answer.dump(1, ' ', false, nlohmann::ordered_json::error_handler_t::replace))
            .c_str(),
        stdout);
}

void print_rows(const LoadedHorn& horn, const BuildOptions& options, const Answered& all) {
    std::vector<Column> headings;
    std::vector<std::vector<std::string>> rows(all.answer.ways.size());
    for (const Filled& filled :
         columns_of(horn, all.answer, all.request.from.has_value(), options.format)) {
        headings.push_back(filled.column);
        for (std::size_t i = 0; i < rows.size(); ++i) {
            rows[i].push_back(filled.cells[i]);
        }
    }
    std::fputs(
        format_table(headings,
                     rows,
                     options.format == TableFormat::csv ? PlainFormat::csv : PlainFormat::aligned)
            .c_str(),
        stdout);
}

void print_text(const LoadedHorn& horn, const BuildOptions& options, const Answered& all) {
    explain(horn, all.request, all.answer);
    print_rows(horn, options, all);
    caution(horn, all.answer, all.request.from.has_value());
    if (!all.not_searched.empty()) {
        fmt::print("{}\n", all.not_searched);
    }
    if (options.planning.room_c && !all.answer.ways.empty()) {
        fmt::print(
            "{}",
            warm_up_text(
                horn, all.answer.ways.front(), all.request.target, *options.planning.room_c));
    }
    if (all.missing) {
        fmt::print("\n{}\n",
                   instrument::in_words(horn.lengths, all.request.target.key, *all.missing));
    }
}

Result<int> build(const BuildOptions& options) {
    const auto key = horn::parse_crook(options.key);
    if (!key) {
        return tl::unexpected(key.error());
    }
    const auto horn = load_horn(options.horn);
    if (!horn) {
        return tl::unexpected(horn.error());
    }
    const auto planning = planning_of(options.planning, *horn);
    if (!planning) {
        return tl::unexpected(planning.error());
    }
    Answered all;
    all.request.target = {*key, horn->a4_hz, horn->air};
    all.request.tolerance_cents = planning->tolerance_cents;
    all.request.most_between = planning->most_between;
    all.request.from = planning->from;
    all.request.most_ways = options.ways;
    all.answer = instrument::ways_to_build(horn->lengths, all.request);
    all.not_searched = not_searched(all.request, all.answer, horn->lengths.between.size());
    if (!all.answer.in_tune) {
        all.missing = instrument::what_is_missing(horn->lengths, all.request);
    }
    switch (options.format) {
    case TableFormat::json:
        print_json(*horn, options, all);
        break;
    case TableFormat::csv:
        print_rows(*horn, options, all);
        break;
    case TableFormat::table:
        print_text(*horn, options, all);
        break;
    }
    return all.answer.in_tune ? 0 : 1;
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
    add_planning_options(command,
                         options->planning,
                         "What is on the horn now, names separated by commas: tells what to swap");
    command.add_option("--ways", options->ways, "How many to print, the best first")
        .range(1, 10000)
        .type_name("N");
    add_format_option(command, options->format);
}

} // namespace bellhand::cli
