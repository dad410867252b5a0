#include "desk/model/lesson_words.h"

#include "desk/model/phrases.h"
#include "words/verdict.h"

#include <cmath>

namespace bellhand::desk {

namespace {

std::string range_signs(horn::Hand low, horn::Hand high) {
    std::string signs = horn::hand_sign(low);
    if (high != low) {
        signs += std::string(" ") + horn::hand_sign(high);
    }
    return signs;
}

} // namespace

std::string asked_signs(const hand::Intent& way) {
    return way.partial == 0 ? std::string() : range_signs(way.hand, way.hand_to);
}

std::string heard_signs(const hand::HandEstimate& hand) {
    return hand.position.known ? range_signs(hand::degree_of(hand.position.low),
                                             hand::degree_of(hand.position.high))
                               : std::string();
}

std::string off_words(const LessonNote& note) {
    return note.pitch_known()
               ? words::off_pitch(note.cents)
               : "pitch within " + std::to_string(std::lround(note.known_within_cents));
}

std::string short_off_words(const LessonNote& note) {
    return note.pitch_known() ? signed_cents(note.cents) : within_cents(note.known_within_cents);
}

std::string apart_words(const LessonNote& here, const LessonNote& call) {
    // Of the cents as they are shown: what stands under them must agree with them.
    return here.pitch_known() && call.pitch_known()
               ? signed_cents(std::round(call.cents) - std::round(here.cents))
               : "-";
}

std::string no_hand_words(const LessonNote& note) {
    if (note.side == Side::call) {
        return "not over a call";
    }
    if (!note.ended) {
        return "listening";
    }
    return note.pitch_known() ? "not told" : "too short";
}

std::string mark_words(const LessonNote& note) {
    std::string words =
        (note.side == Side::call ? kCallMark : "") + horn::display_name(note.written);
    if (note.asked.partial != 0) {
        words += std::string(", ") + horn::hand_label(note.asked.hand_to) + " asked";
    }
    if (note.hand.position.known) {
        words += ", " + hand::range_text(note.hand.position) + " heard";
    }
    return words + ", " + off_words(note);
}

std::string asked_words(const Asked& asked) {
    const std::string name = horn::display_name(asked.written);
    if (asked.way.hand == horn::Hand::open && asked.way.hand_to == horn::Hand::open) {
        return name + ", open";
    }
    std::string hand = horn::hand_label(asked.way.hand);
    if (asked.way.hand_to != asked.way.hand) {
        hand += std::string(" to ") + horn::hand_label(asked.way.hand_to);
    }
    return name + " with " + hand;
}

const char* side_words(Side side) noexcept {
    return side == Side::here ? "this side" : "the call";
}

std::string lesson_line(const horn::Tuning& tuning, const std::string& heard) {
    return std::string("Horn in ") + tuning.crook.label + ", A = " + hertz_text(tuning.a4_hz) +
           (heard.empty() ? std::string() : ", heard: " + heard);
}

} // namespace bellhand::desk
