#include "terminal/text_screen.h"

#include "cli/commands.h"
#include "terminal/big_letters.h"
#include "terminal/text_width.h"

#include <algorithm>
#include <sstream>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

terminal::TextState some_state() {
    terminal::TextState state;
    state.tuning.crook = *horn::parse_crook("Bb-alto");
    state.source.name = "a microphone";
    state.source.state = audio::SourceState::running;
    state.shown = terminal::LiveNote::Shown{
        *horn::read_against(460.0, state.tuning, horn::Note{70, -1}), 460.0, true};
    state.level_dbfs = -20.0;
    for (int i = 0; i < 30; ++i) {
        trainer::PlayedNote note;
        note.start_s = i;
        note.written = horn::usual_spelling(60 + i % 12);
        state.notes.push_back(note);
    }
    return state;
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
        lines.push_back(line);
    }
    return lines;
}

bool ascii(const std::string& text) {
    return std::all_of(
        text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x80; });
}

trainer::Reading reading_at(double time_s, double deviation_cents) {
    trainer::Reading reading;
    reading.frame.time_s = time_s;
    reading.frame.voiced = true;
    reading.has_note = true;
    reading.note.written = {72, 0};
    reading.note.deviation_cents = deviation_cents;
    return reading;
}

} // namespace

TEST_SUITE("app/text_screen") {
    TEST_CASE("the screen never exceeds the terminal, whatever its size") {
        const terminal::TextState state = some_state();
        for (const int columns : {20, 40, 80, 81, 200}) {
            for (const int rows : {5, 12, 24, 60}) {
                for (const bool utf8 : {false, true}) {
                    const auto lines = lines_of(terminal::text_screen(state, columns, rows, utf8));
                    CHECK(lines.size() <= static_cast<std::size_t>(rows));
                    for (const std::string& line : lines) {
                        CHECK(terminal::display_width(line) <= static_cast<std::size_t>(columns));
                    }
                }
            }
        }
    }

    TEST_CASE("the screen shows crook, note, hand, deviation, last notes and keys") {
        const std::string screen = terminal::text_screen(some_state(), 80, 24, true);
        for (const char* text : {"B♭ alto crook",
                                 "partial 7",
                                 "open",
                                 "460.00 Hz",
                                 "cents",
                                 "a microphone",
                                 "q stop"}) {
            CAPTURE(text);
            CHECK(screen.find(text) != std::string::npos);
        }
    }

    TEST_CASE("a terminal without UTF-8 gets ASCII only") {
        CHECK(ascii(terminal::text_screen(some_state(), 80, 24, false)));
        CHECK(ascii(terminal::note_line(some_state().notes[1], false)));
        CHECK_FALSE(ascii(terminal::text_screen(some_state(), 80, 24, true)));
    }

    TEST_CASE("trouble with source or log is said on the screen") {
        terminal::TextState state = some_state();
        state.log.message = "The log is locked.";
        state.log.unsaved_notes = 3;
        CHECK(terminal::text_screen(state, 80, 24, true)
                  .find("The log is locked. 3 notes are waiting in memory.") != std::string::npos);
        state.source.message = "The microphone went away.";
        CHECK(terminal::text_screen(state, 80, 24, true).find("The microphone went away.") !=
              std::string::npos);
    }

    TEST_CASE("the deviation bar has its mark where the cents say") {
        CHECK(terminal::deviation_bar(0.0, 11, false) == "-----O-----");
        CHECK(terminal::deviation_bar(-50.0, 11, false) == "O----|-----");
        CHECK(terminal::deviation_bar(20.0, 11, false) == "-----|-O---");
        CHECK(terminal::deviation_bar(900.0, 11, false) == "-----|----O");
    }

    TEST_CASE("every written note has its big letters, all rows equally wide") {
        for (int number = 43; number <= 91; ++number) {
            const auto rows = terminal::big_note(horn::usual_spelling(number), "#");
            const std::size_t letters = horn::ascii_name(horn::usual_spelling(number)).size();
            for (const std::string& row : rows) {
                CHECK(row.size() == letters * 12 - 2);
            }
        }
    }

    TEST_CASE(
        "the shown deviation is the median of the last moments, and is held when the note ends") {
        terminal::LiveNote live;
        CHECK_FALSE(live.shown());
        for (int i = 0; i < 20; ++i) {
            live.take(reading_at(0.01 * i, i % 5 == 0 ? 90.0 : 4.0)); // with slips
        }
        REQUIRE(live.shown());
        CHECK(live.shown()->note.deviation_cents == 4.0);
        CHECK(live.shown()->sounding);
        trainer::Reading silence;
        silence.frame.time_s = 1.0;
        live.take(silence);
        REQUIRE(live.shown());
        CHECK_FALSE(live.shown()->sounding);
        CHECK(live.shown()->note.deviation_cents == 4.0);
        silence.frame.time_s = 3.0;
        live.take(silence);
        CHECK_FALSE(live.shown());
    }

    TEST_CASE("what is heard unsurely is said to be, and moves no figure") {
        terminal::LiveNote live;
        for (int i = 0; i < 20; ++i) {
            trainer::Reading reading = reading_at(0.01 * i, i < 12 ? 4.0 : 30.0);
            reading.frame.doubtful = i >= 12;
            live.take(reading);
        }
        REQUIRE(live.shown());
        CHECK(live.shown()->sure);
        CHECK(live.shown()->note.deviation_cents == 4.0);
        for (int i = 20; i < 50; ++i) {
            trainer::Reading reading = reading_at(0.01 * i, 30.0);
            reading.frame.doubtful = true;
            live.take(reading);
        }
        REQUIRE(live.shown());
        CHECK_FALSE(live.shown()->sure);
        terminal::TextState state = some_state();
        state.shown = live.shown();
        CHECK(terminal::text_screen(state, 80, 24, true).find("(heard unsurely)") !=
              std::string::npos);
    }

    TEST_CASE(
        "a short note's line says how closely its pitch is known, not a figure it does not have") {
        trainer::PlayedNote note = some_state().notes[1];
        note.deviation_cents = -7.3;
        note.known_within_cents = 18.0;
        const std::string line = terminal::note_line(note, true);
        CHECK(line.find("±18 cents") != std::string::npos);
        CHECK(line.find("7.3") == std::string::npos);
        CHECK(ascii(terminal::note_line(note, false)));
        note.known_within_cents = 6.0;
        CHECK(terminal::note_line(note, true).find("-7.3 cents") != std::string::npos);
    }
}
