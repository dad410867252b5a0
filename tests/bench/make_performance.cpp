// Renders a performance of an exercise by a player with chosen faults.
//   make_performance EXERCISE OUT.wav [--crook F] [--a4 440] [--temperament equal] [--seed 1] [--passes 1] [--bars 1-2] [--tempo 112] [--slips SHARE] [--fault ID[@NOTE][*SHARE]]... [--truth OUT.csv]
// Faults have the names of the judgement ("flat", "wrong-partial", "missed", ...); NOTE is a written note.
#include "audio/file.h"
#include "drill/library.h"
#include "homework/teacher.h"
#include "support/performance.h"

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <string>

using namespace bellhand;

namespace {

[[noreturn]] void fail(const std::string& sentence) {
    std::fprintf(stderr, "%s\n", sentence.c_str());
    std::exit(2);
}

test::Weakness weakness_of(std::string text) {
    test::Weakness weakness;
    if (const std::size_t star = text.find('*'); star != std::string::npos) {
        weakness.share = std::strtod(text.c_str() + star + 1, nullptr);
        text.resize(star);
    }
    if (const std::size_t at = text.find('@'); at != std::string::npos) {
        const auto note = horn::parse_note(text.substr(at + 1));
        if (!note) {
            fail(note.error().message);
        }
        weakness.written = note->number;
        text.resize(at);
    }
    const auto fault = drill::fault_from_id(text);
    if (!fault) {
        fail("No fault is called " + text);
    }
    weakness.fault = *fault;
    return weakness;
}

void write_truth(const std::string& path, const test::Performance& performance) {
    std::ofstream file(path);
    file << "step,start_s,duration_s,f0_hz,right,faults\n";
    for (const test::PerformedNote& note : performance.notes) {
        file << (note.step ? std::to_string(*note.step + 1) : "") << ',' << note.start_s << ','
             << note.duration_s << ',' << note.f0_hz << ',' << (note.right ? "yes" : "no") << ',';
        for (const drill::Fault fault : note.faults) {
            file << drill::fault_id(fault) << ' ';
        }
        file << '\n';
    }
    for (const std::uint32_t asked : performance.left_out) {
        file << performance.plan[asked].step + 1 << ",,,,,missed \n";
    }
}

} // namespace

int main(int argc, char** argv) {
    if (argc < 3) {
        fail("make_performance EXERCISE OUT.wav [options]");
    }
    test::PlayerScript script;
    homework::Task task; // what of the exercise is played, and how fast
    std::optional<std::pair<int, int>> bars;
    std::string truth;
    for (int i = 3; i + 1 < argc; i += 2) {
        const std::string option = argv[i];
        const std::string value = argv[i + 1];
        if (option == "--crook") {
            script.tuning.crook = horn::parse_crook(value).value();
        } else if (option == "--a4") {
            script.tuning.a4_hz = std::strtod(value.c_str(), nullptr);
        } else if (option == "--temperament") {
            script.tuning.temperament = horn::parse_temperament(value).value();
        } else if (option == "--seed") {
            script.seed = std::strtoull(value.c_str(), nullptr, 10);
        } else if (option == "--passes") {
            script.passes = std::atoi(value.c_str());
        } else if (option == "--bars") {
            const int first = std::atoi(value.c_str());
            bars.emplace(first, std::atoi(value.c_str() + value.find('-') + 1));
        } else if (option == "--tempo") {
            task.quarters_per_minute = std::strtod(value.c_str(), nullptr);
        } else if (option == "--slips") {
            const double share = std::strtod(value.c_str(), nullptr);
            script.slips = {.neighbour = share,
                            .other_note = share,
                            .extra = share,
                            .left_out = share,
                            .again = share};
        } else if (option == "--fault") {
            script.weaknesses.push_back(weakness_of(value));
        } else if (option == "--truth") {
            truth = value;
        } else {
            fail("Unknown option " + option);
        }
    }
    const auto exercise = drill::find_exercise(argv[1], script.tuning.crook, 1);
    if (!exercise) {
        fail(exercise.error().message);
    }
    task.exercise = *exercise;
    if (bars) {
        const auto steps = homework::steps_of_bars(*exercise, bars->first, bars->second);
        if (!steps) {
            fail(steps.error().message);
        }
        task.first_step = steps->first;
        task.last_step = steps->second;
    }
    const test::Performance performance = test::perform(homework::exercise_of(task), script);
    constexpr double kRate_hz = 48000.0;
    const auto written = audio::write_file(
        argv[2], audio::render(test::sound_of(performance, script.seed), kRate_hz), kRate_hz);
    if (!written) {
        fail(written.error().message);
    }
    if (!truth.empty()) {
        write_truth(truth, performance);
    }
    return 0;
}
