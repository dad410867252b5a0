#pragma once

#include "core/result.h"
#include "horn/crook.h"

#include <array>
#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::instrument {

/// Version of the profile file that this program writes; it reads this one and older ones.
inline constexpr int kProfileVersion = 1;
/// A profile comes from somebody else's computer: anything larger is not read at all.
inline constexpr std::size_t kLargestProfile_bytes = 1'000'000;

enum class PieceKind {
    terminal_crook, ///< carries the mouthpiece, goes straight into the body
    master_crook,   ///< carries the mouthpiece, made to be lengthened by couplers
    coupler,        ///< coiled tube between crook and body
    tuning_bit,     ///< short straight tube between crook and body
};

/// An open partial that was measured: which tube sounded, how high, in what air.
struct PitchMeasurement {
    int partial = 4; ///< 1..24
    double hz = 0.0;
    std::optional<double> temperature_c; ///< of the air in the horn; the profile's when absent
    double slide_pull_m = 0.0;           ///< how far the tuning slide was out
    std::vector<std::string> with;       ///< the other pieces mounted; the body is always there
};

/// What the maker stamped on a coupler or bit: it lowers this crook by so much.
struct NominalLowering {
    horn::Crook on{};
    double cents = 100.0;
};

/// One piece of tube that can be put in or left out. At least one of length, pitches, key and lowering is given;
/// measured pitch counts before measured length, measured length before the nominal statement.
struct Piece {
    PieceKind kind = PieceKind::coupler;
    std::string name;
    std::optional<double> length_m; ///< along the tube's axis, sockets not counted twice
    std::vector<PitchMeasurement> pitches;
    std::optional<horn::Crook> key;        ///< crooks: the key stamped on it
    std::optional<NominalLowering> lowers; ///< couplers and bits
    std::optional<double> mass_kg;
    std::optional<double> reach_m; ///< how far it moves the mouthpiece away from the body
    bool takes_couplers = false; ///< crooks: master crooks do, terminal crooks unless stated do not
    std::string note;
};

struct Body {
    std::string name = "body";
    std::optional<double> length_m; ///< mouthpipe socket to bell rim, slide pushed in
    std::vector<PitchMeasurement> pitches;
    std::optional<horn::Crook> key; ///< that it plays without a crook
    std::optional<double> mass_kg;
    bool plays_without_crook = false;
    std::string note;
};

/// The tuning slide on the body. Pulling by x adds `legs` times x of tube.
struct TuningSlide {
    double longest_pull_m = 0.0; ///< 0: there is none
    double usual_pull_m = 0.0;
    int legs = 2;
};

struct AirInHorn {
    double temperature_c = 20.0;
    double relative_humidity = 0.5;
};

struct Mouthpiece {
    std::string name;
    std::optional<double> length_m;
    std::optional<double> cup_volume_ml;
    std::optional<double> throat_diameter_m;
    std::string note;
};

/// How long this player takes; estimates until timed. See `planner.h` for how they add up.
struct ChangeTimes {
    double crook_s = 4.0;     ///< taking the crook off and setting the same or another one
    double piece_off_s = 2.0; ///< each coupler or bit taken out
    double piece_on_s = 3.0;  ///< each coupler or bit put in
    double slide_s = 2.0;     ///< moving the tuning slide to another mark
};

/// What calibration by playing has found out. Every part is optional; who measures, fills it.
struct PartialOffset {
    int partial = 4;
    double cents = 0.0; ///< open partial minus n times f1
    std::optional<double> sd_cents;
    int notes = 0; ///< how many it rests on
};

struct FullStopLanding {
    double rise_cents = 100.0; ///< stopped pitch above the next lower partial
    std::optional<double> sd_cents;
    std::optional<int> partial; ///< measured on this one; all when absent
};

/// One point of the measured fall while the hand closes.
struct HandPoint {
    int partial = 8;
    double closure = 0.0; ///< 0 as open as the player plays, 1 full stop
    double cents = 0.0;   ///< against the open partial
};

/// Results that hold for one way of putting the horn together.
struct AssemblyCalibration {
    std::vector<std::string> pieces; ///< crook first, then couplers and bits
    double slide_pull_m = 0.0;
    double temperature_c = 20.0;
    std::optional<double> f1_hz;
    std::optional<double> f1_sd_cents;
    std::optional<double> a4_hz; ///< that suits the slide as it stands
    std::optional<double> drift_cents_per_min;
    std::vector<PartialOffset> partials;
    std::vector<FullStopLanding> full_stops;
    std::vector<HandPoint> hand_points;
};

/// Level of the microphone and room against a flat one, at one frequency.
struct RoomColourPoint {
    double hz = 1000.0;
    double db = 0.0;
};

/// The colour of one open note of this player through their microphone and room, as the hand's ear takes it.
struct OwnOpenNote {
    double hz = 200.0;
    double level_dba = -30.0; ///< re full scale
    double bandwidth_hz = 20000.0;
    /// Mean level of the harmonics 1, 2-3, 4-5, 7-10 against the whole tone, where it was heard.
    std::array<std::optional<double>, 4> group_db{};
    double centroid_harmonic = 1.0; ///< centroid over f0
    std::optional<double> slope_db_per_octave;
    std::optional<double> high_minus_low_db; ///< 2-5 kHz against 0.2-1 kHz
};
/// A profile keeps the newest ones.
inline constexpr std::size_t kMostOwnOpenNotes = 64;

struct Calibration {
    std::string player;
    std::optional<double> tube_factor; ///< fitted: tape length over acoustic length of added tube
    std::vector<AssemblyCalibration> assemblies;
    std::vector<RoomColourPoint> room_colour;
    std::vector<OwnOpenNote> own_open_notes; ///< oldest first
};

/// One player's own horn. Lengths in metres, air temperature inside the horn.
struct Profile {
    std::string name;
    std::string note;
    double made_for_a4_hz = 440.0; ///< to which nominal keys refer
    double bore_radius_m = 0.0056; ///< of the cylindrical tube in crooks and couplers
    AirInHorn air;
    Mouthpiece mouthpiece;
    Body body;
    TuningSlide slide;
    std::vector<Piece> crooks; ///< terminal and master crooks
    std::vector<Piece> couplers;
    std::vector<Piece> bits;
    ChangeTimes change_times;
    int most_pieces_between = 6; ///< couplers and bits that this player will stack at once
    std::optional<Calibration> calibration;
};

/// Reads a profile from text that is not trusted. `where` names it in errors (a file name). Errors: one sentence that
/// names the place in the file and what to do; nothing is guessed and no key is ignored.
[[nodiscard]] Result<Profile> parse_profile(std::string_view text, const std::string& where);

/// The same from a file; its size is looked at before its contents.
[[nodiscard]] Result<Profile> load_profile(const std::filesystem::path& path);

/// JSON with every field that differs from its default. Reading it again gives the same profile.
[[nodiscard]] std::string profile_text(const Profile& profile);

/// Replaces the file in one step: a crash leaves the old file or the new one, never half of one.
[[nodiscard]] Result<void> save_profile(const Profile& profile, const std::filesystem::path& path);

} // namespace bellhand::instrument
