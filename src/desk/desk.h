#pragma once

#include "app/players_horn.h"
#include "app/settings.h"
#include "desk/listening.h"
#include "desk/model/bench.h"
#include "desk/model/practice_view.h"
#include "desk/model/sound_desk.h"
#include "desk/press.h"
#include "desk/screen.h"
#include "desk/store/shelf.h"
#include "desk/workbook.h"
#include "horn/crook_chart.h"

#include <array>
#include <future>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace bellhand::desk {

/// A sheet laid over the screen, to choose or to read; one at a time.
enum class Sheet { none, input, crook, pitch, temperament, exercises, sound, help, about, figures };

using Preferences = app::WindowSettings;

/// Pitches that ensembles with natural horns often choose (common practice, no source).
inline constexpr std::array kOftenUsedA4_hz{415.0, 430.0, 435.0, 440.0, 442.0};

inline constexpr double kSmallestScale = 0.75;
inline constexpr double kLargestScale = 3.0;
inline constexpr double kShortestHold_s = 0.5;
inline constexpr double kLongestHold_s = 5.0;

/// What the window starts with.
struct DeskStart {
    InputChoice input;
    horn::Tuning tuning;
    std::optional<std::filesystem::path> log_path;
    Preferences preferences;
    std::filesystem::path horn_profile; ///< a horn, for the bench
    bool own_horn = false;        ///< it is the player's own, not one that came with the program
    std::shared_ptr<Shelf> shelf; ///< null: the exercises that come with the program, and the log
    app::SoundSettings sound;
    double tolerance_factor = 1.0; ///< on `trainer::tolerance_cents`
};

/// One row of the input sheet.
struct InputRow {
    enum class Kind { device, demo, file };
    Kind kind = Kind::device;
    audio::Device device;
};

/// How partials fall while the hand closes, as predicted for today's crook and pitch.
struct ClosingPrediction {
    horn::HandResponse modelled;           ///< by the acoustic model
    std::optional<horn::HandResponse> own; ///< as calibration measured this player
};

/// The player's desk: what is chosen, what is shown, and what each key does. Draws nothing.
class Desk {
public:
    Desk(Ear ear, DeskStart start);
    ~Desk();
    Desk(const Desk&) = delete;
    Desk& operator=(const Desk&) = delete;

    /// Once a frame. `wall_s`: any steady clock.
    void update(double wall_s);
    void press(const Press& press);
    /// A file dropped on the window: homework to its screen, exercises to their list, a horn profile (.json too) to the bench, anything
    /// else is listened to.
    void take_file(const std::filesystem::path& file);
    /// Listened to at once.
    void listen_to_file(const std::filesystem::path& file);

    // What the pointer does, too.
    void open(Sheet sheet);
    void close_sheet();
    void select(int row) noexcept { selected_ = row; }
    void accept();
    void toggle_session();
    void change_paper() noexcept { preferences_.dark = !preferences_.dark; }
    void show(Screen screen);
    [[nodiscard]] Screen next_screen(int step = 1) const noexcept;
    void choose_chart_note(int index) noexcept { chart_choice_ = index; }

    // What the views show.
    [[nodiscard]] Screen screen() const noexcept { return screen_; }
    [[nodiscard]] const Workbook& workbook() const noexcept { return workbook_; }
    [[nodiscard]] Workbook& workbook() noexcept { return workbook_; }
    [[nodiscard]] Sheet sheet() const noexcept { return sheet_; }
    [[nodiscard]] int selected() const noexcept { return selected_; }
    [[nodiscard]] const std::string& typed() const noexcept { return typed_; }
    [[nodiscard]] const horn::Tuning& tuning() const noexcept { return tuning_; }
    /// The player's own pitch and temperament, which homework may have changed for a while, with the crook of now.
    [[nodiscard]] horn::Tuning usual_tuning() const;
    [[nodiscard]] const InputChoice& input() const noexcept { return input_; }
    [[nodiscard]] const Preferences& preferences() const noexcept { return preferences_; }
    [[nodiscard]] const SoundDesk& sound() const noexcept { return sound_; }
    [[nodiscard]] const PracticeView& view() const noexcept { return view_; }
    /// The player's horn, or null when it could not be read: then `bench_problem` says why.
    [[nodiscard]] Bench* bench() noexcept { return bench_ ? &*bench_ : nullptr; }
    [[nodiscard]] const std::string& bench_problem() const noexcept { return bench_problem_; }
    [[nodiscard]] const std::filesystem::path& horn_profile() const noexcept {
        return horn_profile_;
    }
    /// What is known of the player's hand and open notes.
    [[nodiscard]] const app::PlayersHorn& players_horn() const noexcept { return players_horn_; }
    /// What was learnt of the open notes by now.
    [[nodiscard]] hand::OpenReference learnt() const;
    void forget_learnt();
    /// Why what was learnt could not be written; empty otherwise.
    [[nodiscard]] const std::string& learnt_problem() const noexcept { return learnt_problem_; }
    /// The ended note that is looked at: the newest until another one is chosen; null before the first.
    [[nodiscard]] const trainer::PlayedNote* chosen_note() const noexcept;
    void choose_note(std::uint32_t index) noexcept { chosen_note_ = index; }
    [[nodiscard]] const SlowClosing& closing() const noexcept { return view_.closing(); }
    [[nodiscard]] const ClosingPrediction& closing_prediction() const noexcept {
        return closing_prediction_;
    }
    /// What became of the last export of a closing; empty before.
    [[nodiscard]] const std::string& closing_export() const noexcept { return closing_export_; }
    /// The hand chart of today's crook, pitch and temperament, for a hand that nobody measured.
    [[nodiscard]] const std::vector<horn::PlayedNote>& chart() const noexcept { return chart_; }
    /// Which note of the chart is looked at: the one that sounded last, or was chosen since.
    [[nodiscard]] int chart_choice() const noexcept { return chart_choice_; }
    /// How strictly pitch is judged: the player's factor on the tolerance of each hand position.
    [[nodiscard]] double tolerance_factor() const noexcept { return tolerance_factor_; }
    [[nodiscard]] bool listening() const noexcept { return practice_ != nullptr; }
    /// Words for the clipboard; told once.
    [[nodiscard]] std::optional<std::string> take_clipboard() {
        return std::exchange(to_clipboard_, std::nullopt);
    }
    [[nodiscard]] double session_s() const;
    /// One sentence when the session could not begin; empty otherwise.
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    [[nodiscard]] const std::vector<InputRow>& input_rows() const noexcept { return input_rows_; }
    [[nodiscard]] const std::string& device_problem() const noexcept { return device_problem_; }
    [[nodiscard]] bool looking_for_devices() const noexcept { return device_search_.valid(); }
    [[nodiscard]] double wall_s() const noexcept { return wall_s_; }
    /// The time that notes are held was changed a moment ago.
    [[nodiscard]] bool hold_just_changed() const noexcept;
    /// The last two minutes were kept as a take a moment ago.
    [[nodiscard]] bool just_kept() const noexcept;
    [[nodiscard]] bool wants_to_quit() const noexcept { return quit_; }
    [[nodiscard]] bool full_screen() const noexcept { return full_screen_; }

private:
    void begin();
    void hear(double wall_s);
    void begin_run(std::vector<skill::PlannedBlock> blocks);
    void end_run();
    void follow_workbook();
    void keep_that();
    void sound_now();
    void press_on_sound(const Press& press);
    void stop();
    void set_tuning(const horn::Tuning& tuning);
    void open_bench(const std::filesystem::path& profile);
    void open_players_horn(bool own);
    void take_hand();
    void step_note(int step) noexcept;
    void update_closing();
    void export_closing();
    void press_on_hand(const Press& press);
    void press_on_closing(const Press& press);
    void press_on_bench(const Press& press);
    void refresh_chart();
    void follow_on_chart();
    void change_a4(double step_hz);
    void next_often_used_pitch();
    void change_scale(double factor);
    void judge_more_kindly();
    void change_hold(double step_s);
    void look_for_devices();
    void take_found_devices();
    [[nodiscard]] int rows_of_sheet() const noexcept;
    void press_on_screen(const Press& press);
    void press_on_sheet(const Press& press);
    bool press_anywhere(const Press& press);
    void type(const Press& press);
    void accept_input();
    void change_channel(int step);

    Ear ear_;
    InputChoice input_;
    horn::Tuning tuning_;
    std::optional<std::filesystem::path> log_path_;
    Preferences preferences_;
    std::unique_ptr<practice::Practice> practice_;
    SoundDesk sound_;
    PracticeView view_;
    practice::Heard heard_;
    std::optional<horn::Tuning>
        of_the_day_; ///< while a lesson is at work, which may ask for another pitch
    double kept_at_s_ = -1e9;
    double final_session_s_ = 0.0;
    double wall_s_ = 0.0;
    double hold_changed_at_s_ = -1e9;
    std::string problem_;
    Workbook workbook_;
    Screen screen_ = Screen::practice;
    Sheet sheet_ = Sheet::none;
    int selected_ = 0;
    std::optional<std::string> to_clipboard_;
    std::string typed_; // file path or pitch, while a sheet asks for it
    std::vector<InputRow> input_rows_;
    std::string device_problem_;
    std::future<Result<std::vector<audio::Device>>> device_search_;
    std::filesystem::path horn_profile_;
    bool own_horn_ = false;
    double tolerance_factor_ = 1.0;
    app::PlayersHorn players_horn_;
    std::string learnt_problem_;
    std::optional<std::uint32_t> chosen_note_; // follows the newest while empty
    ClosingPrediction closing_prediction_;
    std::optional<horn::Tuning> predicted_for_;
    std::string closing_export_;
    std::optional<Bench> bench_;
    std::string bench_problem_;
    std::vector<horn::PlayedNote> chart_;
    int chart_choice_ = 0;
    double followed_since_s_ = -1.0; // when the note that the chart follows began to be shown
    bool quit_ = false;
    bool full_screen_ = false;
};

} // namespace bellhand::desk
