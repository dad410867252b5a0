#include "horn/crook_chart.h"

#include "core/cents.h"
#include "horn/compass.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace bellhand::horn {

namespace {

PlayedWay
played(const HandWay& way, double goal_hz, const Tuning& tuning, const HandResponse& response) {
    PlayedWay result{way};
    result.needed_cents = cents_between(goal_hz, partial_hz(way.partial, tuning));
    result.evenness = evenness_of(way);
    const auto at = static_cast<std::size_t>(way.partial - 1);
    if (way.hand_out) {
        const double most = response.hand_out_cents[at];
        // The hand need not leave further than the note asks for.
        const double wanted = result.needed_cents - response.open_cents[at];
        result.hand_cents = response.open_cents[at] + std::clamp(wanted, 0.0, most);
    } else if (way.hand == Hand::full && way.shift_cents > 0.0) {
        // Named from the partial below; the resonance is that of the next partial, fully closed.
        result.closure = 1.0;
        const double gap = cents_between(way.partial + 1.0, way.partial);
        result.hand_cents = gap + response_at(response, way.partial + 1, 1.0);
    } else {
        result.closure =
            nearest_closure(response, way.partial, way.hand, way.hand_to, result.needed_cents);
        result.hand_cents = response_at(response, way.partial, result.closure);
    }
    result.lips_cents = result.needed_cents - result.hand_cents;
    return result;
}

} // namespace

const char* tone_id(Tone tone) noexcept {
    constexpr std::array kIds{"open", "covered", "stopped", "lipped"};
    return kIds[static_cast<std::size_t>(tone)];
}

Tone tone_of(const HandWay& way) noexcept {
    constexpr double kMostThatLipsBend_cents = 70.0; // further, and the note counts as made by them
    if (way.lip && (way.poor || (way.hand == Hand::open &&
                                 std::fabs(way.shift_cents) > kMostThatLipsBend_cents))) {
        return Tone::lipped;
    }
    if (way.hand == Hand::open) {
        return Tone::open;
    }
    return way.hand <= Hand::half ? Tone::covered : Tone::stopped;
}

int evenness_of(const HandWay& way) noexcept {
    const bool uneven = way.poor || tone_of(way) == Tone::lipped;
    return std::max(1, 5 - static_cast<int>(way.hand_to) - (uneven ? 1 : 0));
}

std::vector<PlayedNote> crook_chart(const Tuning& tuning, const HandResponse& response) {
    const Compass compass = usual_compass(tuning.crook);
    std::vector<PlayedNote> notes;
    for (const ChartEntry& entry : hand_chart()) {
        PlayedNote note;
        note.written = entry.written;
        note.sounding = sounding_note(entry.written, tuning.crook);
        note.target_hz = target_hz(entry.written, tuning);
        for (const HandWay& way : entry.ways) {
            note.ways.push_back(played(way, note.target_hz, tuning, response));
        }
        const int partial = entry.usual().partial;
        note.in_usual_compass =
            partial >= compass.lowest_partial && partial <= compass.highest_partial;
        note.remark = entry.remark;
        notes.push_back(std::move(note));
    }
    return notes;
}

Note in_bass_clef(Note written, BassClef notation) noexcept {
    return {written.number - (notation == BassClef::octave_lower ? 12 : 0), written.sharps};
}

} // namespace bellhand::horn
