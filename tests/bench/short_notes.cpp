// What the program makes of short tones, of the ends of held tones, and of what is no horn.
//
// usage: short_notes short FOLDER [--gain DB] [--room SECONDS] [--part even|odd]   sounds of FOLDER/truth.csv
//        short_notes courses SHORT.json [--seed N] [--gain DB] [--room SECONDS]    the same tones, rendered here: other
//                                                  phases and noise, played a little faster, slower, higher, lower
//        short_notes held HARMONICS.csv SHORT.json [--count 300] [--seed N]         held tones in rooms of 0.3 to 1.2 s
//        short_notes given TRUTH.csv                                               recorded held tones
//        short_notes other FILE...                                                 what is no horn: rows there are
//        short_notes noises [--minutes 10] [--seed N]                               coughs, claps and turned pages
// `--list yes` prints a line for each sound that is not as it should be.
#include "bench/short_notes/listen.h"
#include "bench/short_notes/measured_tones.h"
#include "support/signals_room.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

namespace {

using namespace bellhand;
using namespace bellhand::test;

constexpr double kRate_hz = 48000.0;
constexpr double kTail_s = 0.030;
constexpr double kNear_cents = 10.0;

struct Options {
    std::map<std::string, std::string> named;
    std::vector<std::string> words;

    [[nodiscard]] double number(const std::string& name, double otherwise) const {
        const auto found = named.find(name);
        return found == named.end() ? otherwise : std::atof(found->second.c_str());
    }
    [[nodiscard]] bool has(const std::string& name, const std::string& value) const {
        const auto found = named.find(name);
        return found != named.end() && found->second == value;
    }
};

std::vector<std::vector<std::string>> read_csv(const std::string& path) {
    std::vector<std::vector<std::string>> rows;
    std::ifstream file(path);
    std::string line;
    std::getline(file, line);
    while (std::getline(file, line)) {
        std::vector<std::string> fields(1);
        bool quoted = false;
        for (const char c : line) {
            if (c == '"') {
                quoted = !quoted;
            } else if (c == ',' && !quoted) {
                fields.emplace_back();
            } else if (c != '\r') {
                fields.back() += c;
            }
        }
        rows.push_back(std::move(fields));
    }
    return rows;
}

std::string described(const trainer::PlayedNote& n) {
    char out[256];
    std::snprintf(out,
                  sizeof out,
                  "[%.3f+%.3f %s %.2f Hz %+.1f sd %.1f attack %+.0f known %.1f unsteady %.1f]",
                  n.start_s,
                  n.duration_s,
                  horn::ascii_name(n.written).c_str(),
                  n.f0_hz,
                  n.deviation_cents,
                  n.spread_cents,
                  n.attack_cents,
                  n.known_within_cents,
                  n.heard.steadiness.known ? n.heard.steadiness.unsteady_cents : 0.0);
    return out;
}

/// Half the way to the next place of the chart: semitones.
constexpr double kHalfWay_cents = 75.0;

/// Counts over sounds with one tone each.
struct Tally {
    int sounds = 0, one_row = 0, no_row = 0, more_rows = 0;
    int claims = 0, near = 0, within = 0, unsure = 0, unsure_within = 0, another_note = 0;
    int wrong_tail = 0, wrong_sure_tail = 0, unsteady = 0, far = 0, attack = 0;
    double right = 0.0, right_sure = 0.0;

    std::string take(const Heard& heard, double f0_hz, double start_s, double end_s) {
        ++sounds;
        std::string wrong;
        one_row += heard.notes.size() == 1;
        no_row += heard.notes.empty();
        more_rows += heard.notes.size() > 1;
        if (heard.notes.size() != 1) {
            wrong += std::to_string(heard.notes.size()) + " rows ";
        }
        for (const trainer::PlayedNote& note : heard.notes) {
            const double off = std::abs(1200.0 * std::log2(note.f0_hz / f0_hz));
            far += std::abs(note.deviation_cents) > kHalfWay_cents;
            unsteady +=
                (note.heard.steadiness.known && note.heard.steadiness.unsteady_cents > 40.0) ||
                note.spread_cents > 40.0;
            attack += std::abs(note.attack_cents - note.deviation_cents) > 600.0;
            another_note += off > 50.0;
            if (heard.notes.size() > 1) {
                continue;
            }
            if (note.pitch_known()) {
                ++claims;
                near += off <= kNear_cents;
                if (off > kNear_cents) {
                    wrong += "off " + std::to_string(off) + " ";
                }
            } else {
                ++unsure;
                unsure_within += off <= note.known_within_cents;
                if (off > note.known_within_cents) {
                    wrong += "outside " + std::to_string(off) + " ";
                }
            }
        }
        const double tail_s = wrong_stretch_s(heard, f0_hz, end_s, false);
        wrong_tail += tail_s >= kTail_s;
        wrong_sure_tail += wrong_stretch_s(heard, f0_hz, end_s, true) >= kTail_s;
        right += right_share(heard, f0_hz, start_s, end_s, false);
        right_sure += right_share(heard, f0_hz, start_s, end_s, true);
        if (tail_s >= kTail_s) {
            wrong += "tail " + std::to_string(tail_s) + " ";
        }
        return wrong;
    }

    void print(const std::string& title) const {
        const double n = std::max(1, sounds);
        std::printf(
            "%-34s n %3d | one row %5.1f %% (none %d, more %d) | pitch known %5.1f %%, of "
            "these within 10 cents %5.1f %% | others %d, within N %d | another note %d, far "
            "%d, attack %d, unsteady %d | tail wrong %4.1f %% (trusted %4.1f) | right hops "
            "%5.2f %% (trusted %5.2f)\n",
            title.c_str(),
            sounds,
            100.0 * one_row / n,
            no_row,
            more_rows,
            100.0 * claims / n,
            100.0 * near / std::max(1, claims),
            unsure,
            unsure_within,
            another_note,
            far,
            attack,
            unsteady,
            100.0 * wrong_tail / n,
            100.0 * wrong_sure_tail / n,
            100.0 * right / n,
            100.0 * right_sure / n);
    }
};

class Rooms {
public:
    explicit Rooms(double rt60_s, std::uint64_t seed) {
        Random random(seed);
        for (int i = 0; i < kRooms; ++i) {
            Room room;
            room.rt60_s = rt60_s > 0.0 ? rt60_s : random.between(0.3, 1.2);
            room.size_m = {
                random.between(4.0, 9.0), random.between(3.5, 7.0), random.between(2.5, 4.0)};
            for (std::size_t d = 0; d < 3; ++d) {
                room.player_m[d] = room.size_m[d] * random.between(0.25, 0.45);
                room.microphone_m[d] = room.player_m[d] + random.between(0.2, 0.9);
            }
            responses_.push_back(impulse_response(room, kRate_hz, random));
        }
    }
    /// The sound in one of the rooms.
    [[nodiscard]] Samples of(std::span<const double> x, Random& random) const {
        const Samples& response = responses_[random.below(responses_.size())];
        Samples longer(x.begin(), x.end());
        longer.resize(x.size() + response.size(), 0.0);
        Samples out = convolved(longer, response);
        for (double& y : out) {
            y += 5e-5 * random.gauss();
        }
        return out;
    }

private:
    static constexpr int kRooms = 6;
    std::vector<Samples> responses_;
};

std::vector<float> to_float(std::span<const double> x, double gain) {
    double peak = 1e-9;
    for (const double v : x) {
        peak = std::max(peak, std::abs(v));
    }
    gain = std::min(gain, 0.99 / peak);
    std::vector<float> out;
    out.reserve(x.size());
    for (const double v : x) {
        out.push_back(static_cast<float>(gain * v));
    }
    return out;
}

void report(const Options& options,
            Tally& tally,
            const std::string& name,
            const Heard& heard,
            double f0_hz,
            double start_s,
            double end_s) {
    const std::string wrong = tally.take(heard, f0_hz, start_s, end_s);
    if (options.has("--list", "all") || (!wrong.empty() && options.has("--list", "yes"))) {
        std::printf(
            "  %s %.2f Hz %.3f..%.3f: %s", name.c_str(), f0_hz, start_s, end_s, wrong.c_str());
        for (const trainer::PlayedNote& note : heard.notes) {
            std::printf(" %s", described(note).c_str());
        }
        std::printf("\n");
    }
}

std::string title_of(const Options& options) {
    std::string title;
    for (const auto& [name, value] : options.named) {
        if (name != "--list") {
            title += name.substr(2) + " " + value + " ";
        }
    }
    return title;
}

/// A tone as it sounds in the room that was asked for, and as soft.
Heard heard_in_room(const Options& options, const Rooms* rooms, Samples samples, Random& random) {
    if (rooms != nullptr) {
        samples = rooms->of(samples, random);
    }
    return listen(to_float(samples, from_db(options.number("--gain", 0.0))), kRate_hz);
}

int short_tones(const Options& options) {
    Tally tally;
    Random random(static_cast<std::uint64_t>(options.number("--seed", 1.0)));
    const double rt60_s = options.number("--room", 0.0);
    const Rooms rooms(std::max(rt60_s, 0.01), 7);
    int at = 0;
    for (const auto& row : read_csv(options.words[0] + "/truth.csv")) {
        const bool even = at++ % 2 == 0;
        if (options.has("--part", even ? "odd" : "even")) {
            continue;
        }
        double rate_hz = kRate_hz;
        const auto sound = read_sound(options.words[0] + "/" + row[0], rate_hz);
        const Heard heard = heard_in_room(
            options, rt60_s > 0.0 ? &rooms : nullptr, Samples(sound.begin(), sound.end()), random);
        report(options,
               tally,
               row[0],
               heard,
               std::atof(row[3].c_str()),
               std::atof(row[1].c_str()),
               std::atof(row[2].c_str()));
    }
    tally.print("short tones " + title_of(options));
    return tally.sounds > 0 ? 0 : 1;
}

/// Every tone again, but otherwise: up to 15 % faster or slower, up to a tone higher or lower, lips that tremble.
int courses(const Options& options) {
    Tally tally;
    Random random(static_cast<std::uint64_t>(options.number("--seed", 1.0)));
    const double rt60_s = options.number("--room", 0.0);
    const Rooms rooms(std::max(rt60_s, 0.01), 11);
    for (MeasuredCourse course : read_short_tones(options.words[0])) {
        course.f0_nominal_hz *= std::exp2(random.between(-200.0, 200.0) / 1200.0);
        const double speed = random.between(0.85, 1.15);
        std::vector<MeasuredMoment> moments;
        double tremble = 0.0;
        for (double at = 0.0; at < static_cast<double>(course.moments.size()); at += speed) {
            moments.push_back(course.moments[static_cast<std::size_t>(at)]);
            tremble += -0.2 * tremble + 1.0 * random.gauss();
            moments.back().cents += tremble;
        }
        course.moments = std::move(moments);
        const SoundingTone tone = sound_of(course, 0.35, 0.25, kRate_hz, random);
        const Heard heard =
            heard_in_room(options, rt60_s > 0.0 ? &rooms : nullptr, tone.samples, random);
        report(options, tally, course.name, heard, tone.f0_hz, tone.start_s, tone.end_s);
    }
    tally.print("short tones rendered anew " + title_of(options));
    return tally.sounds > 0 ? 0 : 1;
}

int held_tones(const Options& options) {
    const auto spectra = read_measured_tones(options.words[0]);
    const auto donors = read_short_tones(options.words[1]);
    if (spectra.empty() || donors.empty()) {
        return 1;
    }
    const auto seed = static_cast<std::uint64_t>(options.number("--seed", 1.0));
    Random random(seed);
    const Rooms rooms(0.0, seed + 100);
    Tally tally;
    const int count = static_cast<int>(options.number("--count", 300.0));
    for (int i = 0; i < count; ++i) {
        const MeasuredCourse course = held_course(
            spectra[random.below(spectra.size())], donors, random.between(0.5, 1.5), random);
        const SoundingTone tone = sound_of(course, 0.35, 0.25, kRate_hz, random);
        const Heard heard = heard_in_room(options, &rooms, tone.samples, random);
        report(options, tally, course.name, heard, tone.f0_hz, tone.start_s, tone.end_s);
    }
    tally.print("held tones " + title_of(options));
    return 0;
}

int given_tones(const Options& options) {
    Tally tally;
    const auto folder = std::filesystem::path(options.words[0]).parent_path();
    for (const auto& row : read_csv(options.words[0])) {
        double rate_hz = kRate_hz;
        const auto sound = read_sound((folder / row[0]).string(), rate_hz);
        if (sound.empty()) {
            continue;
        }
        const Heard heard = listen(sound, rate_hz);
        report(options,
               tally,
               row[0],
               heard,
               std::atof(row[8].c_str()),
               std::atof(row[9].c_str()),
               std::atof(row[10].c_str()));
    }
    tally.print("recorded held tones");
    return tally.sounds > 0 ? 0 : 1;
}

int no_horn(const Options& options) {
    std::size_t rows = 0;
    double seconds = 0.0;
    for (const std::string& path : options.words) {
        double rate_hz = kRate_hz;
        const auto sound = read_sound(path, rate_hz);
        const Heard heard = listen(sound, rate_hz);
        rows += heard.notes.size();
        seconds += static_cast<double>(sound.size()) / rate_hz;
        for (const trainer::PlayedNote& note : heard.notes) {
            std::printf("  %s %s\n", path.c_str(), described(note).c_str());
        }
    }
    std::printf("no horn: %zu rows in %.1f minutes\n", rows, seconds / 60.0);
    return 0;
}

/// Coughs (a burst of throat noise, then some voice that falls), claps and turned pages, one every 1.2 s, in a room.
Samples noises(double minutes, Random& random) {
    Samples out(static_cast<std::size_t>(minutes * 60.0 * kRate_hz), 0.0);
    for (double at_s = 0.5; at_s < minutes * 60.0 - 2.0; at_s += random.between(0.6, 1.8)) {
        const std::size_t kind = random.below(3);
        const double length_s = kind == 0   ? random.between(0.15, 0.4)
                                : kind == 1 ? 0.03
                                            : random.between(0.3, 0.9);
        const double smooth = kind == 0 ? random.between(0.1, 0.3) : kind == 1 ? 0.6 : 0.8;
        const double voice_hz = random.between(90.0, 300.0);
        const double flutter_hz = random.between(15.0, 40.0);
        double low = 0.0;
        double phase = 0.0;
        const auto begin = static_cast<std::size_t>(at_s * kRate_hz);
        const auto length = static_cast<std::size_t>(length_s * kRate_hz);
        for (std::size_t i = 0; i < length && begin + i < out.size(); ++i) {
            const double t = static_cast<double>(i) / kRate_hz;
            low += smooth * (random.gauss() - low);
            double x = 0.2 * low * std::exp(-t / (0.4 * length_s));
            if (kind == 0) {
                phase += voice_hz * (1.0 - 0.5 * t / length_s) / kRate_hz;
                x += 0.1 * (2.0 * std::fmod(phase, 1.0) - 1.0) * std::exp(-t / (0.3 * length_s));
            } else if (kind == 2) {
                x = 0.03 * (low - 0.9 * x) * std::abs(std::sin(3.14159 * flutter_hz * t)) *
                    std::sin(3.14159 * t / length_s);
            }
            out[begin + i] += x;
        }
    }
    return out;
}

int noise_rows(const Options& options) {
    Random random(static_cast<std::uint64_t>(options.number("--seed", 1.0)));
    const Rooms rooms(0.5, 3);
    const double minutes = options.number("--minutes", 10.0);
    const Heard heard = listen(to_float(rooms.of(noises(minutes, random), random), 1.0), kRate_hz);
    for (const trainer::PlayedNote& note : heard.notes) {
        std::printf("  %s\n", described(note).c_str());
    }
    std::printf("coughs, claps and pages: %zu rows in %.1f minutes\n", heard.notes.size(), minutes);
    return 0;
}

} // namespace

int main(int argc, char** argv) {
    Options options;
    const std::vector<std::string> all(argv + 1, argv + argc);
    for (std::size_t i = 1; i < all.size(); ++i) {
        if (all[i].starts_with("--") && i + 1 < all.size()) {
            options.named[all[i]] = all[i + 1];
            ++i;
        } else {
            options.words.push_back(all[i]);
        }
    }
    const std::string what = all.empty() ? "" : all[0];
    if (what == "short" && options.words.size() == 1) {
        return short_tones(options);
    }
    if (what == "courses" && options.words.size() == 1) {
        return courses(options);
    }
    if (what == "held" && options.words.size() == 2) {
        return held_tones(options);
    }
    if (what == "given" && options.words.size() == 1) {
        return given_tones(options);
    }
    if (what == "noises" && options.words.empty()) {
        return noise_rows(options);
    }
    if (what == "other" && !options.words.empty()) {
        return no_horn(options);
    }
    std::fprintf(stderr,
                 "usage: short_notes short|courses|held|given|other|noises ... (see the source)\n");
    return 2;
}
