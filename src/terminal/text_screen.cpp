#include "terminal/text_screen.h"

#include "terminal/big_letters.h"
#include "terminal/text_width.h"
#include "words/hand.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <utility>

#include <fmt/format.h>

namespace bellhand::terminal {

namespace {

constexpr double kSmooth_s = 0.2;
constexpr double kHold_s = 1.5;
constexpr double kClipShown_s = 2.0;
constexpr double kBarCents = 50.0;
constexpr double kQuietDbfs = -60.0;
constexpr int kFactsColumn = 42;
constexpr int kColumnsForFacts = 64;
constexpr int kRowsForBig = 12;

std::string written_name(horn::Note note, bool utf8) {
    return utf8 ? horn::display_name(note) : horn::ascii_name(note);
}

std::string hand_text(horn::Hand hand, bool utf8) {
    return utf8 ? std::string(horn::hand_label(hand)) + "  " + horn::hand_sign(hand)
                : horn::hand_label(hand);
}

std::string repeat(const char* what, int times) {
    std::string out;
    for (int i = 0; i < times; ++i) {
        out += what;
    }
    return out;
}

std::string level_bar(double level_dbfs, int width, bool utf8) {
    const double share = std::clamp((level_dbfs - kQuietDbfs) / -kQuietDbfs, 0.0, 1.0);
    const int filled = static_cast<int>(std::lround(share * width));
    return repeat(utf8 ? "█" : "#", filled) + repeat(utf8 ? "·" : ".", width - filled);
}

std::string between(const std::string& left, const std::string& right, int columns) {
    const int gap =
        columns - static_cast<int>(display_width(left)) - static_cast<int>(display_width(right));
    return gap > 0 ? left + std::string(static_cast<std::size_t>(gap), ' ') + right : left;
}

std::string tuning_text(const horn::Tuning& tuning, bool utf8) {
    return fmt::format("{} crook, A4 = {:.6g} Hz, {}",
                       utf8 ? tuning.crook.label : tuning.crook.id,
                       tuning.a4_hz,
                       utf8 ? tuning.temperament.label : tuning.temperament.id);
}

/// The note in one line, for terminals too small for big letters beside the facts.
std::string note_facts(const TextState& state, bool utf8) {
    if (!state.shown) {
        return "  play";
    }
    const horn::NoteReading& note = state.shown->note;
    return fmt::format("  {}  partial {}  {}",
                       written_name(note.written, utf8),
                       note.partial,
                       hand_text(note.hand, utf8));
}

void add_big_note(std::vector<std::string>& lines, const TextState& state, bool beside, bool utf8) {
    std::array<std::string, kBigRows> big;
    std::array<std::string, kBigRows> facts;
    if (state.shown) {
        const horn::NoteReading& note = state.shown->note;
        big = big_note(note.written, utf8 ? "█" : "#");
        facts[0] = fmt::format("partial {}", note.partial);
        facts[1] = hand_text(note.hand, utf8);
        facts[3] = fmt::format("sounds {:.2f} Hz", state.shown->f0_hz);
        facts[4] = fmt::format("should {:.2f} Hz", note.target_hz);
        facts[5] = !state.shown->sounding ? "(ended)" : state.shown->sure ? "" : "(heard unsurely)";
    } else {
        facts[2] =
            state.source.state == audio::SourceState::waiting ? "no sound coming in" : "play";
    }
    for (std::size_t row = 0; row < big.size(); ++row) {
        std::string line = "  " + big[row];
        if (beside) {
            const int missing = kFactsColumn - static_cast<int>(display_width(line));
            line += std::string(static_cast<std::size_t>(std::max(1, missing)), ' ') + facts[row];
        }
        lines.push_back(line);
    }
}

void add_note_block(
    std::vector<std::string>& lines, const TextState& state, int columns, int rows, bool utf8) {
    const bool beside = columns >= kColumnsForFacts;
    const bool big = rows >= kRowsForBig;
    if (big) {
        add_big_note(lines, state, beside, utf8);
    }
    if (!big || !beside) {
        lines.push_back(note_facts(state, utf8));
    }
    if (big && rows > kRowsForBig) {
        lines.emplace_back();
    }
}

/// What is heard of the hand now.
std::string hand_line(const TextState& state, int width, bool utf8) {
    if (!state.shown) {
        return "  hand  " + words::range_bar({}, width);
    }
    const hand::HandEstimate& heard = state.shown->hand;
    const std::string remark = words::heard_remark(heard, state.shown->asked);
    const std::string line = "  hand  " + words::range_bar(heard.position, width) + " heard " +
                             words::heard_words(heard) + (remark.empty() ? "" : "; " + remark);
    return utf8 ? line : plain_words(line);
}

std::string status_line(const TextState& state) {
    if (!state.source.message.empty()) {
        return state.source.message;
    }
    if (!state.log.message.empty()) {
        return fmt::format(
            "{} {} notes are waiting in memory.", state.log.message, state.log.unsaved_notes);
    }
    if (state.own_sound.warning) {
        return state.own_sound.words;
    }
    if (state.clipped) {
        return "Too loud for this input: turn its gain down.";
    }
    if (!state.horn.empty()) {
        return state.horn;
    }
    std::string text =
        state.log.saving ? fmt::format("Saved as session {}.", state.log.session) : "";
    if (state.dropped_samples > 0) {
        text += fmt::format(" {} samples were lost.", state.dropped_samples);
    }
    text += state.own_sound.words.empty() ? "" : " " + state.own_sound.words;
    return text;
}

} // namespace

void LiveNote::take(const trainer::Reading& reading) {
    const pitch::PitchFrame& frame = reading.frame;
    now_s_ = frame.time_s;
    level_dbfs_ = static_cast<double>(frame.level_dbfs);
    dropped_samples_ = frame.dropped_samples;
    if (frame.clipped) {
        clipped_until_s_ = now_s_ + kClipShown_s;
    }
    if (!reading.has_note) {
        return;
    }
    if (!note_ || !(note_->written == reading.note.written) || now_s_ - last_tone_s_ > kSmooth_s) {
        recent_.clear();
        hand_ = {};
    }
    note_ = reading.note;
    if (reading.hand.position.known) {
        hand_ = reading.hand;
    }
    last_tone_s_ = now_s_;
    recent_.push_back({now_s_, reading.note.deviation_cents, frame.f0_hz, !frame.doubtful});
    while (now_s_ - recent_.front().time_s > kSmooth_s) {
        recent_.pop_front();
    }
}

std::optional<LiveNote::Shown> LiveNote::shown() const {
    if (!note_ || now_s_ - last_tone_s_ > kHold_s) {
        return std::nullopt;
    }
    std::vector<Point> sorted(recent_.begin(), recent_.end());
    const auto unsure = std::stable_partition(
        sorted.begin(), sorted.end(), [](const Point& point) { return point.sure; });
    const bool sure = unsure != sorted.begin();
    sorted.erase(sure ? unsure : sorted.end(), sorted.end());
    const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
    std::nth_element(sorted.begin(), middle, sorted.end(), [](const Point& a, const Point& b) {
        return a.deviation_cents < b.deviation_cents;
    });
    Shown shown;
    shown.note = *note_;
    shown.note.deviation_cents = middle->deviation_cents;
    shown.f0_hz = middle->f0_hz;
    shown.hand = hand_;
    if (const horn::ChartEntry* entry = horn::chart_entry(note_->written);
        entry != nullptr && !entry->ways.empty()) {
        shown.asked = hand::intent_of(entry->ways.front());
    }
    shown.sounding = now_s_ - last_tone_s_ < kSmooth_s;
    shown.sure = sure;
    return shown;
}

std::string deviation_bar(double cents, int width, bool utf8) {
    const int middle = width / 2;
    const double place = std::clamp(cents / kBarCents, -1.0, 1.0) * middle;
    const int mark = middle + static_cast<int>(std::lround(place));
    std::string bar;
    for (int i = 0; i < width; ++i) {
        if (i == mark) {
            bar += utf8 ? "●" : "O";
        } else if (i == middle) {
            bar += utf8 ? "┼" : "|";
        } else {
            bar += utf8 ? "─" : "-";
        }
    }
    return bar;
}

std::string plain_words(const std::string& words) {
    constexpr std::array<std::pair<const char*, const char*>, 7> kPlain{
        {{"−", "-"}, {"±", "+/-"}, {"¼", "1"}, {"½", "2"}, {"¾", "3"}, {"─", "-"}, {"…", "..."}}};
    std::string out = words;
    for (const auto& [sign, plain] : kPlain) {
        const std::string_view what(sign);
        for (std::size_t at = out.find(what); at != std::string::npos; at = out.find(what, at)) {
            out.replace(at, what.size(), plain);
        }
    }
    return out;
}

std::string note_line(const trainer::PlayedNote& note, bool utf8) {
    const std::string name = written_name(note.written, utf8);
    const std::string off =
        note.pitch_known() ? fmt::format("{:+.1f}", note.deviation_cents)
                           : fmt::format("{}{:.0f}", utf8 ? "±" : "+/-", note.known_within_cents);
    return fmt::format("{:8.2f} s  {}{} partial {:2d}  {:<14}  {} cents, spread {:4.1f}  "
                       "{:5.2f} s  {:6.1f} dBFS",
                       note.start_s,
                       name,
                       std::string(5 - std::min<std::size_t>(4, display_width(name)), ' '),
                       note.partial,
                       horn::hand_label(note.hand),
                       std::string(6 - std::min<std::size_t>(6, display_width(off)), ' ') + off,
                       note.spread_cents,
                       note.duration_s,
                       note.level_dbfs);
}

std::string text_screen(const TextState& state, int columns, int rows, bool utf8) {
    std::vector<std::string> lines;
    lines.push_back(between(" Bellhand   " + tuning_text(state.tuning, utf8),
                            fmt::format("{:.0f} s ", state.elapsed_s),
                            columns));
    lines.push_back(" " + state.source.name);
    lines.push_back(repeat(utf8 ? "─" : "-", columns));
    add_note_block(lines, state, columns, rows, utf8);

    const int bar_width = std::clamp(columns - 38, 11, 61) | 1;
    std::string bar = "  flat ";
    if (state.shown) {
        bar += deviation_bar(state.shown->note.deviation_cents, bar_width, utf8) +
               fmt::format(" sharp  {:+6.1f} cents", state.shown->note.deviation_cents);
    } else {
        bar += repeat(utf8 ? "─" : "-", bar_width) + " sharp";
    }
    lines.push_back(bar);
    lines.push_back(fmt::format("  level {} {:8.0f} dBFS",
                                level_bar(state.level_dbfs, bar_width, utf8),
                                std::max(-99.0, state.level_dbfs)));
    lines.push_back(hand_line(state, bar_width, utf8));
    lines.emplace_back();

    const int said = static_cast<int>(state.last_note.size());
    const int foot = 3 + said;
    const int room = rows - static_cast<int>(lines.size()) - foot;
    const auto shown = static_cast<std::size_t>(
        std::clamp(room, 0, static_cast<int>(std::min<std::size_t>(12, state.notes.size()))));
    for (std::size_t i = state.notes.size() - shown; i < state.notes.size(); ++i) {
        lines.push_back(note_line(state.notes[i], utf8));
    }
    for (const std::string& line : state.last_note) {
        lines.push_back("  " + (utf8 ? line : plain_words(line)));
    }
    lines.emplace_back();
    const std::string status = status_line(state);
    lines.push_back(" " + (state.learnt.empty() || !state.source.message.empty()
                               ? status
                               : status + " " + state.learnt));
    lines.emplace_back(
        " q stop    < > crook    - + pitch of A4    f forget what was learnt of the open notes");

    std::string out;
    for (std::size_t i = 0; i < lines.size() && i < static_cast<std::size_t>(rows); ++i) {
        out += (i > 0 ? "\n" : "") + cut_to_width(lines[i], columns);
    }
    return out;
}

} // namespace bellhand::terminal
