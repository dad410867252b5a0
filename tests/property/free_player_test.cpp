// A player written apart from the program, with measured spectra, rooms and coughs, through ear, tracker and runner: how
// many right notes get a false word, how many faults are flagged and named. BELLHAND_PERFORMANCES=80 plays some 2,000 notes.
#include "support/free_player.h"

#include "core/assets.h"
#include "drill/judge.h"
#include "practice/judge_recording.h"
#include "support/performance.h"
#include "support/played_source.h"
#include "words/verdict.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::drill;
using test::FreeNote;
using test::FreePerformance;
using test::FreePlayer;

namespace {

constexpr double kRate_hz = 48000.0;
constexpr double kNear_s = 0.130; // between where a note was put and where it was heard
constexpr int kNotes = 26;
constexpr double kRooms_s[] = {0.0, 0.3, 0.5, 0.8};

int wished(const char* name, int otherwise) {
    const char* const text = std::getenv(name);
    return text != nullptr ? std::atoi(text) : otherwise;
}

std::vector<test::MeasuredTone> measured_tones() {
    const char* const shared = std::getenv("BELLHAND_SHARED");
    const std::filesystem::path folder =
        shared != nullptr ? std::filesystem::path(shared)
                          : assets_folder().parent_path().parent_path() / "shared";
    return test::read_measured_tones((folder / "audio" / "harmonics.csv").string());
}

struct Tally {
    int all = 0;
    int flagged = 0;
    int named = 0;
};

struct Count {
    Tally right; ///< flagged: something false was said
    Tally faults;
    std::map<std::string, Tally> by_fault;
    std::map<std::string, std::map<double, int>> false_words; ///< by room
    std::map<double, Tally> right_by_room;
    std::map<double, Tally> faults_by_room;
    int undecided = 0; ///< of all notes: it was said that they could not be heard apart
};

double percent(int part, int whole) {
    return whole > 0 ? 100.0 * part / whole : 0.0;
}

const Judgement* judgement_of(const FreeNote& note,
                              const FreePerformance& played,
                              const std::vector<Judgement>& judgements) {
    const Judgement* nearest = nullptr;
    double off_s = kNear_s;
    for (const Judgement& judgement : judgements) {
        const double off = std::fabs(judgement.note.start_s - note.start_s);
        const bool its_own = !judgement.extra && judgement.step == played.plan[note.asked].step;
        if (judgement.played && off < off_s && (its_own || nearest == nullptr)) {
            off_s = its_own ? off : off_s;
            nearest = &judgement;
        }
    }
    return nearest;
}

/// It was said of the note's step that it could not be heard apart from the note before.
bool undecided(const FreeNote& note,
               const FreePerformance& played,
               const std::vector<Judgement>& judgements) {
    return std::any_of(judgements.begin(), judgements.end(), [&](const Judgement& judgement) {
        return judgement.undecided() && judgement.step == played.plan[note.asked].step;
    });
}

std::string false_word(const Judgement* judgement) {
    if (judgement == nullptr) {
        return "not heard";
    }
    return judgement->extra ? "a note too many" : words::fault_kind(judgement->faults.front());
}

void compare(const FreePerformance& played,
             const std::vector<Judgement>& judgements,
             double room_s,
             Count& count) {
    for (const FreeNote& note : played.notes) {
        const Judgement* const judgement = judgement_of(note, played, judgements);
        const bool open = judgement == nullptr && undecided(note, played, judgements);
        const bool said = !open && (judgement == nullptr || !judgement->good() || judgement->extra);
        count.undecided += open ? 1 : 0;
        if (!note.fault) {
            for (Tally* const tally : {&count.right, &count.right_by_room[room_s]}) {
                ++tally->all;
                tally->flagged += said ? 1 : 0;
            }
            if (said) {
                ++count.false_words[false_word(judgement)][room_s];
            }
            continue;
        }
        // Among the notes of the tube's series a miss is another partial or another note as well.
        const bool miss = *note.fault == Fault::wrong_partial;
        const bool named =
            judgement != nullptr && (test::names(*judgement, *note.fault) ||
                                     (miss && (judgement->extra || is_wrong(*judgement))));
        Tally& kind = count.by_fault[words::fault_kind(*note.fault)];
        for (Tally* const tally : {&count.faults, &kind, &count.faults_by_room[room_s]}) {
            ++tally->all;
            tally->flagged += said ? 1 : 0;
            tally->named += named ? 1 : 0;
        }
    }
}

} // namespace

TEST_CASE("a player of another making is judged fairly") {
    const std::vector<test::MeasuredTone> tones = measured_tones();
    if (tones.empty()) {
        MESSAGE("skipped: the measured tones (harmonics.csv) are not there");
        return;
    }
    // Constants were looked at on 100 to 199.
    const auto first_seed = static_cast<std::uint64_t>(wished("BELLHAND_FIRST_SEED", 7000));
    const auto performances = static_cast<std::uint64_t>(wished("BELLHAND_PERFORMANCES", 12));
    Count count;
    for (std::uint64_t seed = first_seed; seed < first_seed + performances; ++seed) {
        FreePlayer player;
        player.seed = seed;
        player.tuning.crook = horn::all_crooks()[2 + seed % 9]; // B flat alto to D
        player.tempo = 0.85 + 0.01 * static_cast<double>(seed % 31);
        player.rubato = 0.01 * static_cast<double>(seed % 8);
        player.late_s = 0.14 + 0.01 * static_cast<double>(seed % 7);
        player.comes_back = seed % 2 == 0;
        player.fault_share = 0.25;
        player.faults = {Fault::flat,
                         Fault::sharp,
                         Fault::attack_flat,
                         Fault::attack_sharp,
                         Fault::unsteady,
                         Fault::wrong_partial,
                         Fault::late};
        const Exercise exercise = test::random_melody(player.tuning.crook, kNotes, seed);
        const FreePerformance played = test::play_freely(exercise, player);
        test::Hall hall;
        hall.rt60_s = kRooms_s[seed % std::size(kRooms_s)];
        hall.coughs_per_minute = 4.0;
        test::PlayedSource::Piece piece;
        piece.samples = test::sound_of(played, tones, hall, kRate_hz);
        piece.sample_rate_hz = kRate_hz;
        test::PlayedSource source({std::move(piece)});
        RunSettings settings;
        settings.tuning = player.tuning;
        settings.repeat_missed = 0;
        const auto judged = practice::judge_recording(source, exercise, settings);
        REQUIRE(judged);
        compare(played, judged->judgements, hall.rt60_s, count);
    }
    std::printf("%d right notes, %.1f %% with a false word; %d notes not heard apart\n",
                count.right.all,
                percent(count.right.flagged, count.right.all),
                count.undecided);
    for (const auto& [what, rooms] : count.false_words) {
        std::printf("  %s:", what.c_str());
        for (const auto& [room_s, times] : rooms) {
            std::printf(" %d in %.1f s", times, room_s);
        }
        std::printf("\n");
    }
    for (const auto& [room_s, tally] : count.right_by_room) {
        const Tally& faults = count.faults_by_room[room_s];
        std::printf("  room of %.1f s: %.1f %% of %d; %d faults, %.1f %% flagged, %.1f %% named\n",
                    room_s,
                    percent(tally.flagged, tally.all),
                    tally.all,
                    faults.all,
                    percent(faults.flagged, faults.all),
                    percent(faults.named, faults.all));
    }
    std::printf("%d faults, %.1f %% flagged, %.1f %% named\n",
                count.faults.all,
                percent(count.faults.flagged, count.faults.all),
                percent(count.faults.named, count.faults.all));
    for (const auto& [what, tally] : count.by_fault) {
        std::printf("  %s: %d, %.1f %% flagged, %.1f %% named\n",
                    what.c_str(),
                    tally.all,
                    percent(tally.flagged, tally.all),
                    percent(tally.named, tally.all));
    }
    CHECK(count.right.all > 100);
    // What is reached, not what is wished: 3 %, 95 % and 93 %.
    CHECK(percent(count.right_by_room[0.0].flagged, count.right_by_room[0.0].all) <= 6.0);
    CHECK(percent(count.right.flagged, count.right.all) <= 10.0);
    CHECK(percent(count.faults.flagged, count.faults.all) >= 90.0);
    CHECK(percent(count.faults.named, count.faults.all) >= 75.0);
}
