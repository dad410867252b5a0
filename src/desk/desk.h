#pragma once

#include "desk/keys.h"
#include "desk/pages.h"
#include "desk/session.h"
#include "desk/sheets/sheets.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <utility>

namespace bellhand::desk {

using Preferences = app::WindowSettings;

inline constexpr double kSmallestScale = 0.75;
inline constexpr double kLargestScale = 3.0;

/// What the window starts with.
struct DeskStart : SessionStart {
    Preferences preferences;
    std::shared_ptr<Shelf> shelf; ///< null: the exercises that come with the program, and the log
    /// The folder where what is written for others is put, and where files are looked for first; empty: beside the log.
    std::filesystem::path documents;
    bool first_time = false; ///< nothing was ever chosen: ask
    std::filesystem::path
        recent_files; ///< where the list of files opened lately is kept; empty: nowhere
};

/// The player's desk: one session, the pages and the sheets, joined by one table of keys. Draws nothing.
class Desk {
public:
    Desk(Ear ear, DeskStart start);

    /// Once a frame. `wall_s`: any steady clock.
    void update(double wall_s);
    void press(const Press& press);
    /// Every key that does something now: those of the sheet, or of the page, before those of the window.
    [[nodiscard]] KeyTable keys();
    /// The same as if no sheet lay over the page: what the help lists.
    [[nodiscard]] KeyTable keys_of_page();
    /// The page leaves that letter or digit to the window, which does something with it.
    [[nodiscard]] bool acts(char character);
    /// A file dropped on the window: homework to its page, exercises to their list, a horn profile (.json too) to the bench, a set list
    /// to the crook changes, a part to its page, anything else is listened to.
    void take_file(const std::filesystem::path& file);

    // What the pointer does, too.
    void show(Screen screen);
    void open(Sheet sheet);
    void close_sheet();
    /// A row of the sheet that lies open.
    void accept(int row);

    [[nodiscard]] Screen screen() const noexcept { return screen_; }
    [[nodiscard]] Sheet sheet() const noexcept { return sheet_; }
    [[nodiscard]] Session& session() noexcept { return session_; }
    [[nodiscard]] const Session& session() const noexcept { return session_; }
    [[nodiscard]] Pages& pages() noexcept { return pages_; }
    [[nodiscard]] const Pages& pages() const noexcept { return pages_; }
    [[nodiscard]] Sheets& sheets() noexcept { return sheets_; }
    [[nodiscard]] const Sheets& sheets() const noexcept { return sheets_; }
    [[nodiscard]] const Preferences& preferences() const noexcept { return preferences_; }
    /// Words for the clipboard; told once.
    [[nodiscard]] std::optional<std::string> take_clipboard() {
        return std::exchange(to_clipboard_, std::nullopt);
    }
    /// A folder to be shown by the system's own program for files; told once.
    [[nodiscard]] std::optional<std::filesystem::path> take_folder() {
        return std::exchange(folder_to_show_, std::nullopt);
    }
    [[nodiscard]] bool wants_to_quit() const noexcept { return quit_; }
    [[nodiscard]] bool full_screen() const noexcept { return full_screen_; }

private:
    /// What lies uppermost: the sheet, or the page.
    [[nodiscard]] Page& top() noexcept;
    [[nodiscard]] KeyTable window_keys();
    [[nodiscard]] KeyTable with_window_keys(Page& page, bool sheet);
    void follow(Page& page);
    void choose(const horn::Tuning& tuning);
    void begin_run(RunWish wish);
    void end_run();
    void use_horn(const std::filesystem::path& profile);
    void change_scale(double factor);

    Preferences preferences_;
    std::shared_ptr<Shelf> shelf_;
    Session session_;
    Pages pages_;
    Sheets sheets_;
    Screen screen_ = Screen::practice;
    Sheet sheet_ = Sheet::none;
    Screen back_to_ = Screen::today;     ///< shown when the run is over
    std::optional<std::size_t> of_plan_; ///< block of today's plan that the run began with
    std::string brought_back_;           ///< of notes that the log takes only now; told once
    std::optional<std::string> to_clipboard_;
    std::filesystem::path saved_files_; ///< where the last one lies that was written for the player
    std::optional<std::filesystem::path> folder_to_show_;
    bool quit_ = false;
    bool full_screen_ = false;
};

} // namespace bellhand::desk
