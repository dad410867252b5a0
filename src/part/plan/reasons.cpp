#include "part/plan/reasons.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace bellhand::part {

namespace {

constexpr int kHeard = 5;   // points that a change of tone costs to be worth a word
constexpr int kDarker = 12; // the same of a dark tone

struct Ground {
    int saved;
    const char* words;
};

/// What speaks most for the way that was taken in place of the usual one.
const char* largest_ground(const CostParts& usual, const CostParts& taken) {
    const std::array kGrounds{
        Ground{usual.same_pitch - taken.same_pitch, "the same note keeps the same hand"},
        Ground{usual.haste - taken.haste, "the usual way leaves the hand no time"},
        Ground{usual.tone_change - taken.tone_change, "the tone changes less"},
        Ground{usual.travel - taken.travel, "the hand moves less"},
        Ground{usual.lips - taken.lips, "the lips bend less"},
        Ground{usual.loudness - taken.loudness, "the dynamic asks for a more open hand"},
        Ground{usual.tone - taken.tone, "it sounds more open"},
        Ground{usual.poor - taken.poor, "the usual way is poor"}};
    return std::max_element(kGrounds.begin(),
                            kGrounds.end(),
                            [](const Ground& a, const Ground& b) { return a.saved < b.saved; })
        ->words;
}

std::string way_words(const Choice& choice) {
    std::string text = horn::hand_label(choice.way.hand);
    if (choice.way.hand_out) {
        text = "hand drawn out";
    }
    text += " on partial " + std::to_string(choice.way.partial);
    return text + (choice.way.lip ? ", helped by the lips" : "");
}

/// What to look out for, empty when nothing weighs.
std::string warning(const PhraseNote& note, const Choice& choice, const CostParts& parts) {
    if (parts.poor > 0) {
        return "a poor note, seldom written";
    }
    if (parts.haste > 0) {
        return "hasty: the hand has " + std::to_string(note.since_ms) + " ms to get there";
    }
    if (parts.lips > 0) {
        const long cents = std::lround(std::fabs(choice.lips_cents));
        return "the lips " + std::string(choice.lips_cents > 0 ? "lift " : "lower ") +
               std::to_string(cents) + " cents";
    }
    if (parts.loudness > 0) {
        return note.dynamic == Dynamic::pp ? "stopped at pp, hard to keep soft"
                                           : "stopped at ff, it will rasp";
    }
    if (parts.compass > 0) {
        return "outside what parts for this crook usually ask";
    }
    if (note.slurred && parts.tone_change > 0) {
        return "the tone changes inside the slur";
    }
    if (parts.tone_change >= kHeard) {
        return "the tone changes from the note before";
    }
    if (parts.same_pitch > 0) {
        return "the same pitch had another hand shortly before";
    }
    return note.exposed && parts.tone >= kDarker ? "exposed, so that its darker tone shows" : "";
}

std::string capital(std::string text) {
    if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
        text.front() = static_cast<char>(text.front() - 'a' + 'A');
    }
    return text;
}

} // namespace

std::string reason_for(const PhraseNote& note,
                       const Choice& choice,
                       bool pinned,
                       const CostParts& parts,
                       const CostParts* usual) {
    std::string text = capital(way_words(choice)) + ", ";
    if (pinned) {
        text += "as pinned";
    } else if (usual != nullptr) {
        text += std::string("not the usual way: ") + largest_ground(*usual, parts);
    } else {
        text += choice.usual ? "the usual way" : "the only way left";
    }
    const std::string care = warning(note, choice, parts);
    return text + (care.empty() ? "" : "; " + care) + ".";
}

std::string reason_impossible(horn::Note written, const horn::Crook& crook) {
    return "No way of the hand reaches " + horn::display_name(written) + " on " + crook.label +
           ": players take the other octave, bend the nearest partial with the lips, or leave it "
           "to a "
           "colleague.";
}

} // namespace bellhand::part
