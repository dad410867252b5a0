#include "support/call_lesson.h"

#include "audio/exact_math.h"
#include "audio/file.h"
#include "audio/synth.h"
#include "core/cents.h"
#include "support/take_sound.h"
#include "support/temporary_folder.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <stdexcept>
#include <utility>

namespace bellhand::test {

using desk::Side;

namespace {

using Sound = std::vector<float>;

float gain_of(double db) {
    return static_cast<float>(std::pow(10.0, db / 20.0));
}

/// Phrases of the teacher, answered by the student: after a pause, before the teacher has ended, or together with her.
std::vector<CallNote> conversation(audio::exact::Random& chance, double length_s) {
    constexpr std::array kNotes{60, 62, 64, 65, 66, 67, 68, 69, 70, 71, 72, 74, 76};
    std::vector<CallNote> all;
    double at_s = 0.5;
    const auto pick = [&](std::size_t count) {
        return std::min(count - 1,
                        static_cast<std::size_t>(chance.uniform() * static_cast<double>(count)));
    };
    while (at_s < length_s - 9.0) {
        const std::size_t count = 3 + pick(3);
        std::vector<CallNote> phrase;
        double time_s = at_s;
        for (std::size_t i = 0; i < count; ++i) {
            CallNote note;
            note.start_s = time_s;
            note.duration_s = 0.3 + 0.6 * chance.uniform();
            note.number = kNotes[pick(kNotes.size())];
            note.cents = 8.0 * chance.normal();
            time_s += note.duration_s + 0.06;
            phrase.push_back(note);
        }
        const double how = chance.uniform();
        const double wait_s = how < 0.5   ? (time_s - at_s) + 0.4 + 0.8 * chance.uniform()
                              : how < 0.8 ? (time_s - at_s) - 0.3 - 0.6 * chance.uniform()
                                          : 0.1 + 0.3 * chance.uniform();
        double end_s = time_s;
        std::vector<CallNote> answer = phrase;
        for (CallNote& note : answer) {
            note.side = Side::call;
            note.start_s += wait_s;
            note.duration_s *= 0.85 + 0.15 * chance.uniform();
            note.cents = 14.0 * chance.normal();
            end_s = note.start_s + note.duration_s;
        }
        all.insert(all.end(), phrase.begin(), phrase.end());
        all.insert(all.end(), answer.begin(), answer.end());
        at_s = std::max(time_s, end_s) + 0.6 + 0.8 * chance.uniform();
    }
    return all;
}

Sound played(const std::vector<CallNote>& notes, Side side, std::uint64_t seed, double length_s) {
    audio::SynthScore score;
    score.length_s = length_s;
    score.noise_dbfs = -66.0;
    score.seed = seed;
    audio::exact::Random chance(seed + 77);
    for (const CallNote& note : notes) {
        if (note.side == side) {
            audio::ToneSpec tone;
            tone.start_s = note.start_s;
            tone.duration_s = note.duration_s;
            tone.f0_hz =
                horn::target_hz(horn::usual_spelling(note.number), {}) * ratio_of_cents(note.cents);
            tone.level_dbfs = -21.0 + 1.5 * chance.normal();
            score.tones.push_back(tone);
        }
    }
    return audio::render(score, kCallRate_hz);
}

/// Slow gain towards a constant level, as calls have it: 0.3 s up, 0.05 s down, at most 12 dB.
Sound ridden(Sound sound) {
    constexpr float kWanted = 0.09F;
    constexpr float kMost = 4.0F;
    float level = kWanted;
    for (float& sample : sound) {
        const float now = std::fabs(sample);
        level +=
            (now > level ? 1.0F / (0.05F * 48000.0F) : 1.0F / (0.6F * 48000.0F)) * (now - level);
        sample *= std::clamp(kWanted / std::max(level, 1e-4F) * 0.6F, 0.4F, kMost);
        sample = std::clamp(sample, -0.98F, 0.98F);
    }
    return sound;
}

/// Through Opus at 24 kbit/s.
Sound carried(const Sound& sound, bool codec) {
    const Sound loud = ridden(sound);
    if (!codec) {
        return loud;
    }
    const TemporaryFolder folder;
    const std::string in = (folder / "in.wav").string();
    const std::string packets = (folder / "packets.opus").string();
    const std::string out = (folder / "out.wav").string();
    if (auto written = audio::write_file(in, loud, kCallRate_hz); !written) {
        throw std::runtime_error(written.error().message);
    }
    const std::string command = "opusenc --quiet --bitrate 24 --framesize 20 " + in + " " +
                                packets + " && opusdec --quiet --rate 48000 " + packets + " " + out;
    if (std::system(command.c_str()) != 0) {
        throw std::runtime_error("the codec failed");
    }
    Sound back = samples_of(out);
    back.resize(sound.size(), 0.0F);
    return back;
}

void add_late(Sound& to, const Sound& from, double late_s, double db) {
    const auto late = static_cast<std::size_t>(late_s * kCallRate_hz);
    const float gain = gain_of(db);
    for (std::size_t i = late; i < to.size(); ++i) {
        to[i] += gain * from[i - late];
    }
}

/// The other side's echo covers most of it in its own input, at the same pitch: nobody could tell the two apart.
bool masked(const CallNote& note, const std::vector<CallNote>& truth, double late_s) {
    double covered_s = 0.0;
    for (const CallNote& each : truth) {
        if (each.side != note.side && each.number == note.number) {
            covered_s += std::max(
                0.0,
                std::min(note.start_s + note.duration_s, each.start_s + late_s + each.duration_s) -
                    std::max(note.start_s, each.start_s + late_s));
        }
    }
    return covered_s > 0.7 * note.duration_s;
}

bool covers(const desk::LessonNote& note, const CallNote& truth, double shift_s) {
    const double start_s = truth.start_s + shift_s;
    const double shared_s =
        std::min(note.end_s(), start_s + truth.duration_s) - std::max(note.start_s, start_s);
    return note.side == truth.side && note.written.number == truth.number &&
           shared_s > 0.4 * std::min(truth.duration_s, note.duration_s);
}

/// That side played something for most of the note.
bool played_then(const desk::LessonNote& note, const std::vector<CallNote>& truth, double shift_s) {
    return std::any_of(truth.begin(), truth.end(), [&](const CallNote& each) {
        const double start_s = each.start_s + shift_s;
        const double shared_s =
            std::min(note.end_s(), start_s + each.duration_s) - std::max(note.start_s, start_s);
        return note.side == each.side && shared_s > 0.5 * note.duration_s;
    });
}

std::string line(const char* what, Side side, int number, double start_s, double duration_s) {
    char text[96];
    std::snprintf(text,
                  sizeof text,
                  "%s %s: %d at %.2f s for %.2f s\n",
                  what,
                  side == Side::here ? "here" : "call",
                  number,
                  start_s,
                  duration_s);
    return text;
}

} // namespace

bool has_call_codec() {
    return std::system("command -v opusenc opusdec > /dev/null") == 0;
}

CallLesson make_call_lesson(std::uint64_t seed, double length_s) {
    const bool codec = has_call_codec();
    audio::exact::Random chance(seed);
    CallLesson lesson;
    lesson.truth = conversation(chance, length_s);
    const double back_db = -6.0 - 14.0 * chance.uniform();
    const double back_s = 0.08 + 0.32 * chance.uniform();
    const double far_db = -6.0 - 14.0 * chance.uniform();
    const double far_s = 0.08 + 0.32 * chance.uniform();
    const Sound teacher = played(lesson.truth, Side::here, seed, length_s);
    Sound students = played(lesson.truth, Side::call, seed + 1000, length_s);
    add_late(students, carried(teacher, codec), far_s, far_db);
    lesson.call = carried(students, codec);
    lesson.microphone = teacher;
    add_late(lesson.microphone, lesson.call, back_s, back_db);
    lesson.late_s = {back_s, far_s};
    char words[120];
    std::snprintf(words,
                  sizeof words,
                  "here back %.0f dB after %.0f ms, there %.0f dB after %.0f ms",
                  back_db,
                  1e3 * back_s,
                  far_db,
                  1e3 * far_s);
    lesson.ways = words;
    return lesson;
}

CallScore score_call(const CallLesson& lesson,
                     const std::vector<desk::LessonNote>& told,
                     const std::array<double, 2>& shift_s) {
    CallScore score;
    for (const CallNote& note : lesson.truth) {
        if (masked(note, lesson.truth, lesson.late_s[desk::place(note.side)])) {
            continue;
        }
        ++score.notes;
        const bool right = std::any_of(told.begin(), told.end(), [&](const auto& each) {
            return covers(each, note, shift_s[desk::place(note.side)]);
        });
        score.right += right ? 1 : 0;
        if (!right) {
            score.faults += line("missed", note.side, note.number, note.start_s, note.duration_s);
        }
    }
    for (const desk::LessonNote& note : told) {
        ++score.counted;
        const double later_s = shift_s[desk::place(note.side)];
        if (!played_then(note, lesson.truth, later_s)) {
            ++score.invented;
            score.faults += line("invented",
                                 note.side,
                                 note.written.number,
                                 note.start_s - later_s,
                                 note.duration_s);
        }
    }
    return score;
}

double
found_shift_s(const CallLesson& lesson, const std::vector<desk::LessonNote>& told, Side side) {
    std::vector<double> shifts;
    for (const desk::LessonNote& note : told) {
        for (const CallNote& each : lesson.truth) {
            if (note.side == side && each.side == side && note.written.number == each.number) {
                shifts.push_back(note.start_s - each.start_s);
            }
        }
    }
    constexpr double kSame_s = 0.05;
    double best_s = 0.0;
    std::ptrdiff_t most = 0;
    for (const double shift_s : shifts) {
        const auto agree = std::count_if(shifts.begin(), shifts.end(), [&](double each) {
            return std::fabs(each - shift_s) < kSame_s;
        });
        if (agree > most) {
            most = agree;
            best_s = shift_s;
        }
    }
    return best_s;
}

} // namespace bellhand::test
