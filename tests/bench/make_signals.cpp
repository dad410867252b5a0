// Makes the second set of signals with known pitch: FOLDER/wav/NAME.wav, FOLDER/truth/NAME.csv (time_s,f0_hz every
// millisecond, 0 = no tone), FOLDER/manifest.csv. Layout and column meanings are those of the shared pitch bench, with
// the sample rate as one more column, so that one scorer reads both.
//
// usage: make_signals FOLDER [harmonics.csv [ONLY [SEED [drone]]]]
//   harmonics.csv   measured levels of recorded horn tones: adds tones with real spectra
//   ONLY            make only signals whose name contains this ("" = all)
//   SEED            any text: another set of the same kinds
//   drone           one signal in three, after two seconds of room, and in FOLDER/with the same with a drone that the
//                   program itself plays from the start (FOLDER/with/played/NAME.csv)
#include "bench/make_signals/catalogue.h"
#include "bench/make_signals/drone.h"

#include <cstdio>
#include <optional>
#include <string_view>
#include <vector>

int main(int argc, char** argv) {
    using namespace bellhand::test;
    if (argc < 2 || argc > 6) {
        std::fprintf(stderr, "usage: make_signals FOLDER [harmonics.csv [ONLY [SEED [drone]]]]\n");
        return 2;
    }
    const auto measured = argc > 2 ? read_measured_tones(argv[2]) : std::vector<MeasuredTone>{};
    if (measured.empty()) {
        std::fprintf(
            stderr,
            "no measured horn spectra (harmonics.csv): tones with real spectra are left out\n");
    }
    Catalogue all(argv[1], argc > 3 ? argv[3] : "", argc > 4 ? argv[4] : "");
    std::optional<DroneRig> rig;
    if (argc > 5 && std::string_view(argv[5]) == "drone") {
        rig.emplace(argv[4]);
        all.add_drones(*rig);
        steady_tones(all, measured);
        living_tones(all, measured);
        note_changes(all);
        moving_pitch(all);
        std::printf(
            "%d signals, %.1f s of sound, each without and with\n", all.count(), all.seconds());
        return 0;
    }
    steady_tones(all, measured);
    living_tones(all, measured);
    note_changes(all);
    moving_pitch(all);
    rooms(all);
    disturbed_tones(all);
    speech_around(all);
    sample_rates(all);
    no_horn(all);
    std::printf("%d signals, %.1f s of sound\n", all.count(), all.seconds());
}
