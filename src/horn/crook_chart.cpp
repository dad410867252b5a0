#include "horn/crook_chart.h"

#include "core/cents.h"
#include "horn/compass.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace bellhand::horn {

namespace {

/// Named from the partial below: the resonance is that of the next partial, fully closed.
bool named_from_below(const HandWay& way) noexcept {
    return way.hand == Hand::full && way.shift_cents > 0.0;
}

void close_hand(PlayedWay& played, const HandResponse& response) noexcept {
    const HandWay& way = played.way;
    const bool from_below = named_from_below(way);
    const int partial = from_below ? way.partial + 1 : way.partial;
    const double gap = cents_between(partial, way.partial);
    const double wanted = played.needed_cents - gap;
    played.closure =
        from_below ? 1.0 : nearest_closure(response, partial, way.hand, way.hand_to, wanted);
    played.hand_cents = gap + response_at(response, partial, played.closure);
    played.doubt_cents = std::hypot(fall_doubt_at(response, partial, played.closure),
                                    response.doubt_cents[static_cast<std::size_t>(partial - 1)][0]);
    played.best_closure = nearest_closure(response, partial, Hand::open, Hand::full, wanted);
}

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
        result.doubt_cents = response.doubt_cents[at][0];
    } else {
        close_hand(result, response);
    }
    result.lips_cents = result.needed_cents - result.hand_cents;
    result.sign_doubted = way.hand_to != Hand::open && !way.lip && !way.poor &&
                          std::fabs(result.lips_cents) > kSignsAgree_cents;
    return result;
}

} // namespace

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

std::string sign_remark(const PlayedWay& played) {
    if (!played.sign_doubted) {
        return {};
    }
    const HandWay& way = played.way;
    std::string words = hand_sign(way.hand);
    if (way.hand_to != way.hand) {
        words += std::string("–") + hand_sign(way.hand_to);
    }
    char gives[64];
    std::snprintf(gives,
                  sizeof gives,
                  " gives %s%.0f ± %.0f here: ",
                  played.hand_cents < 0.0 ? "−" : "+",
                  std::fabs(played.hand_cents),
                  played.doubt_cents);
    words += gives;
    const Hand best = degree_of(played.best_closure);
    return best < way.hand || best > way.hand_to ? words + hand_sign(best) + " comes nearer."
                                                 : words + "the lips must do the rest.";
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
