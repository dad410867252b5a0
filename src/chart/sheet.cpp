#include "chart/sheet.h"

#include <cmath>

#include <fmt/format.h>

namespace bellhand::chart {

Sheet make_sheet(const horn::Tuning& tuning,
                 const horn::HandResponse& response,
                 horn::BassClef bass_clef,
                 const std::optional<horn::Scale>& key) {
    Sheet sheet;
    sheet.tuning = tuning;
    sheet.hand_source = response.source;
    sheet.bass_clef = bass_clef;
    sheet.notes = horn::crook_chart(tuning, response);
    sheet.key = key;
    if (key) {
        sheet.octaves = horn::count_scale(*key);
    }
    return sheet;
}

horn::Scale written_key(const horn::Scale& sounding, const horn::Crook& crook) {
    const horn::Note sounding_tonic{60 + horn::tonic_step(sounding), sounding.sharps};
    const horn::StaffName tonic = horn::staff_name(horn::written_note(sounding_tonic, crook));
    return {tonic.letter, tonic.sharps, sounding.mode};
}

bool stands_in_bass_clef(horn::Note written) noexcept {
    constexpr int kG3 = 55;
    return written.number < kG3;
}

std::string hand_signs(const horn::HandWay& way) {
    std::string signs = horn::hand_sign(way.hand);
    if (way.hand_to != way.hand) {
        signs += std::string("–") + horn::hand_sign(way.hand_to);
    }
    return signs;
}

std::string hand_words(const horn::HandWay& way) {
    std::string words = horn::hand_label(way.hand);
    if (way.hand_to != way.hand) {
        words += std::string(" to ") + horn::hand_label(way.hand_to);
    }
    words += way.hand_out ? ", hand drawn out" : "";
    words += way.lip ? ", lipped" : "";
    words += way.poor ? ", poor" : "";
    return words;
}

std::string temperament_words(const horn::Tuning& tuning) {
    const horn::Temperament& temperament = tuning.temperament;
    if (temperament == horn::Temperament{}) {
        return "equal temperament";
    }
    std::string words = temperament.label + (" on " + horn::root_label(tuning));
    if (tuning.footing.enharmonic == horn::Enharmonic::flat &&
        temperament.flat_sixth_cents != temperament.cents[8]) {
        words += ", with the flat";
    }
    return words + (tuning.footing.anchor == horn::Anchor::a ? ", A held" : "");
}

std::string key_words(const horn::Tuning& tuning) {
    const double off = horn::key_from_equal_cents(tuning);
    const std::string key = tuning.crook.label;
    return std::fabs(off) < 0.05
               ? std::string()
               : fmt::format("With A at {:g} Hz the key of {} stands {:.1f} cents {} equal "
                             "temperament: set the slide to it.",
                             tuning.a4_hz,
                             key.substr(0, key.find(' ')),
                             std::fabs(off),
                             off > 0.0 ? "above" : "below");
}

std::string sheet_title(const Sheet& sheet) {
    return fmt::format("Horn in {}, A4 = {:g} Hz, {}",
                       sheet.tuning.crook.label,
                       sheet.tuning.a4_hz,
                       temperament_words(sheet.tuning));
}

} // namespace bellhand::chart
