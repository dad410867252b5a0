#include "drill/plan.h"

#include "core/cents.h"
#include "hand/advice.h"
#include "trainer/tolerance.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace bellhand::drill {

namespace {

/// A sound this near to what is asked is not told apart from it by pitch.
constexpr double kApart_cents = 40.0;

/// Where no lengths are written, a place to start again from comes after so many notes.
constexpr int kNotesWithoutBar = 4;

double place_hz(const horn::HandResponse& response, double f1_hz, int partial, double closure) {
    return partial * f1_hz * ratio_of_cents(horn::response_at(response, partial, closure));
}

bool apart(double hz, const Asked& asked) {
    return std::fabs(cents_between(hz, asked.target_hz)) > kApart_cents;
}

void add_misses(Asked& asked, const horn::HandResponse& response, double f1_hz) {
    const double wanted_cents = cents_between(asked.target_hz, asked.partial * f1_hz);
    const double closure =
        horn::nearest_closure(response, asked.partial, asked.hand, asked.hand_to, wanted_cents);
    for (int partial = 1; partial <= horn::kPartials; ++partial) {
        if (partial != asked.partial && 2 * partial >= asked.partial &&
            partial <= 2 * asked.partial) {
            const double hz = place_hz(response, f1_hz, partial, closure);
            if (apart(hz, asked)) {
                asked.other_partials_hz.push_back(hz);
            }
        }
    }
    for (int degree = 0; degree < horn::kHandDegrees; ++degree) {
        const auto hand = static_cast<horn::Hand>(degree);
        const double hz = place_hz(response, f1_hz, asked.partial, horn::closure_of(hand));
        if ((hand < asked.hand || hand > asked.hand_to) && apart(hz, asked)) {
            asked.other_hands_hz.push_back(hz);
            asked.other_hands.push_back(hand);
        }
    }
}

} // namespace

const horn::Crook& crook_at(int transposition) noexcept {
    return horn::all_crooks()[static_cast<std::size_t>(std::clamp(-transposition, 0, 16))];
}

horn::Note
played_note(const Exercise& exercise, horn::Note printed, const horn::Crook& crook) noexcept {
    if (!exercise.printed_for) {
        return printed;
    }
    return horn::written_note(horn::sounding_note(printed, crook_at(*exercise.printed_for)), crook);
}

horn::HandWay way_asked(const Step& step, const horn::ChartEntry& entry) noexcept {
    for (const horn::HandWay& way : entry.ways) {
        const bool partial_fits = !step.partial || *step.partial == way.partial;
        const bool hand_fits = !step.hand || (*step.hand >= way.hand && *step.hand <= way.hand_to);
        if (partial_fits && hand_fits) {
            horn::HandWay found = way;
            if (step.hand) {
                found.hand = found.hand_to = *step.hand;
            }
            return found;
        }
    }
    horn::HandWay named = entry.usual();
    named.hand = named.hand_to = step.hand.value_or(step.partial ? horn::Hand::open : named.hand);
    named.partial = step.partial.value_or(named.partial);
    named.shift_cents = horn::shift_from_partial_cents(entry.written, named.partial);
    return named;
}

double measured_hz(horn::Note written,
                   const horn::Tuning& tuning,
                   Measure measure,
                   const std::optional<horn::Note>& root) noexcept {
    if (measure == Measure::temperament || !root) {
        return horn::target_hz(written, tuning);
    }
    return horn::target_hz(*root, tuning) * horn::just_ratio(written.number - root->number);
}

std::vector<Asked> plan_of(const Exercise& exercise, const PlanSettings& settings) {
    const double f1_hz = horn::fundamental_hz(settings.tuning);
    const horn::HandResponse response =
        settings.hand ? *settings.hand : horn::hand_response(settings.tuning);
    const Measure measure = settings.measure.value_or(exercise.measure);
    const std::optional<horn::Note> root = settings.root ? settings.root : exercise.root;

    std::vector<Asked> plan;
    double at_quarters = 0.0;
    long bar_before = -1;
    int without_bar = 0; // notes of free length since a place to start again from
    bool after_rest = true;
    Dynamic dynamic = Dynamic::as_before;
    for (std::uint32_t index = 0; index < exercise.steps.size(); ++index) {
        const Step& step = exercise.steps[index];
        std::optional<horn::Note> written;
        if (step.written) {
            written = played_note(exercise, *step.written, settings.tuning.crook);
        }
        const horn::ChartEntry* const entry = written ? horn::chart_entry(*written) : nullptr;
        if (step.dynamic != Dynamic::as_before) {
            dynamic = step.dynamic;
        }
        if (entry == nullptr) {
            after_rest = true;
            at_quarters += step.quarters;
            continue;
        }
        Asked asked;
        asked.step = index;
        asked.written = *written;
        asked.target_hz = measured_hz(asked.written, settings.tuning, measure, root) *
                          ratio_of_cents(step.target_offset_cents.value_or(0.0));
        const hand::Intent intent = hand::intent_of(way_asked(step, *entry));
        asked.partial = intent.partial;
        asked.hand = intent.hand;
        asked.hand_to = intent.hand_to;
        asked.tolerance_cents = step.tolerance_cents.value_or(
            settings.pitch_factor * trainer::tolerance_cents(asked.hand_to));
        asked.at_quarters = at_quarters;
        asked.quarters = step.quarters;
        const long bar =
            step.bar ? *step.bar
                     : static_cast<long>(std::floor(at_quarters / exercise.quarters_in_bar + 1e-6));
        without_bar = step.quarters > 0.0 ? 0 : without_bar + 1;
        asked.bar_begins = after_rest || bar != bar_before || without_bar > kNotesWithoutBar;
        without_bar = asked.bar_begins && step.quarters == 0.0 ? 1 : without_bar;
        asked.slurred = step.slurred && !after_rest;
        asked.dynamic = dynamic;
        asked.hairpin = step.hairpin;
        asked.manner = step.manner;
        if (step.manner == Manner::slow_closing) {
            asked.other_hz = place_hz(response, f1_hz, asked.partial, 1.0);
        } else if (step.manner != Manner::plain && step.other) {
            asked.other_hz = measured_hz(played_note(exercise, *step.other, settings.tuning.crook),
                                         settings.tuning,
                                         measure,
                                         root);
        }
        add_misses(asked, response, f1_hz);
        plan.push_back(std::move(asked));
        bar_before = bar;
        after_rest = false;
        at_quarters += step.quarters;
    }
    return plan;
}

trainer::ExpectedPitches expected_around(const std::vector<Asked>& asked,
                                         std::uint32_t step) noexcept {
    constexpr std::ptrdiff_t kAfter = 3;
    const auto here = std::find_if(
        asked.begin(), asked.end(), [step](const Asked& note) { return note.step >= step; });
    trainer::ExpectedPitches pitches;
    const auto first = here == asked.begin() ? here : here - 1;
    for (auto note = first; note != asked.end() && note - here < kAfter; ++note) {
        pitches.add(note->target_hz);
    }
    return pitches;
}

} // namespace bellhand::drill
