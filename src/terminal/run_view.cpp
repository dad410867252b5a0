#include "terminal/run_view.h"

#include "app/demo_player.h"
#include "app/input.h"
#include "app/players_horn.h"
#include "audio/output.h"
#include "core/platform_terminal.h"
#include "practice/attend.h"
#include "terminal/run_lines.h"
#include "terminal/run_screen.h"
#include "terminal/terminal.h"

#include <chrono>
#include <cstdio>
#include <ctime>
#include <thread>

namespace bellhand::terminal {

namespace {

constexpr std::chrono::milliseconds kFrame{30};
using run::Key;

std::optional<Key> key_of(char typed) {
    switch (typed) {
    case kRightKey:
    case kPageDownKey:
    case 'n':
        return Key::next;
    case kLeftKey:
    case kPageUpKey:
    case 'b':
        return Key::back;
    case kUpKey:
    case 'r':
        return Key::repeat;
    case ' ':
    case 'p':
        return Key::pause;
    case kDownKey:
    case 'k':
        return Key::keep;
    case 'y':
        return Key::headphones;
    default:
        return std::nullopt;
    }
}

/// Keys typed since the last call. True when the run is to end.
bool obey_keys(const Terminal& terminal, run::Run& session) {
    while (const auto typed = terminal.key()) {
        if (*typed == 'q' || *typed == 'Q' || *typed == '\x1b') {
            return true;
        }
        if (const auto key = key_of(*typed)) {
            session.press(*key);
        }
    }
    return false;
}

bool over(const run::Run& session, const practice::Heard& heard) {
    return platform::stop_asked() || heard.over || session.state().stage == run::Stage::finished;
}

using Demo = std::optional<app::DemoPlayer>;

/// What was heard goes to the run; the demo player, where it is the one who plays, follows.
void attend(practice::Practice& practice,
            run::Run& session,
            practice::Heard& heard,
            const practice::OwnHandOn& own,
            Demo& demo) {
    practice::attend(practice, session, heard, own);
    if (demo) {
        demo->follow(&session.state(), session.tuning(), practice.elapsed_s());
    }
}

void run_on_screen(practice::Practice& practice,
                   run::Run& session,
                   const practice::OwnHandOn& own,
                   Demo& demo) {
    const bool utf8 = platform::output_shows_utf8();
    const Terminal terminal;
    practice::Heard heard;
    while (!over(session, heard)) {
        attend(practice, session, heard, own, demo);
        if (obey_keys(terminal, session)) {
            return;
        }
        RunScreenFacts facts;
        facts.tuning = session.tuning();
        facts.source = practice.source_status();
        facts.log = practice.log_status();
        facts.player = demo ? demo->sentence() : std::string();
        const platform::TerminalSize size =
            platform::terminal_size().value_or(platform::TerminalSize{});
        terminal.draw(run_screen(session.state(), facts, size.columns, size.rows, utf8));
        std::this_thread::sleep_for(kFrame);
    }
}

void print(const std::vector<std::string>& lines) {
    for (const std::string& line : lines) {
        std::printf("%s\n", line.c_str());
    }
    std::fflush(stdout);
}

void run_in_lines(practice::Practice& practice,
                  run::Run& session,
                  const practice::OwnHandOn& own,
                  Demo& demo,
                  RunLines& told) {
    practice::Heard heard;
    print(told.tell(0.0, session.state(), session.tuning()));
    while (!over(session, heard)) {
        attend(practice, session, heard, own, demo);
        print(told.tell(practice.elapsed_s(), session.state(), session.tuning()));
        std::this_thread::sleep_for(kFrame);
    }
}

app::PlayersHorn players_horn(const std::filesystem::path& profile) {
    auto horn = profile.empty() ? app::PlayersHorn() : app::PlayersHorn::open(profile, true);
    if (!horn) { // practice goes on without it
        std::fprintf(stderr, "bellhand: %s\n", horn.error().message.c_str());
        return {};
    }
    return std::move(*horn);
}

Result<std::unique_ptr<practice::Practice>>
start_listening(const RunStart& start, const run::Run& session, const Demo& demo) {
    app::StartOptions input = start.input;
    if (demo) {
        input.demo_stand = demo->stand();
    }
    auto source = app::open_input(input);
    if (!source) {
        return tl::unexpected(source.error());
    }
    practice::PracticeOptions options;
    options.tuning = session.tuning();
    options.tolerance_factor = start.input.tolerance_factor;
    options.log_path = start.input.log_path;
    if (start.sound) {
        if (auto output = audio::open_output({})) {
            options.output = std::move(*output);
        }
    }
    return practice::Practice::start(std::move(*source), options);
}

} // namespace

Result<int> run_exercises(const RunStart& start,
                          std::vector<skill::PlannedBlock> blocks,
                          skill::Skills skills) {
    platform::catch_stop_signals();
    run::Options options = start.session;
    options.started_s = static_cast<std::int64_t>(std::time(nullptr));
    const app::PlayersHorn horn = players_horn(start.input.horn_profile);
    options.hand = [&horn](const horn::Tuning& tuning) { return horn.response_on(tuning); };
    const practice::OwnHandOn own = [&horn](const horn::Tuning& tuning) {
        return horn.hand_for(tuning).own;
    };
    auto session = run::Run::make(std::move(blocks), std::move(skills), options);
    if (!session) {
        return tl::unexpected(session.error());
    }
    Demo demo;
    if (start.input.demo) {
        demo.emplace(start.input.demo_seed, session->tuning());
    }
    auto practice = start_listening(start, *session, demo);
    if (!practice) {
        return tl::unexpected(practice.error());
    }
    RunLines told(start.as_answer, platform::output_shows_utf8());
    if (!start.as_answer && platform::output_can_redraw()) {
        run_on_screen(**practice, *session, own, demo);
    } else {
        run_in_lines(**practice, *session, own, demo, told);
    }
    practice::conclude(**practice, *session);
    (*practice)->stop();
    print(told.tell((*practice)->elapsed_s(), session->state(), session->tuning()));
    const practice::LogStatus log = (*practice)->log_status();
    if (!log.message.empty()) {
        return failure(log.message);
    }
    const audio::SourceStatus source = (*practice)->source_status();
    if (source.state == audio::SourceState::failed) {
        return failure(source.message);
    }
    return 0;
}

} // namespace bellhand::terminal
