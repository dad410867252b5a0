#include "chart/sheet.h"

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

std::string temperament_words(const horn::Temperament& temperament) {
    return temperament == horn::Temperament{} ? "equal temperament" : temperament.label;
}

std::string sheet_title(const Sheet& sheet) {
    return fmt::format("Horn in {}, A4 = {:g} Hz, {}",
                       sheet.tuning.crook.label,
                       sheet.tuning.a4_hz,
                       temperament_words(sheet.tuning.temperament));
}

} // namespace bellhand::chart
