#include "cli/part_text.h"

#include "cli/commands.h"

#include <algorithm>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

const std::string& bar_number(const part::Part& part, int bar) {
    return part.music.bars[static_cast<std::size_t>(bar)].number;
}

std::string crook_lines(const part::Part& part) {
    std::string text;
    for (std::size_t i = 0; i < part.crooks.size(); ++i) {
        const part::CrookChange& change = part.crooks[i];
        text += fmt::format("  {} {} from bar {}: {}.\n",
                            i == 0 ? "Crook:    " : "          ",
                            change.crook.label,
                            bar_number(part, change.from.bar),
                            change.because);
    }
    return text;
}

std::string compass_line(const part::Part& part) {
    const auto [lowest, highest] = std::minmax_element(
        part.attacks.begin(), part.attacks.end(), [](const part::Attack& a, const part::Attack& b) {
            return a.written.number < b.written.number;
        });
    std::string text = fmt::format("  Notes:     {}, written {} (bar {}) to {} (bar {})",
                                   part.attacks.size(),
                                   horn::display_name(lowest->written),
                                   bar_number(part, lowest->at.bar),
                                   horn::display_name(highest->written),
                                   bar_number(part, highest->at.bar));
    return text + (part.crooks.empty() ? ".\n"
                                       : fmt::format(", sounding {} to {}.\n",
                                                     horn::display_name(lowest->sounding),
                                                     horn::display_name(highest->sounding)));
}

std::string plan_lines(const part::Part& part, const part::Plan& plan) {
    std::string text = "  Hand:     ";
    for (const horn::Hand hand : horn::kHands) {
        text += fmt::format(
            " {} {}", horn::hand_sign(hand), plan.hands[static_cast<std::size_t>(hand)]);
    }
    text += fmt::format("; cost {}.\n", plan.cost);
    for (std::size_t i = 0; i < plan.hardest.size(); ++i) {
        const part::HardBar& bar = plan.hardest[i];
        text += fmt::format("  {} bar {} ({}): {}\n",
                            i == 0 ? "Hardest:  " : "          ",
                            bar_number(part, bar.bar),
                            bar.cost,
                            bar.reason);
    }
    if (plan.hardest.empty()) {
        text += "  Hardest:   no bar is hard.\n";
    }
    for (const std::size_t i : plan.impossible) {
        const part::Attack& attack = part.attacks[i];
        text += fmt::format("  Out of reach: bar {}, note {}: {}\n",
                            bar_number(part, attack.at.bar),
                            attack.in_bar,
                            plan.notes[i].reason);
    }
    return text;
}

std::string sentences(const char* label, const std::vector<std::string>& list) {
    std::string text;
    for (const std::string& sentence : list) {
        text += fmt::format("  {} {}\n", label, sentence);
    }
    return text;
}

} // namespace

std::string part_summary(const part::Part& part,
                         const std::optional<part::Plan>& plan,
                         const std::optional<drill::PartBars>& bars) {
    const int last = static_cast<int>(part.music.bars.size()) - 1;
    std::string text = fmt::format("{}  {}: bars {} to {}{}{}\n",
                                   part.head.id,
                                   part.head.name,
                                   bar_number(part, bars ? bars->first : 0),
                                   bar_number(part, bars ? bars->last : last),
                                   part.order.size() == part.music.bars.size()
                                       ? ""
                                       : fmt::format(", {} with repeats", part.order.size()),
                                   part.players > 1 ? fmt::format(", player {}", part.player) : "");
    text += crook_lines(part) + compass_line(part);
    if (plan) {
        text += plan_lines(part, *plan);
        if (!part.tempo_said) {
            text += fmt::format(
                "  Tempo:     none in the file, ♩ = {:g} is taken; --tempo says another.\n",
                part::kUnsaidTempo);
        }
        text += sentences("Doubt:    ", plan->doubts);
    }
    return text + sentences("Doubt:    ", part.doubts) + sentences("Question: ", part.questions);
}

std::string part_list(const part::Score& score, const std::vector<std::size_t>& parts) {
    constexpr std::size_t kShown = 30;
    std::string text;
    for (std::size_t i = 0; i < parts.size() && i < kShown; ++i) {
        const part::PartHead& head = score.parts()[parts[i]];
        text += (i == 0 ? "" : ", ") + head.id + " " + head.name;
    }
    return text + (parts.size() > kShown ? fmt::format(" and {} more", parts.size() - kShown) : "");
}

std::string crook_ranking(const part::Part& part, const std::vector<part::CrookFit>& fits) {
    const std::vector<Column> columns{{"crook"},
                                      {"cost", true},
                                      {"hand notes", true},
                                      {"out of reach", true},
                                      {"hardest bar", true},
                                      {"its cost", true}};
    std::vector<std::vector<std::string>> rows;
    for (const part::CrookFit& fit : fits) {
        rows.push_back({fit.crook.id,
                        std::to_string(fit.cost),
                        std::to_string(fit.hand_notes),
                        std::to_string(fit.impossible),
                        fit.hardest ? bar_number(part, fit.hardest->bar) : "none",
                        fit.hardest ? std::to_string(fit.hardest->cost) : "-"});
    }
    return format_table(columns, rows, PlainFormat::aligned);
}

Result<std::vector<part::SaidCrook>> crooks_said(const std::vector<std::string>& typed) {
    std::vector<part::SaidCrook> said;
    for (const std::string& text : typed) {
        const std::size_t equals = text.find('=');
        const bool from_bar = equals != std::string::npos;
        const auto crook = horn::parse_crook(from_bar ? text.substr(equals + 1) : text);
        if (!crook) {
            return tl::unexpected(crook.error());
        }
        said.push_back({from_bar ? text.substr(0, equals) : "", *crook});
    }
    return said;
}

Result<drill::PartBars> bars_said(const part::Part& part, const std::optional<std::string>& typed) {
    const int end = static_cast<int>(part.music.bars.size()) - 1;
    if (!typed) {
        return drill::PartBars{0, end};
    }
    const std::size_t dash = typed->find('-', 1);
    const std::string from = typed->substr(0, dash);
    const std::string to = dash == std::string::npos ? from : typed->substr(dash + 1);
    const auto first = part::bar_numbered(part.music, from);
    const auto last = part::bar_numbered(part.music, to);
    if (!first || !last) {
        return usage_error("--bars " + *typed + ": there is no bar \"" + (first ? to : from) +
                           "\"; the part goes from " + part.music.bars.front().number + " to " +
                           part.music.bars.back().number +
                           ", so write the first and the last, such as --bars 12-40.");
    }
    if (*last < *first) {
        return usage_error("--bars " + *typed + " ends before it begins: write --bars " + to + "-" +
                           from + ".");
    }
    return drill::PartBars{*first, *last};
}

} // namespace bellhand::cli
