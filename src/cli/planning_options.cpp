#include "cli/planning_options.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace bellhand::cli {

void add_planning_options(const OptionSet& parser,
                          PlanningOptions& options,
                          const char* from_words) {
    parser.add_option("--from", options.from, from_words).type_name("NAMES");
    parser
        .add_option("--tolerance",
                    options.tolerance_cents,
                    "Cents that may remain after the slide, 0 to 100")
        .type_name("CENTS");
    parser
        .add_option("--most-between",
                    options.most_between,
                    "Most couplers and bits in one stack (usual: as the profile says)")
        .range(0, 32)
        .type_name("N");
    parser
        .add_option("--room",
                    options.room_c,
                    "Temperature of the room: tells cents and slide now and in twenty minutes")
        .range(-10, 45)
        .type_name("DEGREES");
}

Result<Planning> planning_of(const PlanningOptions& options, const LoadedHorn& horn) {
    if (!(options.tolerance_cents >= 0.0 && options.tolerance_cents <= 100.0)) {
        return usage_error("--tolerance must lie between 0 and 100 cents.");
    }
    auto from = stack_from(horn.lengths, options.from);
    if (!from) {
        return tl::unexpected(from.error());
    }
    return Planning{*from,
                    options.tolerance_cents,
                    options.most_between.value_or(horn.lengths.most_pieces_between)};
}

std::string in_words(const instrument::WarmUp& warm) {
    return fmt::format("now {:.0f} °C; in twenty minutes about {:.0f} °C (± {:.0f}), {:.0f} cents "
                       "higher (± {:.0f})",
                       warm.now_c,
                       warm.later_c,
                       2.0 * warm.later_sd_c,
                       warm.rise_cents,
                       2.0 * warm.rise_sd_cents);
}

std::string in_words(const instrument::WarmSlide& slide) {
    return fmt::format("slide {:.0f} mm ({:+.0f} cents left), then {:.0f} mm ({:+.0f})",
                       1000.0 * slide.now.pull_m,
                       slide.now.left_cents + 0.0,
                       1000.0 * slide.later.pull_m,
                       slide.later.left_cents + 0.0);
}

nlohmann::ordered_json warm_json(const instrument::WarmUp& warm, double room_c) {
    return {{"after_s", 60.0 * kWarmAfter_min},
            {"room_c", room_c},
            {"now_c", warm.now_c},
            {"later_c", warm.later_c},
            {"later_sd_c", warm.later_sd_c},
            {"rise_cents", warm.rise_cents},
            {"rise_sd_cents", warm.rise_sd_cents}};
}

void add_warm_slide(nlohmann::ordered_json& out, const instrument::WarmSlide& slide) {
    out["slide_now_m"] = slide.now.pull_m;
    out["left_now_cents"] = slide.now.left_cents;
    out["slide_later_m"] = slide.later.pull_m;
    out["left_later_cents"] = slide.later.left_cents;
}

} // namespace bellhand::cli
