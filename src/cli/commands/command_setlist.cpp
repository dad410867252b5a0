#include "cli/change_sheet.h"
#include "core/files.h"
#include "core/platform.h"

#include <algorithm>
#include <cstdio>
#include <memory>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

enum class SheetFormat { table, csv, json, svg, pdf };

struct SetListOptions {
    std::string file;
    HornOptions horn;
    std::string choose = "least-change";
    PlanningOptions planning;
    std::optional<int> slide_places;
    SheetFormat format = SheetFormat::table;
    std::optional<std::string> out;
};

std::string as_text(const ChangeSheet& sheet) {
    return fmt::format("{}{}{}\nA4 = {:g} Hz, chosen for {}.\n\n",
                       sheet.list.title,
                       sheet.list.title.empty() ? "" : " on ",
                       sheet.horn.profile.name,
                       sheet.list.a4_hz,
                       instrument::choose_id(sheet.plan.choose)) +
           change_table(sheet, TableFormat::table) + "\n" + change_summary(sheet);
}

Result<std::string> printed(const ChangeSheet& sheet, SheetFormat format) {
    switch (format) {
    case SheetFormat::csv:
        return change_table(sheet, TableFormat::csv);
    case SheetFormat::json:
        return change_json(sheet);
    case SheetFormat::svg:
        return change_page(sheet, chart::PageFormat::svg);
    case SheetFormat::pdf:
        return change_page(sheet, chart::PageFormat::pdf);
    case SheetFormat::table:
        break;
    }
    return as_text(sheet);
}

Result<int> plan(const SetListOptions& options) {
    const auto choose = instrument::parse_choose(options.choose);
    if (!choose) {
        return tl::unexpected(choose.error());
    }
    auto list = instrument::load_set_list(platform::path_of(options.file));
    if (!list) {
        return tl::unexpected(list.error());
    }
    const auto horn = load_horn(options.horn);
    if (!horn) {
        return tl::unexpected(horn.error());
    }
    // What is typed counts for every number that does not say otherwise itself.
    if (options.horn.a4_hz) {
        list->a4_hz = horn->a4_hz;
    }
    if (options.horn.temperature_c) {
        list->temperature_c = horn->air.temperature_c;
    }
    const auto planning = planning_of(options.planning, *horn);
    if (!planning) {
        return tl::unexpected(planning.error());
    }
    instrument::PlanRequest request;
    request.choose = *choose;
    request.tolerance_cents = planning->tolerance_cents;
    request.most_between = planning->most_between;
    request.from = planning->from;
    request.most_slide_places = options.slide_places;
    const auto plan = instrument::plan_set_list(horn->lengths, *list, horn->air, request);
    if (!plan) {
        return tl::unexpected(plan.error());
    }
    const ChangeSheet sheet{*horn, *list, *plan, options.planning.room_c};
    const auto content = printed(sheet, options.format);
    if (!content) {
        return tl::unexpected(content.error());
    }
    if (options.out) {
        const auto written = write_file_in_one_step(platform::path_of(*options.out), *content);
        if (!written) {
            return tl::unexpected(written.error());
        }
    } else {
        std::fwrite(content->data(), 1, content->size(), stdout);
    }
    const bool all_built = std::all_of(
        plan->steps.begin(), plan->steps.end(), [](const auto& step) { return step.buildable; });
    return all_built ? 0 : 1;
}

} // namespace

void add_setlist(CommandLine& line) {
    auto options = std::make_shared<SetListOptions>();
    const OptionSet command =
        add_command(line,
                    "setlist",
                    "Plan a programme: what to pack, what to change between numbers",
                    [options] { return plan(*options); });
    command.add_option("FILE", options->file, "The set list: keys in order, rests between")
        .type_name("FILE")
        .required();
    add_horn_options(command, options->horn, true);
    command
        .add_option("--choose",
                    options->choose,
                    "What to save: fewest pieces to pack, least change, or least reach")
        .type_name("fewest-pieces|least-change|least-reach");
    add_planning_options(
        command, options->planning, "What is on the horn at the start, names separated by commas");
    command
        .add_option(
            "--slide-places",
            options->slide_places,
            "How many places of the slide the whole list may use (usual: as many as needed; "
            "one or two are found to the millimetre, more on marks 3 or 5 mm apart)")
        .range(1, 16)
        .type_name("N");
    static const std::vector<Choice<SheetFormat>> formats = {{"table", SheetFormat::table},
                                                             {"csv", SheetFormat::csv},
                                                             {"json", SheetFormat::json},
                                                             {"svg", SheetFormat::svg},
                                                             {"pdf", SheetFormat::pdf}};
    command.add_choice("--format",
                       options->format,
                       formats,
                       "How to print: table, csv, json, or a page for the stand as svg or pdf");
    command.add_option("--out", options->out, "Write to this file instead of the terminal")
        .type_name("FILE");
}

} // namespace bellhand::cli
