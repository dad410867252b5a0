#include "words/hand.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

namespace bellhand::words {

namespace {

using hand::AdviceKind;

std::string with_sign(const char* format, double value) {
    std::string text = fmt::format(fmt::runtime(format), std::fabs(value));
    return (value < 0.0 ? "−" : "+") + text;
}

std::string milliseconds(double seconds) {
    return fmt::format("{:.0f} ms", 1000.0 * seconds);
}

std::string vibrato_words(const pitch::PitchMotion& motion) {
    if (!motion.known) {
        return {};
    }
    return motion.vibrato
               ? fmt::format("{:.1f} Hz, ±{:.0f} cents", motion.vibrato_hz, motion.vibrato_cents)
               : std::string("none");
}

/// The words of advice, without what is not sure enough to be said.
std::string
said(const hand::Advice& advice, const hand::Intent& intent, const hand::Position& position) {
    if (advice.kind == AdviceKind::unsure || advice.confidence < hand::kAdviceConfidence) {
        return {};
    }
    return hand::advice_text(advice, intent, position);
}

std::string band_word(double cents) {
    const hand::SteadinessBands bands;
    return cents <= bands.steady_cents   ? "steady"
           : cents <= bands.uneven_cents ? "a little uneven"
                                         : "unsteady";
}

} // namespace

std::string heard_words(const hand::HandEstimate& estimate) {
    return estimate.position.known ? hand::range_text(estimate.position) : std::string("not heard");
}

std::string heard_remark(const hand::HandEstimate& estimate, const hand::Intent& asked) {
    const hand::Position& position = estimate.position;
    if (!position.known) {
        return {};
    }
    const horn::Hand low = hand::degree_of(position.low);
    const horn::Hand high = hand::degree_of(position.high);
    if (estimate.horn_doubted) {
        return "is it this horn? the notes lie beside it";
    }
    if (asked.partial > 0 && position.partial != asked.partial) {
        return fmt::format(
            "sounds from partial {}, the note asks for {}", position.partial, asked.partial);
    }
    if (estimate.narrow_band) {
        return "call audio: the position rests on pitch";
    }
    if (low == horn::Hand::open && high >= horn::Hand::quarter && high <= horn::Hand::half) {
        return "a little hand and a little lip sound alike here";
    }
    if (static_cast<int>(high) - static_cast<int>(low) >= 2) {
        return "the sound does not tell more";
    }
    if (!estimate.timbre_known) {
        return "the position rests on pitch";
    }
    return {};
}

std::string held_advice(const trainer::PlayedNote& note) {
    const hand::NoteHand& heard = note.heard;
    if (!heard.heard) {
        return {};
    }
    if (heard.advice.kind == AdviceKind::nothing) {
        return "in tune, the hand as meant.";
    }
    return said(heard.advice, heard.intent, heard.estimate.position);
}

std::string attack_advice(const trainer::PlayedNote& note) {
    const hand::NoteHand& heard = note.heard;
    constexpr double kSame_cents = 5.0;
    const bool same = heard.attack.kind == heard.advice.kind &&
                      std::fabs(heard.attack_cents - note.deviation_cents) < kSame_cents;
    if (!heard.heard || !heard.attack_known || same) {
        return {};
    }
    switch (heard.attack.kind) {
    case AdviceKind::nothing:
        return "in tune.";
    case AdviceKind::hand_closed:
    case AdviceKind::hand_open:
    case AdviceKind::lips_low:
    case AdviceKind::lips_high:
    case AdviceKind::hand_or_lips:
        return said(heard.attack, heard.intent, heard.estimate.position);
    default:
        return {}; // a tenth of a second does not tell a whole other position
    }
}

std::string motion_words(const pitch::PitchMotion& motion) {
    // What is less is not heard as movement (this program's choice).
    constexpr double kDrift_cents = 4.0;
    constexpr double kWobble_cents = 3.0;
    if (!motion.known) {
        return {};
    }
    std::string words;
    const auto add = [&words](const std::string& one) {
        words += (words.empty() ? "" : "; ") + one;
    };
    if (std::fabs(motion.drift_cents) >= kDrift_cents) {
        add(fmt::format("{} by {:.0f} cents",
                        motion.drift_cents < 0.0 ? "sinks" : "rises",
                        std::fabs(motion.drift_cents)));
    }
    if (motion.vibrato) {
        add(fmt::format("vibrato of {:.0f} cents", motion.vibrato_cents));
    }
    if (motion.wobble_cents >= kWobble_cents) {
        add(fmt::format("wobbles by {:.0f} cents", motion.wobble_cents));
    }
    return words.empty() ? "held still" : words;
}

std::string sway_words(const hand::Steadiness& steadiness) {
    switch (steadiness.sway) {
    case hand::Sway::hand:
        return "pitch and colour swing together: the hand moves in the bell";
    case hand::Sway::lips:
        return "the level swings alone: the mouthpiece moves on the lips";
    case hand::Sway::breath:
        return "the pitch swings, the colour does not: breath or lips";
    case hand::Sway::none:
        break;
    }
    return {};
}

std::vector<Figure> match_figures(const hand::NoteHand& heard) {
    const hand::Match& match = heard.match;
    if (!match.known || !heard.match_open_and_stopped) {
        return {};
    }
    std::string loudness = with_sign("{:.1f} dB(A)", match.loudness_db);
    if (heard.estimate.narrow_band) {
        loudness += "; a call evens it out";
    }
    return {
        {"loudness", std::move(loudness)},
        {"colour", with_sign("{:.2f} octaves", match.centroid_octaves)},
        {"slope", with_sign("{:.1f} dB an octave", match.slope_db_per_octave)},
        {"unevenness",
         fmt::format("{:.1f} dB; your best {:.1f}", match.uneven_db, match.best_uneven_db)},
    };
}

std::vector<Figure> steadiness_figures(const hand::NoteHand& heard,
                                       const pitch::PitchMotion& motion) {
    const hand::Steadiness& s = heard.steadiness;
    if (!s.known) {
        return {};
    }
    std::vector<Figure> figures{
        {"steadiness",
         fmt::format("{:.1f} cents: {}", s.unsteady_cents, band_word(s.unsteady_cents))}};
    std::string drift = with_sign("{:.1f} cents a second", s.drift_cents_per_s);
    if (motion.known) {
        drift = with_sign("{:.0f} cents", motion.drift_cents) + ", " +
                with_sign("{:.1f} a second", s.drift_cents_per_s);
    }
    figures.push_back({"drift", std::move(drift)});
    figures.push_back(
        {"tremor", fmt::format("{:.1f} cents, most at {:.0f} Hz", s.tremor_cents, s.tremor_hz)});
    figures.push_back({"level sway", fmt::format("{:.1f} dB", s.sway_db)});
    if (motion.known) {
        figures.push_back({"vibrato", vibrato_words(motion)});
        figures.push_back({"wobble", fmt::format("{:.1f} cents", motion.wobble_cents)});
    }
    std::string cause = sway_words(s);
    figures.push_back({"cause", cause.empty() ? "no regular swing" : std::move(cause)});
    return figures;
}

std::vector<Figure> change_figures(const hand::NoteHand& heard) {
    const hand::Change& change = heard.change;
    if (!change.known) {
        return {};
    }
    return {
        {"unrest", fmt::format("{:.0f} ms", change.unrest_ms)},
        {"transition",
         fmt::format("{} over {:.0f} cents",
                     milliseconds(change.transition_s),
                     std::fabs(change.step_cents))},
        {"overshoot", fmt::format("{:.0f} cents", change.overshoot_cents)},
        {"settling", milliseconds(change.settling_s)},
        {"dip", fmt::format("{:.1f} dB", change.level_dip_db)},
    };
}

std::span<const FigureMeaning> figure_meanings() noexcept {
    static constexpr const char* kHeld = "how a note was held";
    static constexpr const char* kChange = "how the hand changed";
    static constexpr const char* kMatch = "open against stopped";
    static constexpr std::array kMeanings{
        FigureMeaning{kHeld,
                      "steadiness",
                      "Spread of the held pitch, all causes together. Up to 3 cents steady, over 8 "
                      "unsteady (common "
                      "practice, no source)."},
        FigureMeaning{kHeld,
                      "drift",
                      "From beginning to end, along a straight line. Wind players hear 7.5 cents "
                      "reliably, 5 far less "
                      "(published: Louisiana State University, dissertation 3723)."},
        FigureMeaning{kHeld,
                      "tremor",
                      "Pitch between 3 and 12 Hz, and where it is strongest. A hand trembles at 8 "
                      "to 12 Hz (from memory); "
                      "under 2 cents it counts as none (common practice, no source)."},
        FigureMeaning{kHeld,
                      "level sway",
                      "Level between 3 and 12 Hz: breath, or the horn moving on the lips. Under "
                      "0.6 dB it counts as none "
                      "(common practice, no source)."},
        FigureMeaning{
            kHeld,
            "vibrato",
            "One regular wave of the pitch, to either side. 4 to 7 Hz is usual (from memory)."},
        FigureMeaning{kHeld, "wobble", "What drift and vibrato leave of the pitch's movement."},
        FigureMeaning{kHeld,
                      "cause",
                      "Hand in the bell: pitch and colour swing together. Horn on the lips: "
                      "the level swings alone "
                      "(common practice, no source)."},
        FigureMeaning{kChange,
                      "unrest",
                      "Settling beyond the transition, and 5 ms for each cent of overshoot (this "
                      "program's choice). The "
                      "goal is 0: when the hand moves, the horn must not."},
        FigureMeaning{kChange,
                      "transition",
                      "From a tenth of the way to nine tenths. A clean hand takes 80 to 100 ms at "
                      "most (common practice, "
                      "no source)."},
        FigureMeaning{kChange, "overshoot", "How far the pitch went beyond the new note."},
        FigureMeaning{kChange,
                      "settling",
                      "From a tenth of the way until the pitch stays within 8 cents of the new "
                      "note (this program's "
                      "choice)."},
        FigureMeaning{kChange, "dip", "How far the level fell on the way."},
        FigureMeaning{kMatch,
                      "loudness",
                      "Against the note before, A-weighted mean of the held part. The goal is 0."},
        FigureMeaning{
            kMatch,
            "colour",
            "How far the middle of the harmonics moved up (+) or down. A full stop may lie "
            "two octaves above the open note beside it (published: Dell; measured on "
            "mutes, not on hands): it is shown, and held against neither. By ear a "
            "change of colour passes for one of pitch (published: Vurma 2014)."},
        FigureMeaning{
            kMatch,
            "slope",
            "How much slower (+) or faster the harmonics fall off upwards. The goal is 0."},
        FigureMeaning{kMatch,
                      "unevenness",
                      "Loudness and colour in one, an octave counted as 6 dB (this program's "
                      "choice), beside the "
                      "smallest since practice began."},
    };
    return kMeanings;
}

std::vector<std::string> note_lines(const trainer::PlayedNote& note,
                                    const pitch::PitchMotion& motion) {
    std::vector<std::string> lines;
    if (!note.pitch_known()) {
        lines.push_back(
            fmt::format("short: pitch to within about {:.0f} cents", note.known_within_cents));
    }
    const hand::NoteHand& heard = note.heard;
    if (!heard.heard) {
        return lines;
    }
    std::string first = "hand " + heard_words(heard.estimate);
    const std::string remark = heard_remark(heard.estimate, heard.intent);
    first += remark.empty() ? "" : " (" + remark + ")";
    const std::string held = held_advice(note);
    const std::string attack = attack_advice(note);
    first += held.empty() ? "" : "; held: " + held;
    first += attack.empty() ? "" : (held.empty() ? "; " : " ") + ("attack: " + attack);
    lines.push_back(std::move(first));

    std::string second;
    const auto add = [&second](const std::string& words) {
        second += (second.empty() ? "" : "; ") + words;
    };
    if (const hand::Steadiness& s = heard.steadiness; s.known) {
        std::string words =
            fmt::format("{} ({:.1f} cents", band_word(s.unsteady_cents), s.unsteady_cents);
        if (motion.known) {
            words += fmt::format(", drift {}, vibrato {}, wobble {:.1f}",
                                 with_sign("{:.0f}", motion.drift_cents),
                                 vibrato_words(motion),
                                 motion.wobble_cents);
        }
        words += fmt::format(", tremor {:.1f}, level sway {:.1f} dB)", s.tremor_cents, s.sway_db);
        add(words);
        if (const std::string cause = sway_words(s); !cause.empty()) {
            add(cause);
        }
    }
    if (const hand::Change& change = heard.change; change.known) {
        add(fmt::format("change {}, settled {}, overshoot {:.0f} cents",
                        milliseconds(change.transition_s),
                        milliseconds(change.settling_s),
                        change.overshoot_cents));
    }
    if (heard.match.known && heard.match_open_and_stopped) {
        add(fmt::format("against the note before {}, {} (uneven {:.1f} dB, best {:.1f})",
                        with_sign("{:.1f} dB(A)", heard.match.loudness_db),
                        with_sign("{:.2f} octaves brighter", heard.match.centroid_octaves),
                        heard.match.uneven_db,
                        heard.match.best_uneven_db));
    }
    if (!second.empty()) {
        lines.push_back(std::move(second));
    }
    return lines;
}

std::string range_bar(const hand::Position& position, int width) {
    constexpr std::array kSigns{"o", "¼", "½", "¾", "+"};
    const int last = std::max(20, width - 1) / 4 * 4; // a sign each quarter
    std::vector<std::string> cells(static_cast<std::size_t>(last) + 3, "─");
    for (std::size_t i = 0; i < kSigns.size(); ++i) {
        cells[static_cast<std::size_t>(last / 4) * i + 1] = kSigns[i];
    }
    cells.front() = cells.back() = " ";
    if (position.known) {
        const double middle = 0.5 * (position.low + position.high);
        const double reach = std::max(0.5 * (position.high - position.low), 0.125); // never a point
        const auto cell = [&](double closure) { return closure * last + 1.0; };
        const auto low = static_cast<int>(std::floor(cell(middle - reach)));
        const auto high = static_cast<int>(std::ceil(cell(middle + reach)));
        cells[static_cast<std::size_t>(std::clamp(low, 0, last + 2))] = "[";
        cells[static_cast<std::size_t>(std::clamp(high, 0, last + 2))] = "]";
    }
    std::string bar;
    for (const std::string& cell : cells) {
        bar += cell;
    }
    return bar;
}

std::string learnt_words(const hand::OpenReference& learnt) {
    if (learnt.notes == 0) {
        return "Nothing learnt of your open notes yet: play them for a minute, and Bellhand knows "
               "what open sounds like "
               "with you, this microphone and this room.";
    }
    const auto cents = static_cast<int>(std::lround(learnt.offset_cents));
    const std::string lies = cents == 0 ? std::string("the horn lies where it should")
                                        : fmt::format("the horn lies {} cents {}",
                                                      std::abs(cents),
                                                      cents < 0 ? "flat" : "sharp");
    return fmt::format("Learnt from {} of your open notes: what open sounds like with you, this "
                       "microphone and this room; "
                       "{}.",
                       learnt.notes,
                       lies);
}

} // namespace bellhand::words
