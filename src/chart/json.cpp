#include "chart/text.h"

#include <cmath>

#include <nlohmann/json.hpp>

namespace bellhand::chart {

namespace {

using Json = nlohmann::ordered_json;

double rounded(double value, int decimals) {
    const double shift = std::pow(10.0, decimals);
    return std::round(value * shift) / shift + 0.0; // + 0.0 turns -0 into 0
}

Json way_json(const horn::PlayedWay& played, bool usual) {
    const horn::HandWay& way = played.way;
    return {{"partial", way.partial},
            {"hand", horn::hand_id(way.hand)},
            {"hand_to", horn::hand_id(way.hand_to)},
            {"hand_out", way.hand_out},
            {"lipped", way.lip},
            {"poor", way.poor},
            {"usual", usual},
            {"needed_cents", rounded(played.needed_cents, 2)},
            {"hand_cents", rounded(played.hand_cents, 2)},
            {"hand_sd_cents", rounded(played.doubt_cents, 2)},
            {"lips_cents", rounded(played.lips_cents, 2)},
            {"closure", rounded(played.closure, 3)},
            {"best_closure", rounded(played.best_closure, 3)},
            {"sign_doubted", played.sign_doubted},
            {"evenness", played.evenness},
            {"source", way.source}};
}

Json key_json(const Sheet& sheet) {
    Json octaves = Json::array();
    for (const horn::ScaleCount& octave : sheet.octaves) {
        octaves.push_back({{"from", horn::ascii_name(octave.notes.front())},
                           {"to", horn::ascii_name(octave.notes.back())},
                           {"open", octave.open},
                           {"covered", octave.covered},
                           {"stopped", octave.stopped},
                           {"lipped", octave.lipped},
                           {"evenness", rounded(octave.mean_evenness, 3)}});
    }
    return {{"written", horn::scale_label(*sheet.key)}, {"octaves", octaves}};
}

} // namespace

std::string sheet_json(const Sheet& sheet) {
    Json root = {{"f1_hz", rounded(horn::fundamental_hz(sheet.tuning), 4)},
                 {"key_from_equal_cents", rounded(horn::key_from_equal_cents(sheet.tuning), 2)},
                 {"hand", sheet.hand_source},
                 {"bass_clef", sheet.bass_clef == horn::BassClef::octave_lower ? "old" : "new"}};
    if (sheet.key) {
        root["key"] = key_json(sheet);
    }
    Json notes = Json::array();
    for (const horn::PlayedNote& note : sheet.notes) {
        Json ways = Json::array();
        for (const horn::PlayedWay& way : note.ways) {
            ways.push_back(way_json(way, &way == &note.ways.front()));
        }
        Json entry = {{"written", horn::ascii_name(note.written)},
                      {"sounding", horn::ascii_name(note.sounding)},
                      {"target_hz", rounded(note.target_hz, 3)},
                      {"target", horn::target_words(note.written, sheet.tuning)},
                      {"usual_compass", note.in_usual_compass},
                      {"ways", ways}};
        if (stands_in_bass_clef(note.written)) {
            entry["bass_clef"] =
                horn::ascii_name(horn::in_bass_clef(note.written, sheet.bass_clef));
        }
        if (sheet.key) {
            entry["in_key"] = horn::contains(*sheet.key, note.written.number);
        }
        if (*note.remark != '\0') {
            entry["remark"] = note.remark;
        }
        notes.push_back(std::move(entry));
    }
    root["notes"] = std::move(notes);
    return root.dump(1);
}

} // namespace bellhand::chart
