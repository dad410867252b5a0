#include "terminal/run_screen.h"

#include "report/text.h"
#include "terminal/text_width.h"
#include "words/verdict.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace bellhand::terminal {

namespace {

using run::Stage;

/// Breaks at blanks to `columns` cells.
void add_wrapped(std::vector<std::string>& lines, const std::string& text, int columns) {
    std::string line;
    std::size_t at = 0;
    while (at < text.size()) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        const std::string word = text.substr(at, end - at);
        const bool fits = display_width(line) + 1 + display_width(word) <=
                          static_cast<std::size_t>(std::max(columns, 1));
        if (!line.empty() && !fits) {
            lines.push_back(line);
            line.clear();
        }
        line += (line.empty() ? "" : " ") + word;
        at = end + 1;
    }
    if (!line.empty()) {
        lines.push_back(line);
    }
}

std::string heading(const run::State& state, const horn::Tuning& tuning) {
    if (state.stage == Stage::finished) {
        return "Bellhand: all exercises are over";
    }
    return fmt::format("Bellhand: block {} of {} on the {} crook, {} left of it, {} in all",
                       state.block + 1,
                       state.blocks,
                       tuning.crook.label,
                       report::clock_text(std::round(
                           state.stage == Stage::rest ? state.rest_left_s : state.block_left_s)),
                       report::clock_text(std::round(state.all_left_s)));
}

void add_block(std::vector<std::string>& lines, const run::State& state, int columns) {
    if (state.now == nullptr) {
        return;
    }
    lines.push_back(state.now->exercise.title);
    add_wrapped(lines, state.now->why, columns);
    lines.emplace_back();
}

void add_progress(std::vector<std::string>& lines, const run::State& state, int columns) {
    if (state.feedback && state.stage == Stage::playing) {
        lines.push_back(state.feedback->text);
    }
    if (!state.remarks.empty() && state.stage == Stage::playing) {
        add_wrapped(lines, state.remarks.back(), columns);
    }
    if (state.where.judged > 0 && state.stage == Stage::playing) {
        lines.push_back(words::right_of(state.where.good, state.where.judged));
    }
    lines.emplace_back();
    for (const run::BlockSummary& summary : state.summaries) {
        lines.push_back(summary.title + ": " + summary.text);
    }
}

/// Characters beyond ASCII, for terminals that only know that.
std::string in_ascii(const std::string& text) {
    static constexpr struct {
        const char* sign;
        const char* ascii;
    } kSigns[] = {{"♭", "b"}, {"♯", "#"}, {"¼", "1/4"}, {"½", "1/2"}, {"¾", "3/4"}};
    std::string out = text;
    for (const auto& [sign, ascii] : kSigns) {
        for (std::size_t at = out.find(sign); at != std::string::npos; at = out.find(sign, at)) {
            out.replace(at, std::string(sign).size(), ascii);
        }
    }
    return out;
}

std::string foot(const RunScreenFacts& facts) {
    if (!facts.log.message.empty()) {
        return facts.log.message;
    }
    return facts.source.message.empty()
               ? "space pause  right next  left back  up again  down keep that  q end"
               : facts.source.message;
}

} // namespace

std::string
run_screen(const run::State& state, const RunScreenFacts& facts, int columns, int rows, bool utf8) {
    std::vector<std::string> lines;
    lines.push_back(heading(state, facts.tuning));
    lines.emplace_back();
    add_block(lines, state, columns);
    add_wrapped(lines, facts.player, columns);
    add_wrapped(lines, state.prompt, columns);
    lines.emplace_back();
    add_progress(lines, state, columns);
    if (state.stage == Stage::rest || state.stage == Stage::finished) {
        lines.emplace_back();
        add_wrapped(lines, skill::cautions().front(), columns);
    }
    const auto room = static_cast<std::size_t>(std::max(rows - 1, 1));
    lines.resize(std::max<std::size_t>(room, 1));
    lines.push_back(foot(facts));
    std::string out;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        out += (i > 0 ? "\n" : "") + cut_to_width(utf8 ? lines[i] : in_ascii(lines[i]), columns);
    }
    return out;
}

std::string plain_text(const std::string& text, bool utf8) {
    return utf8 ? text : in_ascii(text);
}

} // namespace bellhand::terminal
