// The estimator over many sounds in one process.
//
// usage: ear_batch [--crook F] [--a4 440] OUT FOLDER       every sound of FOLDER/manifest.csv; what the program itself
//                                                          played meanwhile (FOLDER/played/NAME.csv) is taken out
//                                                          first, unless --leave yes
//        ear_batch [--crook F] [--a4 440] OUT -- FILE...   these sounds, any format and rate; OUT/STEM.csv
// Without --crook the estimator knows no crook. Prints seconds of processor time and of sound.
// Columns: the live reading at the newest sample, then the judged one, then what else a frame says.
#include "bench/ear_batch/own_tones.h"
#include "pitch/estimator.h"
#include "support/signals.h"
#include "trainer/reading.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace {

using bellhand::pitch::PitchFrame;

void print_header(std::FILE* csv) {
    std::fprintf(csv,
                 "time_s,f0_hz,confidence,level_dbfs,f0_sd_cents,judged_time_s,judged_hz,judged_sd_"
                 "cents,onset_time_s,"
                 "snr_db,noise_dbfs\n");
}

void print_row(std::FILE* csv, const PitchFrame& f) {
    std::fprintf(csv, "%.6f,", f.time_s);
    if (f.voiced && f.f0_hz > 0.0) {
        std::fprintf(csv, "%.6f", f.f0_hz);
    }
    std::fprintf(
        csv, ",%.3f,%.2f,", static_cast<double>(f.confidence), static_cast<double>(f.level_dbfs));
    if (f.voiced && f.f0_hz > 0.0) {
        std::fprintf(csv, "%.5f", f.f0_sd_cents);
    }
    if (f.judged_hz > 0.0) {
        std::fprintf(csv, ",%.6f,%.6f,%.5f,", f.judged_time_s, f.judged_hz, f.judged_sd_cents);
    } else {
        std::fprintf(csv, ",,,,");
    }
    if (f.onset) {
        std::fprintf(csv, "%.4f", f.onset_time_s);
    }
    std::fprintf(
        csv, ",%.1f,%.1f\n", static_cast<double>(f.snr_db), static_cast<double>(f.noise_dbfs));
}

void print_report(const std::string& sound, const bellhand::bleed::Report& report) {
    std::fprintf(stderr,
                 "%s: state %d, heard %.1f dBFS, left %.1f, clock %.2f ppm, %d changes\n",
                 std::filesystem::path(sound).stem().c_str(),
                 static_cast<int>(report.state),
                 10.0 * std::log10(report.heard + 1e-20),
                 10.0 * std::log10(report.left + 1e-20),
                 report.clock_ppm,
                 report.changes);
}

bool run(const std::string& sound,
         const std::string& out,
         const std::optional<bellhand::pitch::PitchPrior>& prior,
         bellhand::test::OwnTones* own,
         double& seconds) {
    bellhand::pitch::EstimatorConfig config;
    auto samples = bellhand::test::read_sound(sound, config.sample_rate_hz);
    if (samples.empty()) {
        std::fprintf(stderr, "%s: cannot be read\n", sound.c_str());
        return false;
    }
    auto estimator = bellhand::pitch::make_estimator(config);
    std::FILE* csv = std::fopen(out.c_str(), "w");
    if (!estimator || csv == nullptr) {
        std::fprintf(stderr,
                     "%s: %s\n",
                     sound.c_str(),
                     estimator ? "cannot write the readings" : estimator.error().message.c_str());
        return false;
    }
    if (prior) {
        (*estimator)->set_prior(*prior);
    }
    print_header(csv);
    PitchFrame frame;
    const std::span<float> all(samples);
    for (std::size_t at = 0; at < all.size(); at += bellhand::audio::kBlockSamples) {
        const auto block =
            all.subspan(at, std::min(bellhand::audio::kBlockSamples, all.size() - at));
        if (own != nullptr) {
            own->remove(block, config.sample_rate_hz, frame.voiced);
        }
        std::span<const float> rest(block);
        while (!rest.empty()) {
            rest = rest.subspan((*estimator)->push(rest));
            while ((*estimator)->frame(frame)) {
                print_row(csv, frame);
            }
        }
    }
    if (own != nullptr) {
        print_report(sound, own->report());
    }
    std::fclose(csv);
    seconds += static_cast<double>(samples.size()) / config.sample_rate_hz;
    return true;
}

} // namespace

int main(int argc, char** argv) {
    std::vector<std::string> words(argv + 1, argv + argc);
    bellhand::horn::Tuning tuning;
    bool crook_known = false;
    bool leave = false;
    while (words.size() >= 2 && words[0].starts_with("--") && words[0] != "--") {
        if (words[0] == "--crook") {
            const auto crook = bellhand::horn::parse_crook(words[1]);
            if (!crook) {
                std::fprintf(stderr, "%s\n", crook.error().message.c_str());
                return 2;
            }
            tuning.crook = *crook;
            crook_known = true;
        } else if (words[0] == "--leave") {
            leave = words[1] == "yes";
        } else if (words[0] == "--a4") {
            tuning.a4_hz = std::atof(words[1].c_str());
        } else {
            words.clear();
            break;
        }
        words.erase(words.begin(), words.begin() + 2);
    }
    if (words.size() < 2 || (words[1] == "--") != (words.size() > 2)) {
        std::fprintf(stderr,
                     "usage: ear_batch [--crook F] [--a4 440] OUT FOLDER | OUT -- FILE...\n");
        return 2;
    }
    const std::string out = words[0];
    std::filesystem::create_directories(out);
    std::vector<std::string> sounds(words.begin() + 2, words.end());
    if (sounds.empty()) {
        std::ifstream manifest(words[1] + "/manifest.csv");
        std::string line;
        std::getline(manifest, line);
        while (std::getline(manifest, line)) {
            sounds.push_back(words[1] + "/wav/" + line.substr(0, line.find(',')) + ".wav");
        }
    }
    std::optional<bellhand::pitch::PitchPrior> prior;
    if (crook_known) {
        prior = bellhand::trainer::prior_for(tuning);
    }
    double seconds = 0.0;
    int failed = 0;
    for (const std::string& sound : sounds) {
        const std::string stem = std::filesystem::path(sound).stem().string();
        const auto own =
            leave || words.size() != 2
                ? nullptr
                : bellhand::test::OwnTones::read(words[1] + "/played/" + stem + ".csv");
        failed += run(sound, out + "/" + stem + ".csv", prior, own.get(), seconds) ? 0 : 1;
    }
    std::printf("%.3f %.1f\n", static_cast<double>(std::clock()) / CLOCKS_PER_SEC, seconds);
    return failed == 0 && !sounds.empty() ? 0 : 1;
}
