#include "terminal/text_view.h"

#include "app/input.h"
#include "app/players_horn.h"
#include "core/platform_terminal.h"
#include "terminal/terminal.h"
#include "terminal/text_screen.h"
#include "trainer/held_motion.h"
#include "words/hand.h"
#include "words/horn.h"

#include <chrono>
#include <cstdio>
#include <thread>

#include <fmt/format.h>

namespace bellhand::terminal {

namespace {

constexpr std::chrono::milliseconds kFrame{50};
constexpr std::chrono::milliseconds kStands{700};
constexpr std::size_t kNotesKept = 64;
constexpr double kA4StepHz = 1.0;

/// Says a sentence on stderr, once, when it has stood for a moment: "opening ..." passes by unsaid.
class Messages {
public:
    void tell(const std::string& message) {
        const auto now = std::chrono::steady_clock::now();
        if (message != last_) {
            last_ = message;
            since_ = now;
            said_ = message.empty();
        }
        if (!said_ && now - since_ >= kStands) {
            std::fprintf(stderr, "bellhand: %s\n", last_.c_str());
            said_ = true;
        }
    }

private:
    std::string last_;
    std::chrono::steady_clock::time_point since_;
    bool said_ = true;
};

/// Keys of the screen. True when the session is to stop.
bool handle_key(char key,
                horn::Tuning& tuning,
                words::HornWatch& watch,
                const app::PlayersHorn& horn,
                practice::Practice& practice,
                std::vector<hand::Colour>& taught) {
    const horn::Tuning before = tuning;
    const auto crooks = horn::all_crooks();
    const auto place = static_cast<std::size_t>(-tuning.crook.transposition);
    switch (key) {
    case 'q':
    case 'Q':
    case '\x1b':
        return true;
    case '<':
    case ',':
        tuning.crook = crooks[std::min(place + 1, crooks.size() - 1)];
        break;
    case 'f':
    case 'F':
        practice.forget_learnt();
        taught.clear();
        break;
    case '>':
    case '.':
        tuning.crook = crooks[place > 0 ? place - 1 : 0];
        break;
    case '+':
    case '=':
        tuning.a4_hz = std::min(tuning.a4_hz + kA4StepHz, horn::kHighestA4Hz);
        break;
    case 'g':
    case 'G':
        tuning = watch.remark().offer.value_or(tuning);
        break;
    case '-':
        tuning.a4_hz = std::max(tuning.a4_hz - kA4StepHz, horn::kLowestA4Hz);
        break;
    default:
        break;
    }
    if (!(tuning == before)) {
        practice.set_tuning(tuning, horn.hand_for(tuning).own);
        watch.forget();
    }
    return false;
}

bool time_is_up(const app::StartOptions& options, std::chrono::steady_clock::time_point since) {
    const std::chrono::duration<double> passed = std::chrono::steady_clock::now() - since;
    return options.stop_after_s > 0.0 && passed.count() >= options.stop_after_s;
}

/// The screen, until it is stopped.
horn::Tuning run_screen(const app::StartOptions& options,
                        const app::PlayersHorn& horn,
                        practice::Practice& practice,
                        std::vector<hand::Colour>& taught) {
    const auto since = std::chrono::steady_clock::now();
    const bool utf8 = platform::output_shows_utf8();
    Terminal terminal;
    TextState state;
    state.tuning = options.tuning;
    LiveNote live;
    trainer::HeldMotion held;
    words::HornWatch watch;
    bool going = true;
    while (going && !platform::stop_asked() && !time_is_up(options, since)) {
        going = practice.poll([&](const trainer::Reading& reading) {
            live.take(reading);
            held.add(reading);
        });
        const std::size_t before = state.notes.size();
        practice.take_notes(state.notes);
        for (std::size_t i = before; i < state.notes.size(); ++i) {
            if (state.notes[i].heard.taught.known) {
                taught.push_back(state.notes[i].heard.taught);
            }
            if (state.notes[i].heard.heard) {
                watch.take(state.notes[i].heard.horn, state.tuning);
            }
        }
        if (state.notes.size() > before) {
            state.last_note = words::note_lines(state.notes.back(), held.of(state.notes.back()));
        }
        if (const int open_notes = practice.learnt().notes; open_notes > 0) {
            state.learnt = "Learnt from " + std::to_string(open_notes) + " of your open notes.";
        } else {
            state.learnt.clear();
        }
        if (state.notes.size() > kNotesKept) {
            state.notes.erase(state.notes.begin(), state.notes.end() - kNotesKept);
        }
        while (const auto key = terminal.key()) {
            going = !handle_key(*key, state.tuning, watch, horn, practice, taught) && going;
        }
        state.horn = watch.remark().text;
        if (watch.remark().offer) {
            state.horn += " g takes it.";
        }
        state.source = practice.source_status();
        state.log = practice.log_status();
        state.own_sound = practice::own_sound_words(practice.own_sound());
        state.elapsed_s = practice.elapsed_s();
        state.shown = live.shown();
        state.level_dbfs = live.level_dbfs();
        state.clipped = live.clipped();
        state.dropped_samples = live.dropped_samples();
        const platform::TerminalSize size =
            platform::terminal_size().value_or(platform::TerminalSize{});
        terminal.draw(text_screen(state, size.columns, size.rows, utf8));
        std::this_thread::sleep_for(kFrame);
    }
    return state.tuning;
}

/// What was said of the horn, and which one is set.
struct HornSaid {
    horn::Tuning tuning;
    words::HornWatch watch;
};

void print_notes(practice::Practice& practice,
                 trainer::HeldMotion& held,
                 bool utf8,
                 HornSaid& horn,
                 std::vector<hand::Colour>& taught) {
    std::vector<trainer::PlayedNote> notes;
    practice.take_notes(notes);
    for (const trainer::PlayedNote& note : notes) {
        if (note.heard.taught.known) {
            taught.push_back(note.heard.taught);
        }
        if (note.heard.heard && horn.watch.take(note.heard.horn, horn.tuning) &&
            !horn.watch.remark().text.empty()) {
            std::fprintf(stderr,
                         "bellhand: %s\n",
                         words::horn_remark_to_type(note.heard.horn, horn.tuning).c_str());
        }
        std::string line = note_line(note, utf8); // one line a note: other programs count them
        for (const std::string& words : words::note_lines(note, held.of(note))) {
            line += "  " + (utf8 ? words : plain_words(words));
        }
        std::printf("%s\n", line.c_str());
    }
    std::fflush(stdout);
}

/// A line a note, until it is stopped.
void run_lines(const app::StartOptions& options,
               practice::Practice& practice,
               trainer::HeldMotion& held,
               HornSaid& horn,
               std::vector<hand::Colour>& taught) {
    const auto since = std::chrono::steady_clock::now();
    const bool utf8 = platform::output_shows_utf8();
    Messages source;
    Messages log;
    Messages own_sound;
    bool going = true;
    while (going && !platform::stop_asked() && !time_is_up(options, since)) {
        going = practice.poll([&held](const trainer::Reading& reading) { held.add(reading); });
        print_notes(practice, held, utf8, horn, taught);
        source.tell(practice.source_status().message);
        log.tell(practice.log_status().message);
        own_sound.tell(practice::own_sound_words(practice.own_sound()).words);
        std::this_thread::sleep_for(kFrame);
    }
}

} // namespace

Result<horn::Tuning> run_text_view(const app::StartOptions& options) {
    platform::catch_stop_signals();
    auto horn = options.horn_profile.empty() ? app::PlayersHorn()
                                             : app::PlayersHorn::open(options.horn_profile, true);
    if (!horn) { // practice goes on without it
        std::fprintf(stderr, "bellhand: %s\n", horn.error().message.c_str());
        horn = app::PlayersHorn();
    }
    const bool microphone = !options.demo && !options.input_file;
    app::PlayerHand player = horn->hand_for(options.tuning);
    if (!microphone) {
        player.open_notes.clear(); // learnt with another sound
    }
    auto started = app::start_practice(options, player);
    if (!started) {
        return tl::unexpected(started.error());
    }
    practice::Practice& practice = **started;
    horn::Tuning tuning = options.tuning;
    const bool screen = platform::output_can_redraw();
    trainer::HeldMotion held;
    HornSaid said{options.tuning, {}};
    std::vector<hand::Colour> taught; // open notes that taught the ear for the hand
    if (screen) {
        tuning = run_screen(options, *horn, practice, taught);
    } else {
        run_lines(options, practice, held, said, taught);
    }
    practice.stop();
    if (!screen) {
        print_notes(practice, held, platform::output_shows_utf8(), said, taught);
    }
    if (microphone) {
        if (const auto kept = horn->keep(taught); !kept) {
            std::fprintf(stderr, "bellhand: %s\n", kept.error().message.c_str());
        }
    }
    const practice::LogStatus log = practice.log_status();
    if (!log.message.empty()) {
        return failure(log.message);
    }
    const audio::SourceStatus source = practice.source_status();
    if (source.state == audio::SourceState::failed) {
        return failure(source.message);
    }
    if (log.session > 0) {
        std::fprintf(stderr,
                     "bellhand: saved as session %lld in %s\n",
                     static_cast<long long>(log.session),
                     options.log_path.string().c_str());
    }
    return tuning;
}

} // namespace bellhand::terminal
