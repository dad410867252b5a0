#include "part/write/plan_json.h"

#include <cmath>
#include <cstdio>

#include <nlohmann/json.hpp>

namespace bellhand::part {

namespace {

using nlohmann::ordered_json;

const std::string& bar_number(const Part& part, Place at) {
    return part.music.bars[static_cast<std::size_t>(at.bar)].number;
}

/// At most three decimals, none where they are zero, never "-0".
std::string decimal(double value, int most) {
    char text[40];
    std::snprintf(text, sizeof text, "%.*f", most, value);
    std::string cell = text;
    if (cell.find('.') != std::string::npos) {
        cell.erase(cell.find_last_not_of('0') + 1);
        if (cell.back() == '.') {
            cell.pop_back();
        }
    }
    return cell == "-0" ? "0" : cell;
}

bool within(const Attack& attack, int first, int last) {
    return attack.at.bar >= first && attack.at.bar <= last;
}

} // namespace

const std::vector<PlanColumn>& plan_columns() {
    static const std::vector<PlanColumn> kColumns{{"bar", false},
                                                  {"beat", true},
                                                  {"note", true},
                                                  {"written", false},
                                                  {"sounding", false},
                                                  {"crook", false},
                                                  {"partial", true},
                                                  {"hand", false},
                                                  {"lips_cents", true},
                                                  {"cost", true},
                                                  {"reason", false}};
    return kColumns;
}

std::vector<std::vector<std::string>>
plan_rows(const Part& part, const Plan& plan, int first, int last) {
    std::vector<std::vector<std::string>> rows;
    for (std::size_t i = 0; i < part.attacks.size(); ++i) {
        const Attack& attack = part.attacks[i];
        if (!within(attack, first, last)) {
            continue;
        }
        const PlannedNote& planned = plan.notes[i];
        const bool can = planned.choice.has_value();
        rows.push_back({bar_number(part, attack.at),
                        decimal(beat_of(part.music, attack.at), 3),
                        std::to_string(attack.in_bar),
                        horn::ascii_name(attack.written),
                        horn::ascii_name(attack.sounding),
                        part.crooks[attack.crook].crook.id,
                        can ? std::to_string(planned.choice->way.partial) : "",
                        can ? horn::hand_id(planned.choice->way.hand) : "",
                        can ? decimal(planned.choice->lips_cents, 1) : "",
                        std::to_string(planned.cost),
                        planned.reason});
    }
    return rows;
}

std::string plan_json(const Score& score, const Part& part, const Plan& plan, int first, int last) {
    ordered_json top;
    top["file"] = score.where();
    top["part"] = {{"id", part.head.id}, {"name", part.head.name}, {"player", part.player}};
    top["cost"] = plan.cost;
    for (const CrookChange& change : part.crooks) {
        top["changes"].push_back({{"bar", bar_number(part, change.from)},
                                  {"beat", std::stod(decimal(beat_of(part.music, change.from), 3))},
                                  {"crook", change.crook.id},
                                  {"because", change.because}});
    }
    top["doubts"] = part.doubts;
    for (const std::string& doubt : plan.doubts) {
        top["doubts"].push_back(doubt);
    }
    top["pins"] = ordered_json::array();
    top["impossible"] = ordered_json::array();
    top["notes"] = ordered_json::array();
    const std::vector<std::vector<std::string>> rows = plan_rows(part, plan, first, last);
    std::size_t row = 0;
    for (std::size_t i = 0; i < part.attacks.size(); ++i) {
        const Attack& attack = part.attacks[i];
        if (!within(attack, first, last)) {
            continue;
        }
        ordered_json note;
        for (std::size_t column = 0; column < plan_columns().size(); ++column) {
            const PlanColumn& one = plan_columns()[column];
            const std::string& cell = rows[row][column];
            if (cell.empty()) {
                note[one.name] = nullptr;
            } else if (one.number) {
                note[one.name] = std::stod(cell);
                if (cell.find('.') == std::string::npos) {
                    note[one.name] = std::stoll(cell);
                }
            } else {
                note[one.name] = cell;
            }
        }
        ++row;
        const ordered_json place = {{"bar", note["bar"]}, {"note", note["note"]}};
        if (plan.notes[i].pinned) {
            top["pins"].push_back(place);
        }
        if (!plan.notes[i].choice) {
            top["impossible"].push_back(place);
        }
        top["notes"].push_back(std::move(note));
    }
    return top.dump(1);
}

} // namespace bellhand::part
