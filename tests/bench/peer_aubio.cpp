// A peer to measure against: the pitch detectors of the aubio library over a whole folder of sounds.
//
// usage: peer_aubio METHOD BUFFER FOLDER OUT     METHOD: yin, yinfast, yinfft, mcomb ...
// Reads FOLDER/manifest.csv and FOLDER/wav/NAME.wav, writes OUT/NAME.csv: time_s,f0_hz, where time_s is the time of the
// newest sample that the value used. Hop 256 samples at every rate, library defaults, silence gate at -70 dB.
// Prints seconds of processor time and of sound.
#include "support/signals.h"

#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <string>

#include <aubio/aubio.h>

namespace {

constexpr unsigned kHop = 256;

bool run(const std::string& method,
         unsigned buffer,
         const std::string& sound,
         const std::string& out,
         double& seconds) {
    double rate_hz = 0.0;
    const auto samples = bellhand::test::read_sound(sound, rate_hz);
    if (samples.empty()) {
        std::fprintf(stderr, "%s: cannot be read\n", sound.c_str());
        return false;
    }
    aubio_pitch_t* pitch =
        new_aubio_pitch(method.c_str(), buffer, kHop, static_cast<unsigned>(rate_hz));
    std::FILE* csv = std::fopen(out.c_str(), "w");
    if (pitch == nullptr || csv == nullptr) {
        return false;
    }
    aubio_pitch_set_unit(pitch, "Hz");
    aubio_pitch_set_silence(pitch, -70.0F);
    fvec_t* in = new_fvec(kHop);
    fvec_t* result = new_fvec(1);
    std::fprintf(csv, "time_s,f0_hz\n");
    for (std::size_t i = 0; i + kHop <= samples.size(); i += kHop) {
        for (unsigned k = 0; k < kHop; ++k) {
            in->data[k] = samples[i + k];
        }
        aubio_pitch_do(pitch, in, result);
        const double f0_hz = static_cast<double>(result->data[0]);
        std::fprintf(csv,
                     "%.6f,%.6f\n",
                     static_cast<double>(i + kHop) / rate_hz,
                     f0_hz > 20.0 && f0_hz < 2000.0 ? f0_hz : 0.0);
    }
    std::fclose(csv);
    del_fvec(in);
    del_fvec(result);
    del_aubio_pitch(pitch);
    seconds += static_cast<double>(samples.size()) / rate_hz;
    return true;
}

} // namespace

int main(int argc, char** argv) {
    if (argc != 5) {
        std::fprintf(stderr, "usage: peer_aubio METHOD BUFFER FOLDER OUT\n");
        return 2;
    }
    const std::string folder = argv[3];
    const std::string out = argv[4];
    std::filesystem::create_directories(out);
    std::ifstream manifest(folder + "/manifest.csv");
    std::string line;
    std::getline(manifest, line);
    double seconds = 0.0;
    while (std::getline(manifest, line)) {
        const std::string name = line.substr(0, line.find(','));
        if (!run(argv[1],
                 static_cast<unsigned>(std::atoi(argv[2])),
                 folder + "/wav/" + name + ".wav",
                 out + "/" + name + ".csv",
                 seconds)) {
            return 1;
        }
    }
    std::printf("%.3f %.1f\n", static_cast<double>(std::clock()) / CLOCKS_PER_SEC, seconds);
}
