#include "support/free_player.h"

#include "core/cents.h"
#include "support/signals_disturb.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::test {

namespace {

using drill::Asked;
using drill::Fault;

constexpr double kBefore_s = 0.8; // silence before the first note, or before the count-in
constexpr double kTongue_s = 0.050;
constexpr double kTone_dbfs = -21.0;
constexpr double kBeforeTone_s = 0.05; // of silence in the sound of one note
constexpr int kCountIn = 4;
constexpr double kHigher_m = 0.1;
constexpr int kTries = 2;

class FreePlaying {
public:
    FreePlaying(const drill::Exercise& exercise, const FreePlayer& player) : random_(player.seed) {
        out_.player = player;
        drill::PlanSettings settings;
        settings.tuning = player.tuning;
        out_.plan = drill::plan_of(exercise, settings);
        out_.quarter_s = 60.0 / exercise.quarters_per_minute;
        swing_from_ = random_.uniform();
    }

    FreePerformance play() {
        const double begin_s = kBefore_s + kCountIn * out_.quarter_s;
        double at_s = begin_s + out_.player.click_lag_s; // where the pulse has come to
        for (std::size_t i = 0; i < out_.plan.size(); ++i) {
            const double quarter_s = quarter_at(i);
            const double gap = i + 1 < out_.plan.size()
                                   ? out_.plan[i + 1].at_quarters - out_.plan[i].at_quarters
                                   : out_.plan[i].quarters;
            at_s += play_step(i, at_s, quarter_s);
            at_s += gap * quarter_s;
        }
        out_.end_s = at_s + 1.2;
        for (double beat_s = kBefore_s; beat_s < at_s; beat_s += out_.quarter_s) {
            out_.beats_s.push_back(beat_s);
        }
        return std::move(out_);
    }

private:
    double quarter_at(std::size_t note) const {
        const FreePlayer& player = out_.player;
        const double turn = static_cast<double>(note) / player.rubato_notes + swing_from_;
        const double swing = 1.0 + player.rubato * std::sin(2.0 * std::numbers::pi * turn);
        return out_.quarter_s * (1.0 + player.drift_share) / (player.tempo * swing);
    }

    /// How much the pulse itself is put off by this note.
    double play_step(std::size_t index, double at_s, double quarter_s) {
        const FreePlayer& player = out_.player;
        const Asked& asked = out_.plan[index];
        FreeNote note;
        note.asked = static_cast<std::uint32_t>(index);
        note.closed = asked.hand_to >= horn::Hand::three_quarters;
        note.slurred = asked.slurred && index > 0 && !out_.notes.empty() &&
                       out_.notes.back().asked + 1 == index;
        const double most = 0.85 * asked.tolerance_cents;
        const double cents =
            std::clamp(player.pitch_share * asked.tolerance_cents * random_.gauss(), -most, most);
        note.f0_hz = asked.target_hz * std::exp2(cents / 1200.0);
        note.attack_cents = std::clamp(6.0 * random_.gauss(), -18.0, 18.0);
        note.gain_db = random_.between(-2.0, 2.0);
        note.duration_s = asked.quarters * quarter_s - (note.slurred ? 0.0 : kTongue_s);
        note.start_s = at_s + std::clamp(player.onset_s * random_.gauss(),
                                         -2.5 * player.onset_s,
                                         2.5 * player.onset_s);
        double put_off_s = 0.0;
        // Two faults in a row can be something else: two late notes are a pulse that has moved.
        const bool may = index > 1 && index + 1 < out_.plan.size() && index > last_fault_ + 2;
        if (may && !player.faults.empty() && random_.uniform() < player.fault_share) {
            const Fault fault = player.faults[random_.below(player.faults.size())];
            put_off_s = put_in(fault, asked, note);
            last_fault_ = note.fault ? index : last_fault_;
        }
        if (note.fault == Fault::missed) {
            return 0.0;
        }
        if (!out_.notes.empty() && !note.slurred) { // the one before makes room
            FreeNote& last = out_.notes.back();
            last.duration_s = std::min(last.duration_s, note.start_s - last.start_s - kTongue_s);
        } else if (!out_.notes.empty()) {
            out_.notes.back().duration_s = note.start_s - out_.notes.back().start_s;
        }
        out_.notes.push_back(note);
        return put_off_s;
    }

    double put_in(Fault fault, const Asked& asked, FreeNote& note) {
        const FreePlayer& player = out_.player;
        const double beyond = asked.tolerance_cents + random_.between(8.0, 14.0);
        note.fault = fault;
        switch (fault) {
        case Fault::flat:
        case Fault::sharp:
            note.f0_hz =
                asked.target_hz * std::exp2((fault == Fault::flat ? -beyond : beyond) / 1200.0);
            break;
        case Fault::attack_flat:
        case Fault::attack_sharp:
            note.attack_cents =
                (fault == Fault::attack_flat ? -1.0 : 1.0) * random_.between(70.0, 110.0);
            note.fault = note.slurred || note.duration_s < 0.35 ? std::nullopt : note.fault;
            break;
        case Fault::unsteady:
            note.wobble_cents = random_.between(20.0, 30.0);
            note.fault = note.duration_s < 0.7 ? std::nullopt : note.fault;
            break;
        case Fault::wrong_partial:
            miss(asked, note);
            break;
        case Fault::early:
        case Fault::late: {
            const double off_s = fault == Fault::late ? player.late_s : -player.late_s;
            note.start_s += off_s;
            note.duration_s -= player.comes_back ? off_s : 0.0;
            if (note.duration_s < 0.12) { // no room for it
                note.start_s -= off_s;
                note.duration_s += off_s;
                note.fault.reset();
                return 0.0;
            }
            return player.comes_back ? 0.0 : off_s;
        }
        default:
            break;
        }
        if (!note.fault) {
            note.attack_cents = std::clamp(note.attack_cents, -18.0, 18.0);
            note.wobble_cents = 0.0;
        }
        return 0.0;
    }

    void miss(const Asked& asked, FreeNote& note) {
        const double* nearest = nullptr;
        double off = 1e9;
        for (const double& hz : asked.other_partials_hz) {
            const double cents = std::fabs(cents_between(hz, asked.target_hz));
            if (cents > 90.0 && cents < off) {
                off = cents;
                nearest = &hz;
            }
        }
        if (nearest == nullptr) {
            note.fault.reset();
            return;
        }
        note.f0_hz = *nearest * std::exp2(4.0 * random_.gauss() / 1200.0);
        // Slurred to where the note before was it would be no note of its own.
        note.slurred = note.slurred && !out_.notes.empty() &&
                       std::fabs(cents_between(note.f0_hz, out_.notes.back().f0_hz)) > 60.0;
    }

    Random random_;
    FreePerformance out_;
    double swing_from_ = 0.0;
    std::size_t last_fault_ = 0;
};

const MeasuredTone&
nearest_tone(const std::vector<MeasuredTone>& tones, const FreeNote& note, Random& random) {
    const char* const wanted = note.closed ? "muted" : "open";
    const MeasuredTone* best = nullptr;
    double best_off = 1e9;
    for (const MeasuredTone& tone : tones) {
        const double off = std::fabs(cents_between(tone.f0_hz, note.f0_hz)) +
                           250.0 * random.uniform() + (tone.technique == wanted ? 0.0 : 1e6);
        if (off < best_off) {
            best_off = off;
            best = &tone;
        }
    }
    return *best;
}

ToneShape shape_of(const FreeNote& note, const Spectrum& spectrum, Random& random) {
    ToneShape shape;
    shape.on_s = kBeforeTone_s;
    shape.off_s = kBeforeTone_s + note.duration_s;
    shape.attack_s = random.between(0.015, 0.035);
    shape.release_s = random.between(0.02, 0.06);
    shape.bright_last = true;
    shape.first = spectrum;
    shape.lips = {1.5, 0.6, 0.5};
    const double begin_s = shape.on_s;
    const double wobble_hz = random.between(2.6, 3.6);
    shape.f0_hz = [note, begin_s, wobble_hz](double t) {
        const double after_s = t - begin_s - 0.075;
        const double way = after_s < 0.0 ? 1.0 : std::exp(-after_s / 0.010);
        const double wobble =
            note.wobble_cents * std::sin(2.0 * std::numbers::pi * wobble_hz * (t - begin_s));
        return note.f0_hz * std::exp2((note.attack_cents * way + wobble) / 1200.0);
    };
    return shape;
}

/// The lips tremble about a mean that is off by a cent or two in a short note: the tone is made to stand, in the median,
/// where the note was meant.
KnownTone tone_of(const FreeNote& note, const Spectrum& spectrum, double rate_hz, Random& random) {
    const double length_s = note.duration_s + 0.15;
    const Random begin = random;
    KnownTone tone = make_tone(shape_of(note, spectrum, random), length_s, rate_hz, random);
    std::vector<double> off_cents;
    for (std::size_t ms = 0; ms < tone.f0_hz.size(); ++ms) {
        const double after_s = 0.001 * static_cast<double>(ms) - kBeforeTone_s;
        if (tone.f0_hz[ms] > 0.0 && after_s > std::min(0.12, 0.4 * note.duration_s)) {
            off_cents.push_back(cents_between(tone.f0_hz[ms], note.f0_hz));
        }
    }
    if (off_cents.empty() || note.wobble_cents > 0.0) {
        return tone;
    }
    const auto middle = off_cents.begin() + static_cast<std::ptrdiff_t>(off_cents.size() / 2);
    std::nth_element(off_cents.begin(), middle, off_cents.end());
    FreeNote meant = note;
    meant.f0_hz *= std::exp2(-*middle / 1200.0);
    random = begin;
    return make_tone(shape_of(meant, spectrum, random), length_s, rate_hz, random);
}

void add_cough(Samples& samples, double at_s, double rate_hz, Random& random) {
    const auto first = static_cast<std::size_t>(at_s * rate_hz);
    const double length_s = random.between(0.15, 0.35);
    const double level = from_db(random.between(-8.0, 2.0));
    double low = 0.0;
    double band = 0.0;
    const double resonance = random.between(0.06, 0.14); // some 500 to 1000 Hz at 48 kHz
    for (std::size_t i = 0;
         i < static_cast<std::size_t>(length_s * rate_hz) && first + i < samples.size();
         ++i) {
        const double t = static_cast<double>(i) / rate_hz;
        low += resonance * band;
        band += resonance * (random.gauss() - low - 0.7 * band);
        samples[first + i] +=
            level * 4.0 * band * std::exp(-t / (0.3 * length_s)) * std::min(1.0, t / 0.008);
    }
}

/// The microphone stands before the player, a little higher. Specular walls ring longer than the formula by which they are
/// made to absorb (Lehmann and Johansson 2008, J. Acoust. Soc. Am. 124, 269): the room is made until it rings as asked.
Samples response_of(const Hall& hall, double rate_hz, Random& random) {
    Room room;
    room.rt60_s = hall.rt60_s;
    const double direction = random.between(-0.6, 0.6);
    const double away_m = std::sqrt(hall.microphone_m * hall.microphone_m - kHigher_m * kHigher_m);
    room.microphone_m = {room.player_m[0] + away_m * std::cos(direction),
                         room.player_m[1] + away_m * std::sin(direction),
                         room.player_m[2] + kHigher_m};
    const Random begin = random;
    Samples response = impulse_response(room, rate_hz, random);
    for (int i = 0; i < kTries; ++i) {
        random = begin;
        room.rt60_s *= hall.rt60_s / measured_rt60_s(response, rate_hz);
        response = impulse_response(room, rate_hz, random);
    }
    return response;
}

} // namespace

FreePerformance play_freely(const drill::Exercise& exercise, const FreePlayer& player) {
    return FreePlaying(exercise, player).play();
}

std::vector<trainer::PlayedNote> heard_notes(const FreePerformance& performance) {
    Random random(performance.player.seed + 77);
    std::vector<trainer::PlayedNote> notes;
    for (const FreeNote& played : performance.notes) {
        trainer::PlayedNote note;
        note.index = static_cast<std::uint32_t>(notes.size());
        note.f0_hz = played.f0_hz * std::exp2(0.3 * random.gauss() / 1200.0);
        const auto reading = horn::read_pitch(note.f0_hz, performance.player.tuning);
        if (!reading) {
            continue;
        }
        note.start_s = played.start_s + 0.008 * random.gauss();
        note.duration_s = std::max(0.06, played.duration_s + 0.020 * random.gauss());
        note.written = reading->written;
        note.partial = reading->partial;
        note.hand = reading->hand;
        note.target_hz = reading->target_hz;
        note.deviation_cents = reading->deviation_cents;
        note.attack_cents = reading->deviation_cents + 0.6 * played.attack_cents;
        note.spread_cents = 1.5 + 0.7 * played.wobble_cents;
        note.level_dbfs = kTone_dbfs + played.gain_db;
        note.finished = true;
        notes.push_back(note);
    }
    return notes;
}

std::vector<float> sound_of(const FreePerformance& performance,
                            const std::vector<MeasuredTone>& tones,
                            const Hall& hall,
                            double rate_hz) {
    Random random(performance.player.seed + 5);
    Samples dry(static_cast<std::size_t>(performance.end_s * rate_hz), 0.0);
    for (const FreeNote& note : performance.notes) {
        const MeasuredTone& tone = nearest_tone(tones, note, random);
        const KnownTone sounded = tone_of(note, tone.amplitudes, rate_hz, random);
        const auto first =
            static_cast<std::size_t>(std::max(0.0, note.start_s - kBeforeTone_s) * rate_hz);
        const double gain = from_db(note.gain_db);
        for (std::size_t i = 0; i < sounded.samples.size() && first + i < dry.size(); ++i) {
            dry[first + i] += gain * sounded.samples[i];
        }
    }
    Samples wet = dry;
    if (hall.rt60_s > 0.0) {
        wet = convolved(dry, response_of(hall, rate_hz, random));
    }
    for (double at_s = 0.5; hall.coughs_per_minute > 0.0 && at_s < performance.end_s;) {
        at_s += 60.0 / hall.coughs_per_minute * random.between(0.5, 1.5);
        add_cough(wet, at_s, rate_hz, random);
    }
    add_pink(wet, hall.noise_below_db, rate_hz, random);
    return normalised(wet, kTone_dbfs);
}

bool names(const drill::Judgement& judgement, drill::Fault fault) {
    return std::find(judgement.faults.begin(), judgement.faults.end(), fault) !=
           judgement.faults.end();
}

} // namespace bellhand::test
