#pragma once

#include "app/demo_player.h"
#include "app/players_horn.h"
#include "app/settings.h"
#include "desk/listening.h"
#include "desk/mark_keeper.h"
#include "desk/model/input_clock.h"
#include "desk/model/lesson.h"
#include "desk/model/own_tones.h"
#include "desk/model/practice_view.h"
#include "desk/model/sound_desk.h"
#include "desk/store/shelf.h"
#include "practice/practice.h"
#include "run/run.h"

#include <array>
#include <filesystem>
#include <future>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// What a session starts with.
struct SessionStart {
    InputChoice input;
    horn::Tuning tuning;
    std::optional<std::filesystem::path> log_path;
    std::filesystem::path horn_profile;
    bool own_horn = false; ///< it is the player's own, not one that came with the program
    app::SoundSettings sound;
    double tolerance_factor = 1.0; ///< on `trainer::tolerance_cents`
};

/// The tuning with A4 moved by so much, in steps of 0.1 Hz and within its limits.
[[nodiscard]] horn::Tuning a4_moved(horn::Tuning tuning, double step_hz) noexcept;

/// What is listened to, with which horn, and what the program itself sounds: a session of practice after the other, freely
/// or led through exercises.
class Session {
public:
    Session(Ear ear, const SessionStart& start);
    ~Session();
    Session(const Session&) = delete;
    Session& operator=(const Session&) = delete;

    /// Ends the one before. `problem` tells why it could not begin.
    void begin();
    /// The same, but what is played is neither logged nor learnt from: the horn may be put together wrongly.
    void begin_unlogged();
    void stop();
    void toggle();
    /// Once a frame. `wall_s`: any steady clock.
    void update(double wall_s);

    /// Begins a session of its own that leads through the blocks. Errors: a block that cannot be run.
    [[nodiscard]] Result<void> begin_run(std::vector<skill::PlannedBlock> blocks,
                                         skill::Skills skills);
    /// Hands the run its last sound; it is still there for a last look until `drop_run`.
    void end_run();
    /// True when the player's own pitch or temperament came back with its end.
    bool drop_run();
    /// The run at work, or null.
    [[nodiscard]] run::Run* run() noexcept { return run_ ? &*run_ : nullptr; }
    [[nodiscard]] const run::Run* run() const noexcept { return run_ ? &*run_ : nullptr; }

    void set_tuning(const horn::Tuning& tuning);
    void listen_to(const InputChoice& input);
    /// What is heard beside it, of a call that this computer plays; empty: nothing.
    void listen_also(const std::optional<InputChoice>& call);
    [[nodiscard]] const std::optional<InputChoice>& call() const noexcept { return call_input_; }
    /// Why the call is not heard now; empty while it is, or is not wanted.
    [[nodiscard]] const std::string& call_problem() const noexcept { return call_problem_; }
    /// The live name of that input.
    [[nodiscard]] std::string call_name() const;
    void choose_channel(int channel) noexcept { input_.device.channel = channel; }
    /// One round through what players ask for, from the usual to twice of it, and from half of it up again.
    void judge_more_kindly();
    /// What is asked next, or nothing: such a note is then heard from shorter sounds.
    void ask(const std::optional<Asked>& asked);
    /// Marks the framed note of the lesson for the log, with a take of it, or takes the mark away.
    void mark();
    /// What that side's input heard in that stretch of its own session; empty when it is no longer remembered.
    [[nodiscard]] std::optional<HeardSound> sound_of(Side side, double from_s, double to_s) const;
    /// A recording is played: what the microphone hears of it does not count.
    void overlook(bool on);
    /// Keeps the last two minutes as a take, of both sides; `said` tells what was kept and where.
    void keep_that();
    /// A run keeps by itself: only say so.
    void was_kept() noexcept { kept_at_s_ = wall_s_; }
    /// What the sound sheet wishes; an exercise may wish otherwise later.
    void sound_now();
    void use_horn(const std::filesystem::path& profile, bool own);
    /// The session hears the hand by what is known now.
    void take_hand();
    void forget_learnt();
    /// Adds the slow closing that was measured to the player's horn; a sentence that tells what came of it.
    [[nodiscard]] std::string export_closing();

    [[nodiscard]] bool listening() const noexcept { return practice_ != nullptr; }
    /// Which session it is, counted from the window's first: numbers of notes begin anew in each.
    [[nodiscard]] int number() const noexcept { return number_; }
    /// One sentence when the session could not begin; empty otherwise.
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    void set_problem(std::string problem) { problem_ = std::move(problem); }
    [[nodiscard]] const horn::Tuning& tuning() const noexcept { return tuning_; }
    /// The player's own pitch and temperament, which homework may have changed for a while, with the crook of now.
    [[nodiscard]] horn::Tuning usual_tuning() const;
    [[nodiscard]] const InputChoice& input() const noexcept { return input_; }
    /// What is to be known of who plays what is asked, one sentence: the demo player tells of its faults. Empty: nothing.
    [[nodiscard]] std::string about_player() const {
        return demo_ ? demo_->sentence() : std::string();
    }
    [[nodiscard]] const PracticeView& view() const noexcept { return view_; }
    [[nodiscard]] PracticeView& view() noexcept { return view_; }
    /// The notes of the session as a lesson shows them.
    [[nodiscard]] const Lesson& lesson() const noexcept { return lesson_; }
    [[nodiscard]] Lesson& lesson() noexcept { return lesson_; }
    [[nodiscard]] const SoundDesk& sound() const noexcept { return sound_; }
    [[nodiscard]] SoundDesk& sound() noexcept { return sound_; }
    [[nodiscard]] const app::PlayersHorn& players_horn() const noexcept { return players_horn_; }
    [[nodiscard]] const std::filesystem::path& horn_profile() const noexcept {
        return horn_profile_;
    }
    [[nodiscard]] bool own_horn() const noexcept { return own_horn_; }
    /// What was learnt of the open notes by now.
    [[nodiscard]] hand::OpenReference learnt() const;
    /// Why what was learnt could not be written; empty otherwise.
    [[nodiscard]] const std::string& learnt_problem() const noexcept { return learnt_problem_; }
    /// How strictly pitch is judged: the player's factor on the tolerance of each hand position.
    [[nodiscard]] double tolerance_factor() const noexcept { return tolerance_factor_; }
    /// How much that side's input has heard, in its own seconds.
    [[nodiscard]] double elapsed_s(Side side = Side::here) const;
    /// The answer to what was asked of the session a moment ago; empty after a while.
    [[nodiscard]] std::string said() const;
    void say(std::string words, double shown_s = 8.0);
    /// A take was kept a moment ago.
    [[nodiscard]] bool just_kept() const noexcept;
    [[nodiscard]] double wall_s() const noexcept { return wall_s_; }

    /// Looks for devices, which may take a second, beside everything else.
    void look_for_devices();
    [[nodiscard]] bool looking_for_devices() const noexcept { return device_search_.valid(); }
    [[nodiscard]] const std::vector<audio::Device>& devices() const noexcept { return devices_; }
    /// Why they could not be found; empty otherwise.
    [[nodiscard]] const std::string& device_problem() const noexcept { return device_problem_; }

private:
    enum class Keep { everything, nothing };
    void begin(Keep keep);
    void hear();
    void lead_demo();
    void add_to_lesson(Side side, const practice::Heard& heard);
    [[nodiscard]] practice::Practice* input_of(Side side) const noexcept {
        return side == Side::call ? call_.get() : practice_.get();
    }
    void tie(Side side);
    void begin_call();
    void hear_call();
    void leave_out_own_tones();
    void stop_call();
    void take_found_devices();

    Ear ear_;
    InputChoice input_;
    horn::Tuning tuning_;
    std::optional<std::filesystem::path> log_path_;
    std::filesystem::path horn_profile_;
    bool own_horn_ = false;
    double tolerance_factor_ = 1.0;
    std::unique_ptr<practice::Practice> practice_;
    std::optional<run::Run> run_;
    std::optional<app::DemoPlayer> demo_; ///< where that is what is listened to
    practice::Heard heard_;
    std::optional<horn::Tuning>
        of_the_day_; ///< while a run is at work, which may ask for another pitch
    SoundDesk sound_;
    PracticeView view_;
    Lesson lesson_;
    std::optional<InputChoice> call_input_;
    std::unique_ptr<practice::Practice> call_; ///< its takes go to the log of `practice_`
    practice::Heard call_heard_;
    OwnTones own_tones_;
    std::array<InputClock, 2> clocks_; ///< of both inputs
    std::string call_problem_;
    MarkKeeper marks_;
    std::string said_;
    double said_until_s_ = -1e9;
    app::PlayersHorn players_horn_;
    std::string learnt_problem_;
    std::string problem_;
    std::future<Result<std::vector<audio::Device>>> device_search_;
    std::vector<audio::Device> devices_;
    std::string device_problem_;
    Keep keep_ = Keep::everything; ///< of the session at work
    int number_ = 0;
    double kept_at_s_ = -1e9;
    double final_s_ = 0.0;
    double wall_s_ = 0.0;
};

} // namespace bellhand::desk
