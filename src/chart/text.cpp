#include "chart/text.h"

#include <cmath>

#include <fmt/format.h>

namespace bellhand::chart {

namespace {

std::string yes_no(bool yes) {
    return yes ? "yes" : "no";
}

// Plain decimals for programs; no "-0.0".
std::string decimal(double value, int digits) {
    std::string text = fmt::format("{:.{}f}", value, digits);
    if (text.find_first_not_of("-0.") == std::string::npos && text.front() == '-') {
        text.erase(0, 1);
    }
    return text;
}

std::string bass_clef_name(const Sheet& sheet, horn::Note written, bool for_people) {
    if (!stands_in_bass_clef(written)) {
        return "";
    }
    const horn::Note note = horn::in_bass_clef(written, sheet.bass_clef);
    return for_people ? horn::display_name(note) : horn::ascii_name(note);
}

} // namespace

std::string signed_cents(double cents) {
    const long rounded = std::lround(cents);
    if (rounded == 0) {
        return "0";
    }
    return (rounded > 0 ? "+" : "−") + std::to_string(std::labs(rounded));
}

namespace {

/// "or lip", "beyond usual": what to know of a way before playing it.
std::string manner_of(const horn::PlayedNote& note, const horn::HandWay& way, bool first) {
    std::string manner = first ? "" : "or";
    const auto add = [&manner](bool holds, const char* word) {
        manner += holds ? (manner.empty() ? "" : " ") + std::string(word) : "";
    };
    add(way.hand_out, "hand out");
    add(way.lip, "lip");
    add(way.poor, "poor");
    add(first && !note.in_usual_compass, "beyond usual");
    return manner;
}

std::string joined(const std::string& one, const std::string& other) {
    return one.empty() || other.empty() ? one + other : one + " " + other;
}

std::vector<std::string> terminal_row(const Sheet& sheet,
                                      const horn::PlayedNote& note,
                                      const horn::PlayedWay& played,
                                      bool first) {
    // What belongs to the note stands on its first row only.
    std::vector<std::string> row(4);
    if (first) {
        row = {horn::display_name(note.written),
               bass_clef_name(sheet, note.written, true),
               horn::display_name(note.sounding),
               decimal(note.target_hz, 2)};
    }
    row.insert(row.end(),
               {std::to_string(played.way.partial),
                hand_signs(played.way),
                manner_of(note, played.way, first),
                signed_cents(played.needed_cents),
                signed_cents(played.hand_cents),
                decimal(played.doubt_cents, 0),
                signed_cents(played.lips_cents),
                std::to_string(played.evenness),
                joined(first ? note.remark : "", horn::sign_remark(played))});
    if (sheet.key) {
        const bool in_key = horn::contains(*sheet.key, note.written.number);
        row.insert(row.begin(), first && in_key ? "*" : "");
    }
    return row;
}

} // namespace

Table terminal_table(const Sheet& sheet) {
    const bool old_clef = sheet.bass_clef == horn::BassClef::octave_lower;
    Table table;
    table.headings = {{"written"},
                      {old_clef ? "bass clef, old" : "bass clef"},
                      {"sounds"},
                      {"Hz", true},
                      {"partial", true},
                      {"sign"},
                      {""},
                      {"needed", true},
                      {"hand", true},
                      {"±", true},
                      {"lips", true},
                      {"tone", true},
                      {"remark"}};
    if (sheet.key) {
        table.headings.insert(table.headings.begin(), {"key"});
    }
    for (const horn::PlayedNote& note : sheet.notes) {
        for (const horn::PlayedWay& played : note.ways) {
            table.rows.push_back(terminal_row(sheet, note, played, &played == &note.ways.front()));
        }
    }
    return table;
}

Table full_table(const Sheet& sheet) {
    Table table;
    table.headings = {{"written"},
                      {"bass_clef"},
                      {"sounding"},
                      {"target_hz", true},
                      {"partial", true},
                      {"hand"},
                      {"hand_to"},
                      {"hand_out"},
                      {"lipped"},
                      {"poor"},
                      {"usual"},
                      {"needed_cents", true},
                      {"hand_cents", true},
                      {"hand_sd_cents", true},
                      {"lips_cents", true},
                      {"closure", true},
                      {"best_closure", true},
                      {"sign_doubted"},
                      {"evenness", true},
                      {"usual_compass"},
                      {"in_key"},
                      {"target"},
                      {"source"},
                      {"remark"}};
    for (const horn::PlayedNote& note : sheet.notes) {
        for (const horn::PlayedWay& played : note.ways) {
            const horn::HandWay& way = played.way;
            table.rows.push_back(
                {horn::ascii_name(note.written),
                 bass_clef_name(sheet, note.written, false),
                 horn::ascii_name(note.sounding),
                 decimal(note.target_hz, 3),
                 std::to_string(way.partial),
                 horn::hand_id(way.hand),
                 horn::hand_id(way.hand_to),
                 yes_no(way.hand_out),
                 yes_no(way.lip),
                 yes_no(way.poor),
                 yes_no(&played == &note.ways.front()),
                 decimal(played.needed_cents, 2),
                 decimal(played.hand_cents, 2),
                 decimal(played.doubt_cents, 2),
                 decimal(played.lips_cents, 2),
                 decimal(played.closure, 3),
                 decimal(played.best_closure, 3),
                 yes_no(played.sign_doubted),
                 std::to_string(played.evenness),
                 yes_no(note.in_usual_compass),
                 sheet.key ? yes_no(horn::contains(*sheet.key, note.written.number)) : "",
                 horn::target_words(note.written, sheet.tuning),
                 way.source,
                 joined(note.remark, horn::sign_remark(played))});
        }
    }
    return table;
}

Table scale_table(const Sheet& sheet) {
    Table table;
    table.headings = {{"from"},
                      {"to"},
                      {"open", true},
                      {"covered", true},
                      {"stopped", true},
                      {"lipped", true},
                      {"evenness", true}};
    for (const horn::ScaleCount& octave : sheet.octaves) {
        table.rows.push_back({horn::display_name(octave.notes.front()),
                              horn::display_name(octave.notes.back()),
                              std::to_string(octave.open),
                              std::to_string(octave.covered),
                              std::to_string(octave.stopped),
                              std::to_string(octave.lipped),
                              decimal(octave.mean_evenness, 1)});
    }
    return table;
}

Table advice_table(const std::vector<horn::CrookAdvice>& ranked) {
    Table table;
    table.headings = {{"rank", true},
                      {"crook"},
                      {"open", true},
                      {"covered", true},
                      {"stopped", true},
                      {"lipped", true},
                      {"unplayable", true},
                      {"outside_compass", true},
                      {"lowest"},
                      {"highest"},
                      {"evenness", true},
                      {"cost", true},
                      {"rare"},
                      {"usual_for_key"},
                      {"why"}};
    for (std::size_t i = 0; i < ranked.size(); ++i) {
        const horn::CrookAdvice& advice = ranked[i];
        table.rows.push_back({std::to_string(i + 1),
                              advice.crook.id,
                              std::to_string(advice.open),
                              std::to_string(advice.covered),
                              std::to_string(advice.stopped),
                              std::to_string(advice.lipped),
                              std::to_string(advice.unplayable),
                              std::to_string(advice.outside_compass),
                              horn::ascii_name(advice.lowest),
                              horn::ascii_name(advice.highest),
                              decimal(advice.mean_evenness, 2),
                              decimal(advice.cost, 2),
                              yes_no(advice.rare),
                              yes_no(advice.usual_for_key),
                              advice.why});
    }
    return table;
}

} // namespace bellhand::chart
