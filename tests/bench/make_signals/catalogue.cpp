#include "bench/make_signals/catalogue.h"

#include "bench/make_signals/drone.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>

namespace bellhand::test {

Catalogue::Catalogue(std::string folder, std::string only, std::string seed)
    : folder_(std::move(folder)), only_(std::move(only)), seed_(std::move(seed)) {
    std::filesystem::create_directories(folder_ + "/wav");
    std::filesystem::create_directories(folder_ + "/truth");
    manifest_ = std::fopen((folder_ + "/manifest.csv").c_str(), "w");
    if (manifest_ == nullptr) {
        std::fprintf(stderr, "%s: cannot write there\n", folder_.c_str());
        std::exit(1);
    }
    std::fprintf(manifest_,
                 "file,kind,profile,snr_db,f0_hz,f1_hz,t_on,t_off,t_a,t_b,dur_s,rate_hz\n");
}

void Catalogue::add_drones(const DroneRig& rig) {
    rig_ = &rig;
    with_drone_ = std::make_unique<Catalogue>(folder_ + "/with", only_, seed_);
    std::filesystem::create_directories(folder_ + "/with/played");
}

void Catalogue::put(const Entry& e, const Samples& samples, const std::vector<double>& truth) {
    if (rig_ == nullptr) {
        write(e, samples, truth);
    } else if (Random(seeded("drone chosen " + e.name)).below(3) == 0) {
        put_with_drone(e, samples, truth);
    }
}

void Catalogue::put_with_drone(Entry e, Samples samples, std::vector<double> truth) {
    rig_->prepend(e, samples, truth);
    write(e, samples, truth);
    const DronePlayed drone = rig_->add_drone(e, samples);
    with_drone_->write(e, samples, truth);
    std::FILE* file = std::fopen((folder_ + "/with/played/" + e.name + ".csv").c_str(), "w");
    if (file == nullptr) {
        std::exit(1);
    }
    std::fprintf(file,
                 "start_s,drift,delay_s,horn_colour,hz,hz_of_second\n%.3f,%.3g,%.4f,%d,%.6f,%.6f\n",
                 drone.start_s,
                 drone.drift,
                 drone.delay_s,
                 drone.horn_colour ? 1 : 0,
                 drone.hz[0],
                 drone.hz.size() > 1 ? drone.hz[1] : 0.0);
    std::fclose(file);
}

void Catalogue::write(const Entry& e, const Samples& samples, const std::vector<double>& truth) {
    const double length_s = static_cast<double>(samples.size()) / e.rate_hz;
    if (!write_wav(folder_ + "/wav/" + e.name + ".wav", normalised(samples), e.rate_hz)) {
        std::fprintf(stderr, "%s: cannot write the sound\n", e.name.c_str());
        std::exit(1);
    }
    std::FILE* file = std::fopen((folder_ + "/truth/" + e.name + ".csv").c_str(), "w");
    if (file == nullptr) {
        std::exit(1);
    }
    std::fprintf(file, "time_s,f0_hz\n");
    for (std::size_t i = 0; i < truth.size(); ++i) {
        std::fprintf(file, "%.3f,%.6f\n", 0.001 * static_cast<double>(i), truth[i]);
    }
    std::fclose(file);
    std::fprintf(manifest_,
                 "%s,%s,%s,%g,%.6f,%.6f,%.4f,%.4f,%.4f,%.4f,%.4f,%g\n",
                 e.name.c_str(),
                 e.kind.c_str(),
                 e.profile.c_str(),
                 e.snr_db,
                 e.f0_hz,
                 e.f1_hz,
                 e.on_s,
                 e.off_s,
                 e.change_from_s,
                 e.change_to_s,
                 length_s,
                 e.rate_hz);
    ++count_;
    seconds_ += length_s;
}

std::vector<double> ladder(double low_hz, double high_hz, int count, const std::string& seed) {
    Random random(seed);
    std::vector<double> pitches;
    for (int i = 0; i < count; ++i) {
        const double even = low_hz * std::pow(high_hz / low_hz, i / (count - 1.0));
        pitches.push_back(even * std::exp2(random.between(-35.0, 35.0) / 1200.0));
    }
    return pitches;
}

double highest_hz(double rate_hz) {
    return std::min(19000.0, 0.44 * rate_hz);
}

ToneShape held(double f0_hz, const Spectrum& levels, double on_s, double off_s) {
    ToneShape shape;
    shape.on_s = on_s;
    shape.off_s = off_s;
    shape.f0_hz = [f0_hz](double) { return f0_hz; };
    shape.first = levels;
    return shape;
}

std::string numbered(const std::string& stem, std::size_t i) {
    return stem + (i < 10 ? "_0" : "_") + std::to_string(i);
}

} // namespace bellhand::test
