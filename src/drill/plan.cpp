#include "drill/plan.h"

#include "core/cents.h"
#include "hand/advice.h"
#include "trainer/tolerance.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

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

horn::Crook
crook_of(const Exercise& exercise, std::uint32_t step, const horn::Crook& otherwise) noexcept {
    const bool in_part = step < exercise.steps.size() && exercise.steps[step].in_part;
    return in_part ? crook_at(exercise.steps[step].in_part->crook) : otherwise;
}

double quarters_of(const Exercise& exercise, const Step& step) noexcept {
    const double here = step.in_part ? step.in_part->quarters_per_minute : 0.0;
    const bool both = here > 0.0 && exercise.quarters_per_minute > 0.0;
    return both ? step.quarters * exercise.quarters_per_minute / here : step.quarters;
}

namespace {

/// The horn that is played on: another one after a change of crook.
struct Horn {
    horn::Tuning tuning;
    double f1_hz;
    horn::HandResponse response;
};

Horn horn_on(const horn::Crook& crook, const PlanSettings& settings) {
    horn::Tuning tuning = settings.tuning;
    tuning.crook = crook;
    std::optional<horn::HandResponse> hand;
    if (crook == settings.tuning.crook) {
        hand = settings.hand;
    } else if (settings.hand_on) {
        hand = settings.hand_on(tuning);
    }
    return {tuning, horn::fundamental_hz(tuning), hand ? *hand : horn::hand_response(tuning)};
}

class Planner {
public:
    Planner(const Exercise& exercise, const PlanSettings& settings)
        : exercise_(exercise),
          settings_(settings),
          measure_(settings.measure.value_or(exercise.measure)),
          root_(settings.root ? settings.root : exercise.root),
          horn_(horn_on(settings.tuning.crook, settings)) {}

    std::vector<Asked> plan() {
        for (std::uint32_t index = 0; index < exercise_.steps.size(); ++index) {
            add(index);
        }
        return std::move(plan_);
    }

private:
    void add(std::uint32_t index) {
        const Step& step = exercise_.steps[index];
        const horn::Crook crook = crook_of(exercise_, index, settings_.tuning.crook);
        if (step.written && !(crook == horn_.tuning.crook)) {
            horn_ = horn_on(crook, settings_);
        }
        std::optional<horn::Note> written;
        if (step.written) {
            written = played_note(exercise_, *step.written, horn_.tuning.crook);
        }
        const horn::ChartEntry* const entry = written ? horn::chart_entry(*written) : nullptr;
        if (step.dynamic != Dynamic::as_before) {
            dynamic_ = step.dynamic;
        }
        const double quarters = quarters_of(exercise_, step);
        const bool fermata = step.in_part && step.in_part->fermata;
        if (entry == nullptr) {
            after_rest_ = true;
            waited_ = waited_ || fermata;
        } else {
            Asked asked = asked_in(step, *entry);
            asked.step = index;
            asked.at_quarters = at_quarters_;
            asked.quarters = quarters;
            asked.fermata = fermata;
            begin_bar(step, asked);
            asked.waited = std::exchange(waited_, fermata);
            plan_.push_back(std::move(asked));
            after_rest_ = false;
        }
        at_quarters_ += quarters;
    }

    Asked asked_in(const Step& step, const horn::ChartEntry& entry) const {
        Asked asked;
        asked.crook = horn_.tuning.crook;
        asked.written = played_note(exercise_, *step.written, horn_.tuning.crook);
        asked.target_hz = measured_hz(asked.written, horn_.tuning, measure_, root_) *
                          ratio_of_cents(step.target_offset_cents.value_or(0.0));
        const hand::Intent intent = hand::intent_of(way_asked(step, entry));
        asked.partial = intent.partial;
        asked.hand = intent.hand;
        asked.hand_to = intent.hand_to;
        asked.tolerance_cents = step.tolerance_cents.value_or(
            settings_.pitch_factor * trainer::tolerance_cents(asked.hand_to));
        asked.slurred = step.slurred && !after_rest_;
        asked.dynamic = dynamic_;
        asked.hairpin = step.hairpin;
        asked.manner = step.manner;
        if (step.manner == Manner::slow_closing) {
            asked.other_hz = place_hz(horn_.response, horn_.f1_hz, asked.partial, 1.0);
        } else if (step.manner != Manner::plain && step.other) {
            asked.other_hz = measured_hz(played_note(exercise_, *step.other, horn_.tuning.crook),
                                         horn_.tuning,
                                         measure_,
                                         root_);
        }
        add_misses(asked, horn_.response, horn_.f1_hz);
        return asked;
    }

    void begin_bar(const Step& step, Asked& asked) {
        const long bar =
            step.in_part
                ? step.in_part->bar
                : static_cast<long>(std::floor(at_quarters_ / exercise_.metre.quarters() + 1e-6));
        without_bar_ = step.quarters > 0.0 ? 0 : without_bar_ + 1;
        asked.bar_begins = after_rest_ || bar != bar_before_ || without_bar_ > kNotesWithoutBar;
        without_bar_ = asked.bar_begins && step.quarters == 0.0 ? 1 : without_bar_;
        bar_before_ = bar;
    }

    const Exercise& exercise_;
    const PlanSettings& settings_;
    Measure measure_;
    std::optional<horn::Note> root_;
    Horn horn_;
    std::vector<Asked> plan_;
    double at_quarters_ = 0.0;
    long bar_before_ = -1;
    int without_bar_ = 0; ///< notes of free length since a place to start again from
    bool after_rest_ = true;
    bool waited_ = false;
    Dynamic dynamic_ = Dynamic::as_before;
};

} // namespace

std::vector<Asked> plan_of(const Exercise& exercise, const PlanSettings& settings) {
    return Planner(exercise, settings).plan();
}

bool same_pitch(const Asked& one, const Asked& other) noexcept {
    constexpr double kSame_cents = 30.0;
    return std::fabs(cents_between(one.target_hz, other.target_hz)) < kSame_cents;
}

trainer::ExpectedPitches
expected_around(const std::vector<Asked>& asked, std::uint32_t step, double quarter_s) noexcept {
    constexpr std::ptrdiff_t kAfter = 3;
    const auto here = std::find_if(
        asked.begin(), asked.end(), [step](const Asked& note) { return note.step >= step; });
    trainer::ExpectedPitches pitches;
    const auto first = here == asked.begin() ? here : here - 1;
    for (auto note = first; note != asked.end() && note - here < kAfter; ++note) {
        pitches.add(note->target_hz);
        for (auto next = note + 1; next != asked.end() && next - here < kAfter; ++next) {
            if (!same_pitch(*next, *note)) {
                break;
            }
            const double after_s = quarter_s * (next->at_quarters - note->at_quarters);
            if (after_s > 0.0) {
                pitches.add_again(note->target_hz, after_s);
            }
        }
    }
    return pitches;
}

} // namespace bellhand::drill
