// The "calibration" part of a profile file, both ways.
#include "instrument/profile_file.h"

namespace bellhand::instrument {

namespace {

using nlohmann::json;
using nlohmann::ordered_json;

constexpr NumberRange kCents{-1200.0, 1200.0, "cents", "", 0.0};
constexpr NumberRange kLevel{-250.0, 250.0, "decibels", "", 0.0};
constexpr std::array<const char*, 4> kGroupKeys{
    "first_db", "second_third_db", "fourth_fifth_db", "seventh_to_tenth_db"};
constexpr NumberRange kSpread{0.0, 600.0, "cents", "", 0.0};

/// Calls `read(fields)` for every entry of a list of objects.
template <typename Read>
void each(Fields& owner,
          std::string_view key,
          std::size_t most,
          std::initializer_list<std::string_view> known,
          Read read) {
    const json* const list = owner.list(key, most);
    for (std::size_t i = 0; list != nullptr && i < list->size(); ++i) {
        Fields fields((*list)[i],
                      owner.place_of(key) + ", entry " + std::to_string(i + 1),
                      owner.problem(),
                      known);
        read(fields);
    }
}

AssemblyCalibration read_assembly(Fields& fields) {
    AssemblyCalibration assembly;
    fields.require("pieces", "name the crook, couplers and bits that were mounted");
    assembly.pieces = read_names(fields, "pieces", 40);
    assembly.slide_pull_m =
        fields.number("slide_pull_m", {0.0, 0.3, "metres", "millimetres", 0.001}).value_or(0.0);
    assembly.temperature_c =
        fields.number("temperature_c", {-10.0, 45.0, "degrees Celsius", "", 0.0}).value_or(20.0);
    assembly.f1_hz = fields.number("f1_hz", {18.0, 110.0, "hertz", "", 0.0});
    assembly.f1_sd_cents = fields.number("f1_sd_cents", kSpread);
    assembly.a4_hz = fields.number("a4_hz", {300.0, 600.0, "hertz", "", 0.0});
    assembly.drift_cents_per_min =
        fields.number("drift_cents_per_min", {-100.0, 100.0, "cents per minute", "", 0.0});
    each(fields, "partials", 24, {"partial", "cents", "sd_cents", "notes"}, [&](Fields& entry) {
        entry.require("partial", "say which, 1 to 24");
        entry.require("cents", "say how far it lies from n times f1");
        assembly.partials.push_back({entry.whole("partial", 1, 24).value_or(4),
                                     entry.number("cents", kCents).value_or(0.0),
                                     entry.number("sd_cents", kSpread),
                                     entry.whole("notes", 0, 1'000'000).value_or(0)});
    });
    each(fields, "full_stops", 25, {"rise_cents", "sd_cents", "partial"}, [&](Fields& entry) {
        entry.require("rise_cents", "say how far above the next lower partial it landed");
        assembly.full_stops.push_back({entry.number("rise_cents", kCents).value_or(100.0),
                                       entry.number("sd_cents", kSpread),
                                       entry.whole("partial", 1, 24)});
    });
    each(fields, "hand_points", 500, {"partial", "closure", "cents"}, [&](Fields& entry) {
        entry.require("partial", "say which, 1 to 24");
        entry.require("closure", "0 open to 1 full stop");
        entry.require("cents", "say how far it fell from the open partial");
        assembly.hand_points.push_back(
            {entry.whole("partial", 1, 24).value_or(8),
             entry.number("closure", {0.0, 1.0, "fractions", "percent", 0.01}).value_or(0.0),
             entry.number("cents", {-2400.0, 1200.0, "cents", "", 0.0}).value_or(0.0)});
    });
    return assembly;
}

template <typename T>
void put(ordered_json& object, const char* key, const std::optional<T>& value) {
    if (value) {
        object[key] = *value;
    }
}

ordered_json assembly_json(const AssemblyCalibration& assembly) {
    ordered_json object;
    object["pieces"] = assembly.pieces;
    object["slide_pull_m"] = assembly.slide_pull_m;
    object["temperature_c"] = assembly.temperature_c;
    put(object, "f1_hz", assembly.f1_hz);
    put(object, "f1_sd_cents", assembly.f1_sd_cents);
    put(object, "a4_hz", assembly.a4_hz);
    put(object, "drift_cents_per_min", assembly.drift_cents_per_min);
    for (const PartialOffset& offset : assembly.partials) {
        ordered_json entry{{"partial", offset.partial}, {"cents", offset.cents}};
        put(entry, "sd_cents", offset.sd_cents);
        entry["notes"] = offset.notes;
        object["partials"].push_back(std::move(entry));
    }
    for (const FullStopLanding& landing : assembly.full_stops) {
        ordered_json entry{{"rise_cents", landing.rise_cents}};
        put(entry, "sd_cents", landing.sd_cents);
        put(entry, "partial", landing.partial);
        object["full_stops"].push_back(std::move(entry));
    }
    for (const HandPoint& point : assembly.hand_points) {
        object["hand_points"].push_back(
            {{"partial", point.partial}, {"closure", point.closure}, {"cents", point.cents}});
    }
    return object;
}

OwnOpenNote read_open_note(Fields& fields) {
    OwnOpenNote note;
    fields.require("hz", "say how high it sounded");
    note.hz = fields.number("hz", {18.0, 3000.0, "hertz", "", 0.0}).value_or(200.0);
    note.level_dba = fields.number("level_dba", kLevel).value_or(-30.0);
    note.bandwidth_hz =
        fields.number("bandwidth_hz", {100.0, 96000.0, "hertz", "", 0.0}).value_or(20000.0);
    for (std::size_t i = 0; i < kGroupKeys.size(); ++i) {
        note.group_db[i] = fields.number(kGroupKeys[i], kLevel);
    }
    note.centroid_harmonic =
        fields.number("centroid_harmonic", {1.0, 100.0, "harmonics", "", 0.0}).value_or(1.0);
    note.slope_db_per_octave = fields.number("slope_db_per_octave", kLevel);
    note.high_minus_low_db = fields.number("high_minus_low_db", kLevel);
    return note;
}

ordered_json open_note_json(const OwnOpenNote& note) {
    ordered_json entry{
        {"hz", note.hz}, {"level_dba", note.level_dba}, {"bandwidth_hz", note.bandwidth_hz}};
    for (std::size_t i = 0; i < kGroupKeys.size(); ++i) {
        put(entry, kGroupKeys[i], note.group_db[i]);
    }
    entry["centroid_harmonic"] = note.centroid_harmonic;
    put(entry, "slope_db_per_octave", note.slope_db_per_octave);
    put(entry, "high_minus_low_db", note.high_minus_low_db);
    return entry;
}

} // namespace

Calibration read_calibration(const json& value, FileProblem& problem) {
    Fields fields(value,
                  "calibration",
                  problem,
                  {"player", "tube_factor", "assemblies", "room_colour", "own_open_notes"});
    Calibration calibration;
    calibration.player = fields.text("player");
    calibration.tube_factor = fields.number("tube_factor", {0.85, 1.05, "fractions", "", 0.0});
    each(fields,
         "assemblies",
         200,
         {"pieces",
          "slide_pull_m",
          "temperature_c",
          "f1_hz",
          "f1_sd_cents",
          "a4_hz",
          "drift_cents_per_min",
          "partials",
          "full_stops",
          "hand_points"},
         [&](Fields& entry) { calibration.assemblies.push_back(read_assembly(entry)); });
    each(fields, "room_colour", 256, {"hz", "db"}, [&](Fields& entry) {
        entry.require("hz", "say at which frequency");
        entry.require("db", "say the level against a flat microphone");
        calibration.room_colour.push_back(
            {entry.number("hz", {10.0, 96000.0, "hertz", "", 0.0}).value_or(1000.0),
             entry.number("db", {-120.0, 120.0, "decibels", "", 0.0}).value_or(0.0)});
    });
    each(fields,
         "own_open_notes",
         kMostOwnOpenNotes,
         {"hz",
          "level_dba",
          "bandwidth_hz",
          kGroupKeys[0],
          kGroupKeys[1],
          kGroupKeys[2],
          kGroupKeys[3],
          "centroid_harmonic",
          "slope_db_per_octave",
          "high_minus_low_db"},
         [&](Fields& entry) { calibration.own_open_notes.push_back(read_open_note(entry)); });
    return calibration;
}

ordered_json calibration_json(const Calibration& calibration) {
    ordered_json object = ordered_json::object();
    if (!calibration.player.empty()) {
        object["player"] = calibration.player;
    }
    put(object, "tube_factor", calibration.tube_factor);
    for (const AssemblyCalibration& assembly : calibration.assemblies) {
        object["assemblies"].push_back(assembly_json(assembly));
    }
    for (const RoomColourPoint& point : calibration.room_colour) {
        object["room_colour"].push_back({{"hz", point.hz}, {"db", point.db}});
    }
    for (const OwnOpenNote& note : calibration.own_open_notes) {
        object["own_open_notes"].push_back(open_note_json(note));
    }
    return object;
}

} // namespace bellhand::instrument
