#include "words/verdict.h"

#include "horn/hand_chart.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

namespace bellhand::words {

namespace {

using drill::Fault;
using drill::Judgement;

constexpr std::size_t kMostFaults = 3;
constexpr double kTimes10 = 10.0;

struct Kind {
    Fault fault;
    const char* words;
};

/// In a teacher's order.
constexpr std::array<Kind, 18> kKinds{{
    {Fault::missed, "not played"},
    {Fault::wrong_note, "another note"},
    {Fault::wrong_partial, "another partial"},
    {Fault::wrong_hand, "another hand position"},
    {Fault::flat, "flat"},
    {Fault::sharp, "sharp"},
    {Fault::attack_flat, "attack from below"},
    {Fault::attack_sharp, "attack from above"},
    {Fault::unsteady, "unsteady"},
    {Fault::manner, "trill or closing not as written"},
    {Fault::early, "early"},
    {Fault::late, "late"},
    {Fault::too_short, "too short"},
    {Fault::too_long, "too long"},
    {Fault::too_loud, "louder than its neighbours"},
    {Fault::too_soft, "softer than its neighbours"},
    {Fault::uneven_colour, "another colour than the note before"},
    {Fault::hairpin, "hairpin not followed"},
}};

std::size_t place_of(Fault fault) noexcept {
    return static_cast<std::size_t>(
        std::find_if(
            kKinds.begin(), kKinds.end(), [&](const Kind& kind) { return kind.fault == fault; }) -
        kKinds.begin());
}

long whole(double value) {
    return std::lround(std::fabs(value));
}

double unsteady_cents(const Judgement& judgement) {
    const hand::NoteHand& heard = judgement.note.heard;
    return heard.heard && heard.steadiness.known ? heard.steadiness.unsteady_cents
                                                 : judgement.note.spread_cents;
}

/// "0.4 of its length", "1.7 times its length".
std::string length_words(double share) {
    const double tenths = std::round(share * kTimes10) / kTimes10;
    return tenths < 1.0 ? fmt::format("{:.1f} of its length", tenths)
                        : fmt::format("{:.1f} times its length", tenths);
}

/// The size behind the kind: "attack from below, by 42 cents".
std::string kind_by(const char* kind, double cents) {
    return whole(cents) == 0 ? std::string(kind)
                             : fmt::format("{}, by {} cents", kind, whole(cents));
}

/// With its size where that is known; of what came back with homework some sizes are not.
std::string sized(const char* kind, double size, const char* unit) {
    return whole(size) == 0 ? std::string(kind)
                            : fmt::format("{} {}{}{}", whole(size), unit, *unit ? " " : "", kind);
}

double attack_off_cents(const Judgement& judgement) {
    return judgement.attack_cents - judgement.held_cents;
}

} // namespace

std::string off_pitch(double cents) {
    const long rounded = std::lround(cents);
    return rounded == 0 ? "on pitch"
                        : fmt::format("{} {}", std::labs(rounded), rounded < 0 ? "flat" : "sharp");
}

const char* fault_kind(Fault fault) noexcept {
    return kKinds[std::min(place_of(fault), kKinds.size() - 1)].words;
}

std::vector<Fault> in_teachers_order(std::vector<Fault> faults) {
    std::stable_sort(
        faults.begin(), faults.end(), [](Fault a, Fault b) { return place_of(a) < place_of(b); });
    return faults;
}

std::string fault_words(const Judgement& judgement, Fault fault) {
    const char* const kind = fault_kind(fault);
    switch (fault) {
    case Fault::wrong_note:
        return horn::display_name(judgement.note.written) + " sounded";
    case Fault::wrong_partial:
        return judgement.note.partial > 0
                   ? fmt::format("partial {} sounded, {}",
                                 judgement.note.partial,
                                 horn::display_name(judgement.note.written))
                   : horn::display_name(judgement.note.written) + " sounded, " + kind;
    case Fault::wrong_hand:
        return judgement.heard_hand
                   ? std::string("the hand sounds ") + horn::hand_label(*judgement.heard_hand)
                   : kind;
    case Fault::flat:
    case Fault::sharp:
        return sized(kind, judgement.held_cents, "cents");
    case Fault::attack_flat:
    case Fault::attack_sharp:
        return kind_by(kind, attack_off_cents(judgement));
    case Fault::unsteady:
        return kind_by(kind, unsteady_cents(judgement));
    case Fault::early:
    case Fault::late:
        return sized(kind, 1000.0 * judgement.timing_s.value_or(0.0), "ms");
    case Fault::too_short:
    case Fault::too_long:
        return judgement.length_share
                   ? fmt::format("{}, {}", kind, length_words(*judgement.length_share))
                   : kind;
    case Fault::too_loud:
    case Fault::too_soft:
        return sized(kind, judgement.level_db.value_or(0.0), "dB");
    case Fault::uneven_colour: {
        const double octaves = judgement.note.heard.match.centroid_octaves;
        return octaves == 0.0 ? kind
                              : fmt::format("{} than the note before, by {:.1f} octaves",
                                            octaves > 0.0 ? "brighter" : "darker",
                                            std::fabs(octaves));
    }
    default:
        return kind;
    }
}

std::string short_fault(const Judgement& judgement, Fault fault) {
    switch (fault) {
    case Fault::wrong_partial:
        return judgement.note.partial > 0 ? ordinal(judgement.note.partial) + " partial"
                                          : horn::display_name(judgement.note.written) + " sounded";
    case Fault::wrong_hand:
        return judgement.heard_hand ? std::string("hand ") + horn::hand_label(*judgement.heard_hand)
                                    : "another hand";
    case Fault::flat:
    case Fault::sharp:
        return off_pitch(judgement.held_cents);
    case Fault::attack_flat:
        return sized("from below", attack_off_cents(judgement), "");
    case Fault::attack_sharp:
        return sized("from above", attack_off_cents(judgement), "");
    case Fault::too_short:
        return "short";
    case Fault::too_long:
        return "long";
    case Fault::too_loud:
        return sized("louder", judgement.level_db.value_or(0.0), "dB");
    case Fault::too_soft:
        return sized("softer", judgement.level_db.value_or(0.0), "dB");
    case Fault::uneven_colour:
        return judgement.note.heard.match.centroid_octaves > 0.0   ? "brighter"
               : judgement.note.heard.match.centroid_octaves < 0.0 ? "darker"
                                                                   : "other colour";
    case Fault::unsteady:
        return "unsteady";
    case Fault::hairpin:
        return "no hairpin";
    case Fault::manner:
        return "not as written";
    default:
        return fault_words(judgement, fault);
    }
}

constexpr const char* kUndecided =
    "not judged: in this room it could not be heard apart from the note before";

std::string verdict(const Judgement& judgement, const drill::Step& asked) {
    const std::string name = asked.written ? horn::display_name(*asked.written) : "rest";
    if (judgement.extra) {
        return horn::display_name(judgement.note.written) + " sounded, a note too many before " +
               name;
    }
    if (judgement.good()) {
        return name + ": " + kRight;
    }
    if (judgement.undecided()) {
        return name + ": " + kUndecided;
    }
    const std::vector<Fault> faults = in_teachers_order(judgement.faults);
    std::string text = name + ": " + fault_words(judgement, faults.front());
    const bool another = faults.front() <= Fault::wrong_note;
    for (std::size_t i = 1; !another && i < std::min(faults.size(), kMostFaults); ++i) {
        text += "; " + fault_words(judgement, faults[i]);
    }
    return text;
}

const char* ordinal_ending(int number) noexcept {
    const int tens = number % 100;
    if (tens >= 11 && tens <= 13) {
        return "th";
    }
    switch (number % 10) {
    case 1:
        return "st";
    case 2:
        return "nd";
    case 3:
        return "rd";
    default:
        return "th";
    }
}

std::string ordinal(int number) {
    return std::to_string(number) + ordinal_ending(number);
}

} // namespace bellhand::words
