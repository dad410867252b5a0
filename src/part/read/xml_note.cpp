#include "part/read/xml_note.h"

#include "horn/spelling.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

namespace bellhand::part {

namespace {

bool is(const pugi::xml_node& node, std::string_view name) {
    return name == node.name();
}

bool take_pitch(const pugi::xml_node& pitch, Note& note) {
    const std::string_view step = pitch.child("step").text().get();
    const int octave = pitch.child("octave").text().as_int(-1);
    if (step.size() != 1 || step[0] < 'A' || step[0] > 'G' || octave < 0 || octave > 9) {
        return false;
    }
    const double alter = pitch.child("alter").text().as_double();
    const int sharps =
        std::isfinite(alter) ? static_cast<int>(std::lround(std::clamp(alter, -2.0, 2.0))) : 0;
    note.staff = {step[0], octave, sharps};
    note.number = 12 * (octave + 1) + horn::steps_above_c(step[0]) + sharps;
    return true;
}

void take_ties(const pugi::xml_node& element, const pugi::xml_node& notations, Note& note) {
    const auto take = [&note](const pugi::xml_node& tie) {
        const std::string_view type = tie.attribute("type").value();
        note.tie_begins = note.tie_begins || type == "start";
        note.tie_ends = note.tie_ends || type == "stop";
    };
    for (const pugi::xml_node tie : element.children("tie")) {
        take(tie);
    }
    if (!element.child("tie")) {
        for (const pugi::xml_node tied : notations.children("tied")) {
            take(tied);
        }
    }
}

void take_ornament(const pugi::xml_node& ornament, Note& note) {
    if (is(ornament, "trill-mark")) {
        note.trill = true;
    } else if (is(ornament, "tremolo")) {
        const std::string_view type = ornament.attribute("type").value();
        if (type.empty() || type == "single") {
            note.tremolo = std::clamp(ornament.text().as_int(3), 0, 8);
        }
    }
}

void take_articulation(const pugi::xml_node& articulation, Note& note) {
    note.staccato =
        note.staccato || is(articulation, "staccato") || is(articulation, "staccatissimo");
    note.accent = note.accent || is(articulation, "accent") || is(articulation, "strong-accent");
}

void take_notation(const pugi::xml_node& notation, Note& note) {
    if (is(notation, "slur") || is(notation, "tuplet")) {
        const std::string_view type = notation.attribute("type").value();
        if (type == "start" || type == "stop") {
            auto& ends = is(notation, "slur") ? note.slurs : note.tuplets;
            ends.push_back(
                {std::clamp(notation.attribute("number").as_int(1), 1, 16), type == "start"});
        }
    } else if (is(notation, "fermata")) {
        note.fermata = true;
    } else if (is(notation, "articulations")) {
        for (const pugi::xml_node child : notation.children()) {
            take_articulation(child, note);
        }
    } else if (is(notation, "ornaments")) {
        for (const pugi::xml_node child : notation.children()) {
            take_ornament(child, note);
        }
    } else if (is(notation, "technical")) {
        for (const pugi::xml_node child : notation.children()) {
            if (const auto mark = hand_mark(child)) {
                note.mark = mark;
            }
        }
    }
}

std::optional<Value> value_of(const pugi::xml_node& element) {
    const auto halvings = value_named(element.child("type").text().get());
    if (!halvings) {
        return std::nullopt;
    }
    Value value;
    value.halvings = *halvings;
    for ([[maybe_unused]] const pugi::xml_node dot : element.children("dot")) {
        value.dots = std::min(value.dots + 1, 4);
    }
    const pugi::xml_node tuplet = element.child("time-modification");
    if (tuplet) {
        value.actual = std::clamp(tuplet.child("actual-notes").text().as_int(1), 1, 100);
        value.normal = std::clamp(tuplet.child("normal-notes").text().as_int(1), 1, 100);
    }
    return value;
}

void take_beams(const pugi::xml_node& element, Note& note) {
    constexpr std::array<std::string_view, 5> kBeams{
        "begin", "continue", "end", "forward hook", "backward hook"};
    for (const pugi::xml_node beam : element.children("beam")) {
        const std::string_view text = beam.text().get();
        const auto* const found = std::find(kBeams.begin(), kBeams.end(), text);
        if (found != kBeams.end() && note.beams.size() < 8) {
            note.beams.push_back(static_cast<Beam>(found - kBeams.begin()));
        }
    }
}

std::optional<int> accidental_of(const pugi::xml_node& element) {
    constexpr std::array<std::string_view, 5> kAccidentals{
        "flat-flat", "flat", "natural", "sharp", "double-sharp"};
    const std::string_view text = element.child("accidental").text().get();
    const auto* const found = std::find(kAccidentals.begin(), kAccidentals.end(), text);
    return found == kAccidentals.end()
               ? std::nullopt
               : std::optional(static_cast<int>(found - kAccidentals.begin()) - 2);
}

} // namespace

std::optional<int> value_named(std::string_view type) noexcept {
    constexpr std::array<std::string_view, 10> kTypes{
        "breve", "whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th", "256th"};
    const auto* const found = std::find(kTypes.begin(), kTypes.end(), type);
    return found == kTypes.end() ? std::nullopt
                                 : std::optional(static_cast<int>(found - kTypes.begin()) - 1);
}

std::optional<horn::Hand> hand_mark(const pugi::xml_node& technical_child) {
    if (is(technical_child, "stopped")) {
        return horn::Hand::full;
    }
    if (is(technical_child, "open-string")) {
        return horn::Hand::open;
    }
    if (is(technical_child, "fingering")) {
        const std::string_view text = technical_child.text().get();
        for (const horn::Hand hand : horn::kHands) {
            if (text == horn::hand_sign(hand)) {
                return hand;
            }
        }
    }
    return std::nullopt;
}

bool is_quarter_tone(const pugi::xml_node& element) {
    const double alter = element.child("pitch").child("alter").text().as_double();
    return std::isfinite(alter) && alter != std::round(alter);
}

std::optional<Note> note_of(const pugi::xml_node& element) {
    Note note;
    const pugi::xml_node pitch = element.child("pitch");
    const pugi::xml_node rest = element.child("rest");
    if (pitch) {
        if (!take_pitch(pitch, note)) {
            return std::nullopt;
        }
    } else if (rest) {
        note.rest = true;
        note.whole_bar = std::string_view(rest.attribute("measure").value()) == "yes";
    } else {
        return std::nullopt;
    }
    note.hidden = std::string_view(element.attribute("print-object").value()) == "no";
    if (note.hidden) { // nobody sees it: the place it fills is silent
        note.rest = true;
    }
    note.chord = static_cast<bool>(element.child("chord"));
    note.grace = static_cast<bool>(element.child("grace"));
    note.cue = static_cast<bool>(element.child("cue"));
    note.voice = std::clamp(element.child("voice").text().as_int(1), 1, 100);
    note.staff_of_part = std::clamp(element.child("staff").text().as_int(1), 1, 8);
    note.value = value_of(element);
    note.accidental = accidental_of(element);
    take_beams(element, note);
    const pugi::xml_node notations = element.child("notations");
    take_ties(element, notations, note);
    for (const pugi::xml_node group : element.children("notations")) {
        for (const pugi::xml_node notation : group.children()) {
            take_notation(notation, note);
        }
    }
    return note;
}

} // namespace bellhand::part
