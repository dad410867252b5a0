#include "desk/model/sound_desk.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace bellhand::desk {

namespace {

constexpr int kLowestWritten = 36; // C2
constexpr int kHighestWritten = 79;
constexpr double kLevelStep_db = 3.0;
constexpr double kTempoStep = 2.0;
constexpr double kSlowestTempo = 20.0;
constexpr double kFastestTempo = 300.0;
constexpr int kMostInBar = 12;

/// Voices over the root, in semitones (common practice, no source).
struct Chord {
    const char* words;
    std::array<int, 2> semitones;
    std::size_t voices;
};
constexpr std::array<Chord, 6> kChords{{
    {"alone", {}, 0},
    {"with its fifth", {7}, 1},
    {"with its octave", {12}, 1},
    {"with fifth and octave", {7, 12}, 2},
    {"as a major chord", {4, 7}, 2},
    {"as a minor chord", {3, 7}, 2},
}};

const char* on_or_off(bool on) {
    return on ? "on" : "off";
}

} // namespace

bool SoundDesk::may_sound() noexcept {
    if (!settings_.cautioned) {
        settings_.cautioned = cautioning_;
        cautioning_ = !cautioning_;
    }
    return settings_.cautioned;
}

void SoundDesk::accept(Row row) {
    switch (row) {
    case Row::drone:
        drone_ = !drone_ && may_sound();
        break;
    case Row::beats:
        beating_ = !beating_ && may_sound();
        break;
    case Row::reference:
        requests_ += may_sound() ? 1U : 0U;
        break;
    default:
        change(row, 1);
        break;
    }
}

void SoundDesk::change(Row row, int step) {
    const auto chords = static_cast<int>(kChords.size());
    switch (row) {
    case Row::note:
        written_ = std::clamp(written_ + step, kLowestWritten, kHighestWritten);
        break;
    case Row::chord:
        chord_ = (chord_ + step + chords) % chords;
        break;
    case Row::tuned:
        just_ = !just_;
        break;
    case Row::colour:
        colour_ = colour_ == audio::ReferenceColour::horn ? audio::ReferenceColour::soft_sawtooth
                                                          : audio::ReferenceColour::horn;
        break;
    case Row::level:
        settings_.level_dbfs = std::clamp(settings_.level_dbfs + step * kLevelStep_db,
                                          app::SoundSettings::kSoftest_dbfs,
                                          app::SoundSettings::kLoudest_dbfs);
        break;
    case Row::tempo:
        tempo_ = std::clamp(tempo_ + step * kTempoStep, kSlowestTempo, kFastestTempo);
        break;
    case Row::bar:
        in_bar_ = std::clamp(in_bar_ + step, 0, kMostInBar);
        break;
    case Row::output: {
        const auto place = std::find(outputs_.begin(), outputs_.end(), settings_.output.name);
        const int known = static_cast<int>(outputs_.size());
        const int now = place == outputs_.end() ? -1 : static_cast<int>(place - outputs_.begin());
        const int next = (now + 1 + step + known + 1) % (known + 1) - 1; // -1: the default one
        settings_.output.name = next < 0 ? "" : outputs_[static_cast<std::size_t>(next)];
        output_changed_ = true;
        break;
    }
    default:
        accept(row);
        break;
    }
}

void SoundDesk::tap(double now_s) {
    const double apart_s = now_s - tapped_s_;
    tapped_s_ = now_s;
    if (apart_s > 60.0 / kFastestTempo && apart_s < 60.0 / kSlowestTempo) {
        tempo_ = std::round(60.0 / apart_s);
    }
}

audio::ReferenceSound SoundDesk::wanted(const horn::Tuning& tuning) const {
    audio::ReferenceSound sound;
    const double root_hz = horn::target_hz(horn::usual_spelling(written_), tuning);
    if (drone_) {
        const Chord& chord = kChords[static_cast<std::size_t>(chord_)];
        sound.drone_hz[0] = root_hz;
        for (std::size_t i = 0; i < chord.voices; ++i) {
            sound.drone_hz[i + 1] =
                just_
                    ? root_hz * horn::just_ratio(chord.semitones[i])
                    : horn::target_hz(horn::usual_spelling(written_ + chord.semitones[i]), tuning);
        }
    }
    sound.colour = colour_;
    sound.note_hz = root_hz;
    sound.note_request = requests_;
    sound.beats_per_minute = beating_ ? tempo_ : 0.0;
    sound.beats_in_bar = in_bar_;
    sound.set_level(settings_.level_dbfs);
    return sound;
}

bool SoundDesk::take_output_change() noexcept {
    const bool changed = output_changed_;
    output_changed_ = false;
    return changed;
}

SoundDesk::Words SoundDesk::words(Row row, const horn::Tuning& tuning) const {
    char text[96];
    switch (row) {
    case Row::drone:
        return {"Drone", on_or_off(drone_)};
    case Row::note: {
        const horn::Note written = horn::usual_spelling(written_);
        std::snprintf(text,
                      sizeof text,
                      "written %s, %.1f Hz",
                      horn::display_name(written).c_str(),
                      horn::target_hz(written, tuning));
        return {"Its note", text};
    }
    case Row::chord:
        return {"It sounds", kChords[static_cast<std::size_t>(chord_)].words};
    case Row::tuned:
        return {"Tuned", just_ ? "pure above its root" : "in today's temperament"};
    case Row::colour:
        return {"Colour", colour_ == audio::ReferenceColour::horn ? "soft horn" : "soft sawtooth"};
    case Row::level:
        std::snprintf(text, sizeof text, "%.0f dBFS", settings_.level_dbfs);
        return {"Level of all", text};
    case Row::reference:
        return {"Reference note", "sounds two seconds now"};
    case Row::beats:
        return {"Metronome", on_or_off(beating_)};
    case Row::tempo:
        std::snprintf(text, sizeof text, "%.0f beats a minute", tempo_);
        return {"Tempo", text};
    case Row::bar:
        return {"First of a bar", in_bar_ == 0 ? "none" : "each " + std::to_string(in_bar_)};
    case Row::output:
        return {"Sounds through",
                settings_.output.name.empty() ? "the default output" : settings_.output.name};
    default:
        return {};
    }
}

} // namespace bellhand::desk
