// Profile text to structs, field by field. What the fields say together is judged in profile_check.cpp.
#include "core/files.h"
#include "datafile/json_fields.h"
#include "datafile/json_text.h"
#include "instrument/profile.h"
#include "instrument/profile_file.h"

#include <algorithm>
#include <utility>

namespace bellhand::instrument {

namespace {

using nlohmann::json;

constexpr NumberRange kPullRange{0.0, 0.3, "metres", "millimetres", 0.001};
constexpr NumberRange kTemperatureRange{-10.0, 45.0, "degrees Celsius", "", 0.0};
constexpr NumberRange kMassRange{0.001, 5.0, "kilograms", "grams", 0.001};
constexpr NumberRange kReachRange{0.0, 0.6, "metres", "millimetres", 0.001};
constexpr NumberRange kSecondsRange{0.0, 60.0, "seconds", "", 0.0};

/// Longest tube that is still believable: a value above it is more likely in another unit. The longest crook of the
/// family, A flat basso, takes about 4.5 m of crook (Grove 1st ed. names it; length from c/(2 f1)).
NumberRange length_range(PieceKind kind) {
    const double longest = kind == PieceKind::coupler      ? 3.0
                           : kind == PieceKind::tuning_bit ? 0.6
                                                           : 6.0;
    return {0.003, longest, "metres", "millimetres", 0.001};
}

std::vector<PitchMeasurement> read_pitches(Fields& owner) {
    std::vector<PitchMeasurement> pitches;
    const json* const list = owner.list("pitches", 32);
    if (list == nullptr) {
        return pitches;
    }
    for (const json& item : *list) {
        const std::string place =
            owner.place_of("pitches, measurement " + std::to_string(pitches.size() + 1));
        Fields fields(item,
                      place,
                      owner.problem(),
                      {"partial", "hz", "temperature_c", "slide_pull_m", "with"});
        fields.require("partial", "say which open partial was played, 1 to 24");
        fields.require("hz", "give the sounding frequency in hertz");
        PitchMeasurement& pitch = pitches.emplace_back();
        pitch.partial = fields.whole("partial", 1, 24).value_or(4);
        pitch.hz = fields.number("hz", {15.0, 2500.0, "hertz", "", 0.0}).value_or(100.0);
        pitch.temperature_c = fields.number("temperature_c", kTemperatureRange);
        pitch.slide_pull_m = fields.number("slide_pull_m", kPullRange).value_or(0.0);
        pitch.with = read_names(fields, "with", 40);
        // The family spans 26 to 65 Hz at today's pitch; a bare body lies a little higher.
        const double f1_hz = pitch.hz / pitch.partial;
        if (f1_hz < 18.0 || f1_hz > 110.0) {
            fields.problem().refuse(place,
                                    "puts partial " + std::to_string(pitch.partial) + " at " +
                                        plain_number(pitch.hz) + " Hz, a fundamental of " +
                                        plain_number(f1_hz) +
                                        " Hz; horns lie between 18 and 110, so check "
                                        "the partial and the hertz");
        }
    }
    return pitches;
}

std::string name_of(Fields& fields) {
    std::string name = fields.text("name");
    if (!fields.problem().found() && (name.empty() || name.size() > 60)) {
        fields.problem().refuse(fields.place_of("name"), "must have 1 to 60 letters");
    }
    return name;
}

Piece read_piece(const json& item, PieceKind kind, const std::string& place, FileProblem& problem) {
    const bool crook = kind == PieceKind::terminal_crook || kind == PieceKind::master_crook;
    Fields fields =
        crook ? Fields(item,
                       place,
                       problem,
                       {"name",
                        "length_m",
                        "pitches",
                        "key",
                        "mass_kg",
                        "reach_m",
                        "takes_couplers",
                        "note"})
              : Fields(item,
                       place,
                       problem,
                       {"name", "length_m", "pitches", "lowers", "mass_kg", "reach_m", "note"});
    fields.require("name", "every piece needs a name of its own");
    Piece piece;
    piece.kind = kind;
    piece.name = name_of(fields);
    piece.length_m = fields.number("length_m", length_range(kind));
    piece.pitches = read_pitches(fields);
    piece.key = crook ? read_key(fields, "key") : std::nullopt;
    if (const json* const lowers = crook ? nullptr : fields.find("lowers")) {
        Fields inner(*lowers, fields.place_of("lowers"), problem, {"on", "cents"});
        inner.require("on", "name the crook it was made for, such as \"F\"");
        inner.require("cents", "say how far it lowers that crook, a semitone is 100");
        piece.lowers =
            NominalLowering{read_key(inner, "on").value_or(horn::Crook{}),
                            inner.number("cents", {1.0, 1400.0, "cents", "", 0.0}).value_or(100.0)};
    }
    piece.mass_kg = fields.number("mass_kg", kMassRange);
    piece.reach_m = fields.number("reach_m", kReachRange);
    piece.takes_couplers = fields.truth("takes_couplers").value_or(kind == PieceKind::master_crook);
    piece.note = fields.text("note");
    if (!piece.length_m && piece.pitches.empty() && !piece.key && !piece.lowers) {
        problem.refuse(place,
                       crook ? "says nothing about its length; give length_m, a measured "
                               "pitch in pitches, or at least its key"
                             : "says nothing about its length; give length_m, a measured "
                               "pitch in pitches, or at least what it lowers");
    }
    return piece;
}

std::vector<Piece>
read_pieces(Fields& top, std::string_view key, PieceKind kind, std::size_t most) {
    std::vector<Piece> pieces;
    const json* const list = top.list(key, most);
    if (list == nullptr) {
        return pieces;
    }
    for (const json& item : *list) {
        std::string place = std::string(key) + ", piece " + std::to_string(pieces.size() + 1);
        if (item.is_object() && item.contains("name") && item["name"].is_string()) {
            place += " (\"" + datafile::plain_line(item["name"].get<std::string>().substr(0, 60)) +
                     "\")";
        }
        pieces.push_back(read_piece(item, kind, place, top.problem()));
        if (top.problem().found()) {
            break;
        }
    }
    return pieces;
}

Body read_body(const json& value, FileProblem& problem) {
    Fields fields(value,
                  "body",
                  problem,
                  {"name", "length_m", "pitches", "key", "mass_kg", "plays_without_crook", "note"});
    Body body;
    if (fields.has("name")) {
        body.name = name_of(fields);
    }
    body.length_m = fields.number("length_m", {0.4, 6.0, "metres", "millimetres", 0.001});
    body.pitches = read_pitches(fields);
    body.key = read_key(fields, "key");
    body.mass_kg = fields.number("mass_kg", kMassRange);
    body.plays_without_crook = fields.truth("plays_without_crook").value_or(false);
    body.note = fields.text("note");
    if (!body.length_m && body.pitches.empty() && !body.key) {
        problem.refuse("body",
                       "says nothing about its length; give length_m from mouthpipe socket "
                       "to bell rim, about 2.2 if you cannot measure it");
    }
    return body;
}

void read_small_parts(Fields& top, Profile& profile) {
    FileProblem& problem = top.problem();
    if (const json* const value = top.find("air")) {
        Fields air(*value, "air", problem, {"temperature_c", "relative_humidity"});
        profile.air.temperature_c =
            air.number("temperature_c", kTemperatureRange).value_or(profile.air.temperature_c);
        profile.air.relative_humidity =
            air.number("relative_humidity", {0.0, 1.0, "fractions", "percent", 0.01})
                .value_or(profile.air.relative_humidity);
    }
    if (const json* const value = top.find("mouthpiece")) {
        Fields part(*value,
                    "mouthpiece",
                    problem,
                    {"name", "length_m", "cup_volume_ml", "throat_diameter_m", "note"});
        profile.mouthpiece.name = part.text("name");
        profile.mouthpiece.length_m =
            part.number("length_m", {0.02, 0.2, "metres", "millimetres", 0.001});
        profile.mouthpiece.cup_volume_ml =
            part.number("cup_volume_ml", {0.5, 30.0, "millilitres", "cubic millimetres", 0.001});
        profile.mouthpiece.throat_diameter_m =
            part.number("throat_diameter_m", {0.002, 0.01, "metres", "millimetres", 0.001});
        profile.mouthpiece.note = part.text("note");
    }
    if (const json* const value = top.find("tuning_slide")) {
        Fields slide(*value, "tuning_slide", problem, {"longest_pull_m", "usual_pull_m", "legs"});
        slide.require("longest_pull_m", "say how far it can be pulled, in metres");
        profile.slide.longest_pull_m = slide.number("longest_pull_m", kPullRange).value_or(0.0);
        profile.slide.usual_pull_m = slide.number("usual_pull_m", kPullRange).value_or(0.0);
        profile.slide.legs = slide.whole("legs", 1, 4).value_or(2);
    }
    if (const json* const value = top.find("change_times")) {
        Fields times(
            *value, "change_times", problem, {"crook_s", "piece_off_s", "piece_on_s", "slide_s"});
        ChangeTimes& change = profile.change_times;
        change.crook_s = times.number("crook_s", kSecondsRange).value_or(change.crook_s);
        change.piece_off_s =
            times.number("piece_off_s", kSecondsRange).value_or(change.piece_off_s);
        change.piece_on_s = times.number("piece_on_s", kSecondsRange).value_or(change.piece_on_s);
        change.slide_s = times.number("slide_s", kSecondsRange).value_or(change.slide_s);
    }
}

Profile read_profile(const json& document, FileProblem& problem) {
    Profile profile;
    Fields top(document,
               "",
               problem,
               {"$schema",
                "format",
                "version",
                "name",
                "note",
                "made_for_a4_hz",
                "bore_radius_m",
                "air",
                "mouthpiece",
                "body",
                "tuning_slide",
                "terminal_crooks",
                "master_crooks",
                "couplers",
                "bits",
                "change_times",
                "most_pieces_between",
                "calibration"});
    datafile::check_head(top, kProfileFormat, kProfileVersion);
    top.require("name", "say whose horn it is or what it is called");
    top.require("body", "describe the horn's body");
    profile.name = name_of(top);
    profile.note = top.text("note");
    profile.made_for_a4_hz =
        top.number("made_for_a4_hz", {380.0, 470.0, "hertz", "", 0.0}).value_or(440.0);
    profile.bore_radius_m =
        top.number("bore_radius_m", {0.003, 0.012, "metres", "millimetres", 0.001})
            .value_or(profile.bore_radius_m);
    read_small_parts(top, profile);
    if (const json* const body = top.find("body")) {
        profile.body = read_body(*body, problem);
    }
    profile.crooks = read_pieces(top, "terminal_crooks", PieceKind::terminal_crook, 24);
    for (Piece& piece : read_pieces(top, "master_crooks", PieceKind::master_crook, 8)) {
        profile.crooks.push_back(std::move(piece));
    }
    profile.couplers = read_pieces(top, "couplers", PieceKind::coupler, 16);
    profile.bits = read_pieces(top, "bits", PieceKind::tuning_bit, 16);
    profile.most_pieces_between =
        top.whole("most_pieces_between", 0, 32).value_or(profile.most_pieces_between);
    if (const json* const calibration = top.find("calibration")) {
        profile.calibration = read_calibration(*calibration, problem);
    }
    return profile;
}

} // namespace

std::optional<horn::Crook> read_key(Fields& fields, std::string_view key) {
    if (!fields.has(key)) {
        return std::nullopt;
    }
    const std::string text = fields.text(key);
    if (fields.problem().found()) {
        return std::nullopt;
    }
    const auto crook = horn::parse_crook(text);
    if (!crook) {
        std::string why = crook.error().message;
        while (!why.empty() && why.back() == '.') {
            why.pop_back();
        }
        fields.problem().refuse(fields.place_of(key), "is not clear: " + why);
        return std::nullopt;
    }
    return *crook;
}

std::vector<std::string> read_names(Fields& fields, std::string_view key, std::size_t most) {
    std::vector<std::string> names;
    if (const json* const list = fields.list(key, most)) {
        for (const json& item : *list) {
            if (!item.is_string()) {
                fields.problem().refuse(fields.place_of(key), "must list names in quotes");
                break;
            }
            names.push_back(item.get<std::string>());
        }
    }
    return names;
}

Result<Profile> parse_profile(std::string_view text, const std::string& where) {
    if (text.size() > kLargestProfile_bytes) {
        return failure(where + " is too large: a profile has at most " +
                       std::to_string(kLargestProfile_bytes) + " bytes.");
    }
    const auto document = datafile::parse_guarded_json(text, where);
    if (!document) {
        return tl::unexpected(document.error());
    }
    FileProblem problem{where, std::nullopt};
    Profile profile = read_profile(*document, problem);
    if (!problem.found()) {
        check_profile(profile, problem);
    }
    if (problem.found()) {
        return failure(*problem.sentence);
    }
    return profile;
}

Result<Profile> load_profile(const std::filesystem::path& path) {
    return read_small_file(path, kLargestProfile_bytes).and_then([&](const std::string& text) {
        return parse_profile(text, path.string());
    });
}

Result<void> save_profile(const Profile& profile, const std::filesystem::path& path) {
    return write_file_in_one_step(path, profile_text(profile));
}

} // namespace bellhand::instrument
