// A student for lessons through a real sound server: reads what `bellhand today --run --format json` asks from standard
// input, plays it with a chosen weakness as raw sound (48 kHz, 16 bit, one channel) on standard output, without an end
// and at the pace at which it is taken, and writes what went wrong on purpose to TRUTH: block, pass, step, fault.
//
// usage: scripted_student TRUTH SEED
#include "audio/synth.h"
#include "drill/words.h"
#include "support/performance.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include <poll.h>
#include <unistd.h>

namespace {

using namespace bellhand;

constexpr double kRate_hz = 48000.0;
constexpr std::size_t kChunk = 960; // 20 ms

/// Lines that have come in so far, without waiting.
class Lines {
public:
    bool next(std::string& line) {
        pollfd input{STDIN_FILENO, POLLIN, 0};
        char text[4096];
        while (!ended_ && poll(&input, 1, 0) > 0) {
            const ssize_t count = read(STDIN_FILENO, text, sizeof text);
            if (count <= 0) {
                ended_ = true;
                break;
            }
            waiting_.append(text, static_cast<std::size_t>(count));
        }
        const std::size_t end = waiting_.find('\n');
        if (end == std::string::npos) {
            return false;
        }
        line = waiting_.substr(0, end);
        waiting_.erase(0, end + 1);
        return true;
    }
    [[nodiscard]] bool ended() const { return ended_ && waiting_.empty(); }

private:
    std::string waiting_;
    bool ended_ = false;
};

drill::Exercise exercise_of(const nlohmann::json& asked) {
    drill::Exercise exercise;
    for (const auto& note : asked.at("notes")) {
        drill::Step step;
        step.written = horn::parse_note(note.at("written").get<std::string>()).value();
        step.partial = note.at("partial").get<int>();
        step.quarters = note.at("quarters").get<double>();
        step.slurred = note.at("slurred").get<bool>();
        const auto hairpin = note.at("hairpin").get<std::string>();
        const auto named = std::find(drill::kHairpins.begin(), drill::kHairpins.end(), hairpin);
        if (named != drill::kHairpins.end()) {
            step.hairpin = static_cast<drill::Hairpin>(named - drill::kHairpins.begin());
        }
        exercise.steps.push_back(step);
    }
    return exercise;
}

class Student {
public:
    Student(const char* truth, std::uint64_t seed) : truth_(truth), seed_(seed) {
        truth_ << "block,pass,step,fault\n";
    }

    std::vector<float> play(const nlohmann::json& asked) {
        const bool again = asked.at("again").get<bool>();
        const auto block = asked.at("block").get<int>();
        if (!again) {
            passes_ = asked.at("passes").get<int>();
        }
        test::PlayerScript script;
        script.tuning.crook = *horn::parse_crook(asked.at("crook").get<std::string>());
        script.seed = seed_++;
        script.passes = again ? 1 : passes_;
        script.open_cents = 1.5;
        script.most_of_tolerance = 0.35;
        // One note is flat, another overshoots; which ones follows from what is asked.
        const drill::Exercise exercise = exercise_of(asked);
        test::Weakness flat;
        flat.written = exercise.steps.front().written->number;
        flat.share = 0.3;
        flat.amount = 25.0;
        test::Weakness neighbour;
        neighbour.fault = drill::Fault::wrong_partial;
        neighbour.written = exercise.steps.back().written->number;
        neighbour.share = again ? 0.0 : 0.15;
        script.weaknesses = {flat, neighbour};
        const test::Performance performance = test::perform(exercise, script);
        int pass = again ? passes_ : 0;
        std::uint32_t last = 0;
        for (const test::PerformedNote& note : performance.notes) {
            pass += note.asked < last ? 1 : 0;
            last = note.asked;
            for (const drill::Fault fault : note.faults) {
                truth_ << block << ',' << pass << ','
                       << asked.at("notes")[note.asked].at("step").get<int>() << ','
                       << drill::fault_id(fault) << '\n';
            }
        }
        truth_.flush();
        return audio::render(test::sound_of(performance, script.seed), kRate_hz);
    }

private:
    std::ofstream truth_;
    std::uint64_t seed_;
    int passes_ = 1;
};

bool put(const std::vector<float>& sound, std::size_t from) {
    std::int16_t out[kChunk];
    for (std::size_t i = 0; i < kChunk; ++i) {
        const float sample = from + i < sound.size() ? sound[from + i] : 0.0F;
        out[i] = static_cast<std::int16_t>(std::lround(std::clamp(sample, -1.0F, 1.0F) * 32767.0F));
    }
    return std::fwrite(out, sizeof out[0], kChunk, stdout) == kChunk && std::fflush(stdout) == 0;
}

} // namespace

int main(int argc, char** argv) {
    if (argc != 3) {
        std::fprintf(stderr, "usage: scripted_student TRUTH SEED\n");
        return 2;
    }
    Student student(argv[1], std::strtoull(argv[2], nullptr, 10));
    Lines lines;
    std::vector<float> sound;
    std::size_t at = 0;
    for (std::string line; !lines.ended();) {
        while (lines.next(line)) {
            const auto told = nlohmann::json::parse(line, nullptr, false);
            if (!told.is_object() || !told.contains("answer")) {
                continue;
            }
            const nlohmann::json& event = told["answer"];
            if (event.is_object() && event.value("event", "") == "asked") {
                sound = student.play(event);
                at = 0;
            } else if (event.is_object() && event.value("event", "") == "rest") {
                sound.clear(); // the block is over, whatever was left of it
            }
        }
        if (!put(sound, at)) {
            break;
        }
        at = std::min(at + kChunk, sound.size());
    }
    return 0;
}
