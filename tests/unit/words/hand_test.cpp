#include "words/hand.h"

#include "cli/commands.h"
#include "terminal/text_screen.h"
#include "terminal/text_width.h"

#include <set>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

trainer::PlayedNote heard_note() {
    trainer::PlayedNote note;
    note.written = {66, 1};
    note.deviation_cents = -19.0;
    note.finished = true;
    hand::NoteHand& heard = note.heard;
    heard.heard = true;
    heard.intent = {6, horn::Hand::half, horn::Hand::half, 3000.0, 10.0};
    hand::Position& position = heard.estimate.position;
    position.known = true;
    position.partial = 6;
    position.partial_share = 0.99;
    position.low = 0.5;
    position.high = 0.75;
    position.degree = horn::Hand::three_quarters;
    position.confidence = 0.85;
    heard.estimate.timbre_known = true;
    heard.advice = {hand::AdviceKind::hand_closed, -19.0, -17.0, -2.0, 0.9};
    heard.attack = {hand::AdviceKind::hand_or_lips, -40.0, -20.0, -20.0, 0.9};
    heard.attack_known = true;
    heard.attack_cents = -40.0;
    return note;
}

} // namespace

TEST_SUITE("app/hand words") {
    TEST_CASE("how a held note moved, in words") {
        pitch::PitchMotion motion;
        CHECK(words::motion_words(motion).empty());
        motion.known = true;
        motion.drift_cents = 2.0;
        motion.wobble_cents = 1.0;
        CHECK(words::motion_words(motion) == "held still");
        motion.drift_cents = -7.2;
        CHECK(words::motion_words(motion) == "sinks by 7 cents");
        motion.vibrato = true;
        motion.vibrato_cents = 8.0;
        motion.wobble_cents = 4.4;
        CHECK(words::motion_words(motion) ==
              "sinks by 7 cents; vibrato of 8 cents; wobbles by 4 cents");
    }

    TEST_CASE("advice on the held part and on the attack, each a sentence of its own") {
        const trainer::PlayedNote note = heard_note();
        CHECK(words::held_advice(note) ==
              "19 cents flat: the hand is further closed than half; open it a little.");
        CHECK(words::attack_advice(note) ==
              "40 cents flat: hand or lips, the sound does not tell which.");
    }

    TEST_CASE(
        "nothing is advised below the confidence that advice needs, nor of a note too short") {
        trainer::PlayedNote note = heard_note();
        note.heard.advice.confidence = hand::kAdviceConfidence - 0.01;
        CHECK(words::held_advice(note).empty());
        note.heard.attack.kind = hand::AdviceKind::unsure;
        CHECK(words::attack_advice(note).empty());
        note.heard.heard = false;
        note.heard.advice.confidence = 1.0;
        CHECK(words::held_advice(note).empty());
        CHECK(words::note_lines(note, {}).empty());
    }

    TEST_CASE("a note in tune with the hand where it should be is told so") {
        trainer::PlayedNote note = heard_note();
        note.heard.advice.kind = hand::AdviceKind::nothing;
        CHECK(words::held_advice(note) == "in tune, the hand as meant.");
    }

    TEST_CASE("an attack that was as the held part is not told twice") {
        trainer::PlayedNote note = heard_note();
        note.heard.attack = note.heard.advice;
        note.heard.attack_cents = note.deviation_cents + 2.0;
        CHECK(words::attack_advice(note).empty());
    }

    TEST_CASE("what is heard is a range in words, and what limits it stands beside it") {
        hand::HandEstimate estimate = heard_note().heard.estimate;
        const hand::Intent asked = heard_note().heard.intent;
        CHECK(words::heard_words(estimate) == "half to three-quarters");
        CHECK(words::heard_remark(estimate, asked).empty());
        estimate.narrow_band = true;
        CHECK(words::heard_remark(estimate, asked) == "call audio: the position rests on pitch");
        estimate.narrow_band = false;
        estimate.position.low = 0.0;
        estimate.position.high = 0.3;
        CHECK(words::heard_remark(estimate, asked) ==
              "a little hand and a little lip sound alike here");
        estimate.position.partial = 7;
        CHECK(words::heard_remark(estimate, asked) == "sounds from partial 7, the note asks for 6");
        estimate.position.known = false;
        CHECK(words::heard_words(estimate) == "not heard");
    }

    TEST_CASE("figures are shown only where they are known, and each is explained") {
        trainer::PlayedNote note = heard_note();
        CHECK(words::match_figures(note.heard).empty());
        CHECK(words::steadiness_figures(note.heard, {}).empty());
        CHECK(words::change_figures(note.heard).empty());
        note.heard.match.known = true;
        CHECK(words::match_figures(note.heard).empty()); // both open: nothing to match
        note.heard.match_open_and_stopped = true;
        note.heard.steadiness.known = true;
        note.heard.change.known = true;
        pitch::PitchMotion motion;
        motion.known = true;
        std::set<std::string> explained;
        for (const words::FigureMeaning& figure : words::figure_meanings()) {
            explained.insert(figure.name);
        }
        std::size_t shown = 0;
        for (const auto& figures : {words::match_figures(note.heard),
                                    words::steadiness_figures(note.heard, motion),
                                    words::change_figures(note.heard)}) {
            for (const words::Figure& figure : figures) {
                CAPTURE(figure.name);
                CHECK(explained.count(figure.name) == 1);
                CHECK_FALSE(figure.value.empty());
                ++shown;
            }
        }
        CHECK(shown == explained.size());
    }

    TEST_CASE("every band in the help says where it comes from") {
        for (const words::FigureMeaning& figure : words::figure_meanings()) {
            const std::string words = figure.meaning;
            const bool has_band = words.find("cents reliably") != std::string::npos ||
                                  words.find(" Hz ") != std::string::npos ||
                                  words.find("at most") != std::string::npos ||
                                  words.find("Up to") != std::string::npos;
            const bool marked = words.find("published:") != std::string::npos ||
                                words.find("common practice, no source") != std::string::npos ||
                                words.find("from memory") != std::string::npos ||
                                words.find("this program's choice") != std::string::npos;
            CAPTURE(figure.name);
            CHECK((!has_band || marked || words.find("between 3 and 12 Hz") != std::string::npos));
        }
    }

    TEST_CASE("the bar of the text view shows a range, never a point") {
        hand::Position position;
        CHECK(words::range_bar(position, 21) == " o────¼────½────¾────+ ");
        position.known = true;
        position.low = position.high = 0.5;
        CHECK(words::range_bar(position, 21) == " o────¼─[──½──]─¾────+ ");
        position.low = 0.0;
        position.high = 1.0;
        CHECK(words::range_bar(position, 21) == " [────¼────½────¾────] ");
        CHECK(terminal::display_width(terminal::plain_words(words::range_bar(position, 41))) == 43);
    }

    TEST_CASE("what was learnt is said, and that nothing was") {
        hand::OpenReference learnt = hand::unknown_player();
        CHECK(words::learnt_words(learnt).find("Nothing learnt") == 0);
        learnt.notes = 12;
        learnt.offset_cents = -4.2;
        CHECK(words::learnt_words(learnt).find("12 of your open notes") != std::string::npos);
        CHECK(words::learnt_words(learnt).find("4 cents flat") != std::string::npos);
    }
}
