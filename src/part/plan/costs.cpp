#include "part/plan/costs.h"

#include "datafile/json_fields.h"
#include "datafile/json_text.h"

#include <algorithm>
#include <array>

namespace bellhand::part {

namespace {

constexpr const char* kCommon = "common practice, no source";
constexpr const char* kWidor = "the order of tones: Widor, Initiation musicale, p. 34; the weight: "
                               "common practice, no source";
constexpr const char* kCompass = "Encyclopaedia Britannica, 11th ed. (1911), vol. 13, \"Horn\", "
                                 "table of crooks; the weight: common "
                                 "practice, no source";
constexpr int kMostPoints = 10'000;

constexpr std::array kTable{
    CostEntry{"lips_free_cents", &Costs::lips_free_cents, 100, kCommon},
    CostEntry{"lips_per_10_cents", &Costs::lips_per_10_cents, kMostPoints, kCommon},
    CostEntry{"lips_most", &Costs::lips_most, kMostPoints, kCommon},
    CostEntry{"tone_per_step", &Costs::tone_per_step, kMostPoints, kWidor},
    CostEntry{"poor", &Costs::poor, kMostPoints, kCommon},
    CostEntry{"unusual", &Costs::unusual, kMostPoints, kCommon},
    CostEntry{"stopped_pp", &Costs::stopped_pp, kMostPoints, kCommon},
    CostEntry{"stopped_ff", &Costs::stopped_ff, kMostPoints, kCommon},
    CostEntry{"outside_per_partial", &Costs::outside_per_partial, kMostPoints, kCompass},
    CostEntry{"impossible", &Costs::impossible, kMostPoints, kCommon},
    CostEntry{"exposed_percent", &Costs::exposed_percent, 1000, kCommon},
    CostEntry{"long_ms", &Costs::long_ms, 60'000, kCommon},
    CostEntry{"travel_per_quarter", &Costs::travel_per_quarter, kMostPoints, kCommon},
    CostEntry{"travel_full_ms", &Costs::travel_full_ms, 2000, kCommon},
    CostEntry{"haste_free_percent", &Costs::haste_free_percent, 1000, kCommon},
    CostEntry{"haste_per_10_percent", &Costs::haste_per_10_percent, kMostPoints, kCommon},
    CostEntry{"tone_change_per_step", &Costs::tone_change_per_step, kMostPoints, kWidor},
    CostEntry{"onto_full_stop", &Costs::onto_full_stop, kMostPoints, kCommon},
    CostEntry{"slur_percent", &Costs::slur_percent, 1000, kCommon},
    CostEntry{"same_pitch_other_way", &Costs::same_pitch_other_way, kMostPoints, kCommon},
    CostEntry{"rest_ms", &Costs::rest_ms, 60'000, kCommon},
    CostEntry{"hard_note", &Costs::hard_note, kMostPoints, kCommon}};

} // namespace

std::span<const CostEntry> cost_table() noexcept {
    return kTable;
}

Result<Costs> parse_costs(std::string_view text, const std::string& where) {
    const auto document = datafile::parse_guarded_json(text, where);
    if (!document) {
        return tl::unexpected(document.error());
    }
    datafile::FileProblem problem{where, std::nullopt};
    datafile::Fields top(*document, "", problem, {"$schema", "format", "version", "note", "costs"});
    datafile::check_head(top, "bellhand hand costs", 1);
    top.require("costs", "name the costs that are to differ");
    Costs costs;
    const nlohmann::json* const given = top.find("costs");
    if (given != nullptr && !given->is_object()) {
        problem.refuse("costs", "is no list of names with values");
    } else if (given != nullptr) {
        for (const auto& [name, value] : given->items()) {
            const auto* const entry =
                std::find_if(kTable.begin(),
                             kTable.end(),
                             [&, wanted = std::string_view(name)](const CostEntry& one) {
                                 return wanted == one.name;
                             });
            if (entry == kTable.end()) {
                problem.refuse("costs, " + datafile::plain_line(name),
                               "is no cost; the table of costs lists them");
            } else if (!value.is_number_integer() || value < 0 || value > entry->highest) {
                problem.refuse("costs, " + name,
                               "must be a whole number from 0 to " +
                                   std::to_string(entry->highest));
            } else {
                costs.*entry->value = value.get<int>();
            }
        }
    }
    if (problem.found()) {
        return failure(*problem.sentence);
    }
    return costs;
}

} // namespace bellhand::part
