#include "instrument/profile.h"
#include "instrument/profile_file.h"

namespace bellhand::instrument {

namespace {

using nlohmann::ordered_json;

template <typename T>
void put(ordered_json& object, const char* key, const std::optional<T>& value) {
    if (value) {
        object[key] = *value;
    }
}

void put_text(ordered_json& object, const char* key, const std::string& text) {
    if (!text.empty()) {
        object[key] = text;
    }
}

void put_pitches(ordered_json& object, const std::vector<PitchMeasurement>& pitches) {
    for (const PitchMeasurement& pitch : pitches) {
        ordered_json entry{{"partial", pitch.partial}, {"hz", pitch.hz}};
        put(entry, "temperature_c", pitch.temperature_c);
        if (pitch.slide_pull_m > 0.0) {
            entry["slide_pull_m"] = pitch.slide_pull_m;
        }
        if (!pitch.with.empty()) {
            entry["with"] = pitch.with;
        }
        object["pitches"].push_back(std::move(entry));
    }
}

ordered_json piece_json(const Piece& piece) {
    ordered_json object{{"name", piece.name}};
    if (piece.key) {
        object["key"] = piece.key->id;
    }
    if (piece.lowers) {
        object["lowers"] = {{"on", piece.lowers->on.id}, {"cents", piece.lowers->cents}};
    }
    put(object, "length_m", piece.length_m);
    put_pitches(object, piece.pitches);
    put(object, "mass_kg", piece.mass_kg);
    put(object, "reach_m", piece.reach_m);
    const bool crook =
        piece.kind == PieceKind::terminal_crook || piece.kind == PieceKind::master_crook;
    if (crook && piece.takes_couplers != (piece.kind == PieceKind::master_crook)) {
        object["takes_couplers"] = piece.takes_couplers;
    }
    put_text(object, "note", piece.note);
    return object;
}

ordered_json body_json(const Body& body) {
    ordered_json object{{"name", body.name}};
    if (body.key) {
        object["key"] = body.key->id;
    }
    put(object, "length_m", body.length_m);
    put_pitches(object, body.pitches);
    put(object, "mass_kg", body.mass_kg);
    if (body.plays_without_crook) {
        object["plays_without_crook"] = true;
    }
    put_text(object, "note", body.note);
    return object;
}

ordered_json mouthpiece_json(const Mouthpiece& mouthpiece) {
    ordered_json object = ordered_json::object();
    put_text(object, "name", mouthpiece.name);
    put(object, "length_m", mouthpiece.length_m);
    put(object, "cup_volume_ml", mouthpiece.cup_volume_ml);
    put(object, "throat_diameter_m", mouthpiece.throat_diameter_m);
    put_text(object, "note", mouthpiece.note);
    return object;
}

} // namespace

std::string profile_text(const Profile& profile) {
    ordered_json top;
    top["format"] = kProfileFormat;
    top["version"] = kProfileVersion;
    top["name"] = profile.name;
    put_text(top, "note", profile.note);
    top["made_for_a4_hz"] = profile.made_for_a4_hz;
    top["bore_radius_m"] = profile.bore_radius_m;
    top["air"] = {{"temperature_c", profile.air.temperature_c},
                  {"relative_humidity", profile.air.relative_humidity}};
    if (ordered_json mouthpiece = mouthpiece_json(profile.mouthpiece); !mouthpiece.empty()) {
        top["mouthpiece"] = std::move(mouthpiece);
    }
    top["body"] = body_json(profile.body);
    top["tuning_slide"] = {{"longest_pull_m", profile.slide.longest_pull_m},
                           {"usual_pull_m", profile.slide.usual_pull_m},
                           {"legs", profile.slide.legs}};
    for (const Piece& piece : profile.crooks) {
        const bool master = piece.kind == PieceKind::master_crook;
        top[master ? "master_crooks" : "terminal_crooks"].push_back(piece_json(piece));
    }
    for (const Piece& piece : profile.couplers) {
        top["couplers"].push_back(piece_json(piece));
    }
    for (const Piece& piece : profile.bits) {
        top["bits"].push_back(piece_json(piece));
    }
    top["change_times"] = {{"crook_s", profile.change_times.crook_s},
                           {"piece_off_s", profile.change_times.piece_off_s},
                           {"piece_on_s", profile.change_times.piece_on_s},
                           {"slide_s", profile.change_times.slide_s}};
    top["most_pieces_between"] = profile.most_pieces_between;
    if (profile.calibration) {
        top["calibration"] = calibration_json(*profile.calibration);
    }
    return top.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

} // namespace bellhand::instrument
