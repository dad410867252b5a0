#include "cli/hand_rows.h"

#include "app/own_notes.h"
#include "app/players_horn.h"
#include "core/platform.h"
#include "words/hand.h"

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

const char* advice_id(hand::AdviceKind kind) {
    switch (kind) {
    case hand::AdviceKind::nothing:
        return "none";
    case hand::AdviceKind::hand_closed:
        return "hand-closed";
    case hand::AdviceKind::hand_open:
        return "hand-open";
    case hand::AdviceKind::lips_low:
        return "lips-low";
    case hand::AdviceKind::lips_high:
        return "lips-high";
    case hand::AdviceKind::other_position:
        return "other-position";
    case hand::AdviceKind::hand_or_lips:
        return "hand-or-lips";
    case hand::AdviceKind::unsure:
        break;
    }
    return "unsure";
}

const char* sway_id(hand::Sway sway) {
    switch (sway) {
    case hand::Sway::none:
        return "none";
    case hand::Sway::hand:
        return "hand";
    case hand::Sway::lips:
        return "lips";
    case hand::Sway::breath:
        break;
    }
    return "breath";
}

std::string heard_hand(const hand::Position& position) {
    const horn::Hand low = hand::degree_of(position.low);
    const horn::Hand high = hand::degree_of(position.high);
    return low == high ? std::string(horn::hand_id(low))
                       : std::string(horn::hand_id(low)) + ".." + horn::hand_id(high);
}

void steadiness_line(const hand::Steadiness& s, std::string& out) {
    if (!s.known) {
        return;
    }
    const hand::SteadinessBands bands;
    const char* word = s.unsteady_cents <= bands.steady_cents   ? "steady"
                       : s.unsteady_cents <= bands.uneven_cents ? "a little uneven"
                                                                : "unsteady";
    out += fmt::format("    held {}: {:.1f} cents in all, drift {:+.1f} cents/s, tremor {:.1f} "
                       "cents at {:.1f} Hz, level sways {:.1f} dB",
                       word,
                       s.unsteady_cents,
                       s.drift_cents_per_s,
                       s.tremor_cents,
                       s.tremor_hz,
                       s.sway_db);
    const std::string sway = words::sway_words(s);
    out += sway.empty() ? "" : "; " + sway;
    out += "\n";
}

} // namespace

void add_hand_profile_option(const OptionSet& parser, std::optional<std::string>& profile) {
    parser.add_option("--profile", profile, "A calibrated horn: hear the hand as it was measured")
        .type_name("FILE");
}

Result<std::optional<practice::OwnHand>> own_hand(const std::optional<std::string>& profile,
                                                  const horn::Tuning& tuning) {
    if (!profile) {
        return std::optional<practice::OwnHand>();
    }
    const auto loaded = instrument::load_profile(platform::path_of(*profile));
    if (!loaded) {
        return tl::unexpected(loaded.error());
    }
    auto measured = app::measured_hand(*loaded, tuning);
    if (!measured) {
        return tl::unexpected(measured.error());
    }
    if (loaded->calibration) {
        for (const instrument::OwnOpenNote& note : loaded->calibration->own_open_notes) {
            measured->open_notes.push_back(app::colour_of_note(note));
        }
    }
    return std::optional<practice::OwnHand>(std::move(*measured));
}

std::vector<Column> heard_columns() {
    return {{"heard_hand"},           {"heard_partial", true},   {"closure", true},
            {"closure_low", true},    {"closure_high", true},    {"hand_confidence", true},
            {"hand_cents", true},     {"lips_cents", true},      {"advice"},
            {"match_db", true},       {"match_octaves", true},   {"match_slope", true},
            {"unsteady_cents", true}, {"drift_cents_s", true},   {"tremor_cents", true},
            {"tremor_hz", true},      {"sway_db", true},         {"sway"},
            {"transition_ms", true},  {"overshoot_cents", true}, {"settling_ms", true}};
}

std::vector<std::string> heard_row(const trainer::PlayedNote& note) {
    std::vector<std::string> row(heard_columns().size());
    const hand::NoteHand& heard = note.heard;
    if (!heard.heard) {
        return row;
    }
    const hand::Position& position = heard.estimate.position;
    row[0] = heard_hand(position);
    row[1] = std::to_string(position.partial);
    row[2] = fmt::format("{:.3f}", position.closure);
    row[3] = fmt::format("{:.3f}", position.low);
    row[4] = fmt::format("{:.3f}", position.high);
    row[5] = fmt::format("{:.3f}", position.confidence);
    const hand::AdviceKind kind = heard.advice.kind;
    if (kind != hand::AdviceKind::unsure && kind != hand::AdviceKind::other_position) {
        row[6] = fmt::format("{:.2f}", heard.advice.hand_cents);
        row[7] = fmt::format("{:.2f}", heard.advice.lips_cents);
    }
    row[8] = advice_id(kind);
    if (heard.match.known) {
        row[9] = fmt::format("{:.2f}", heard.match.loudness_db);
        row[10] = fmt::format("{:.3f}", heard.match.centroid_octaves);
        row[11] = fmt::format("{:.2f}", heard.match.slope_db_per_octave);
    }
    if (heard.steadiness.known) {
        row[12] = fmt::format("{:.2f}", heard.steadiness.unsteady_cents);
        row[13] = fmt::format("{:.2f}", heard.steadiness.drift_cents_per_s);
        row[14] = fmt::format("{:.2f}", heard.steadiness.tremor_cents);
        row[15] = fmt::format("{:.2f}", heard.steadiness.tremor_hz);
        row[16] = fmt::format("{:.2f}", heard.steadiness.sway_db);
        row[17] = sway_id(heard.steadiness.sway);
    }
    if (heard.change.known) {
        row[18] = fmt::format("{:.1f}", 1000.0 * heard.change.transition_s);
        row[19] = fmt::format("{:.1f}", heard.change.overshoot_cents);
        row[20] = fmt::format("{:.1f}", 1000.0 * heard.change.settling_s);
    }
    return row;
}

std::string heard_paragraph(const trainer::PlayedNote& note) {
    const hand::NoteHand& heard = note.heard;
    std::string out = fmt::format("{:8.2f} s  {:<4} {}, partial {}",
                                  note.start_s,
                                  horn::ascii_name(note.written),
                                  horn::hand_label(note.hand),
                                  note.partial);
    if (!heard.heard) {
        return out + ": too short to hear the hand\n";
    }
    const hand::Position& position = heard.estimate.position;
    out += fmt::format(": heard {}, closure {:.2f} to {:.2f}, confidence {:.0f} %\n",
                       hand::range_text(position),
                       position.low,
                       position.high,
                       100.0 * position.confidence);
    const std::string words = hand::advice_text(heard.advice, heard.intent, position);
    out += words.empty() ? "    in tune, hand as meant\n" : "    " + words + "\n";
    if (heard.attack_known && heard.attack.kind != hand::AdviceKind::nothing) {
        out += fmt::format("    attack {:+.0f} cents, held part {:+.0f} cents\n",
                           heard.attack_cents,
                           note.deviation_cents);
    }
    if (!heard.estimate.timbre_known) {
        out += "    colour says nothing here; the position rests on pitch\n";
    } else if (heard.estimate.narrow_band) {
        out += fmt::format("    sound ends at {:.0f} kHz: colour counts less, the position rests "
                           "on pitch\n",
                           heard.estimate.bandwidth_hz / 1000.0);
    }
    if (heard.match.known && heard.match_open_and_stopped) {
        out += fmt::format("    against the note before: {:+.1f} dB(A), {:+.2f} octaves of "
                           "colour, slope {:+.1f} dB/octave; uneven by {:.1f} dB, best so far "
                           "{:.1f}, goal 0\n",
                           heard.match.loudness_db,
                           heard.match.centroid_octaves,
                           heard.match.slope_db_per_octave,
                           heard.match.uneven_db,
                           heard.match.best_uneven_db);
    }
    if (heard.change.known) {
        out += fmt::format("    change of {:+.0f} cents in {:.0f} ms, overshoot {:.0f} cents, "
                           "settled after {:.0f} ms\n",
                           heard.change.step_cents,
                           1000.0 * heard.change.transition_s,
                           heard.change.overshoot_cents,
                           1000.0 * heard.change.settling_s);
    }
    steadiness_line(heard.steadiness, out);
    return out;
}

} // namespace bellhand::cli
