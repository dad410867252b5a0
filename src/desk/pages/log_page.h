#pragma once

#include "desk/page.h"
#include "desk/store/shelf.h"
#include "desk/text_entry.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// The log: its sessions, and of the chosen one the exercises, notes and takes. What is chosen and what its keys do.
class LogPage : public Page {
public:
    enum class Focus { sessions, takes };

    explicit LogPage(Shelf& shelf) : shelf_(shelf) {}

    /// Reads the log anew; the choice stays with its session.
    void enter() override;
    /// A take that was deleted is gone for good, what plays stops.
    void leave() override;
    void refresh() override;
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] bool writing() const override { return entry_ || room_entry_; }
    void write(const Press& press) override;
    void choose(int session);
    void choose_take(int take) noexcept;

    [[nodiscard]] const std::vector<logbook::SessionRecord>& sessions() const noexcept {
        return sessions_;
    }
    [[nodiscard]] int chosen() const noexcept { return chosen_; }
    [[nodiscard]] const SessionContents& contents() const noexcept { return contents_; }
    [[nodiscard]] int take() const noexcept { return take_; }
    [[nodiscard]] Focus focus() const noexcept { return focus_; }
    /// One sentence when something could not be done; empty otherwise.
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    /// What U takes back: "session of 3 May deleted"; empty: nothing.
    [[nodiscard]] std::string undo_words() const;
    /// One sentence that tells what was done; empty otherwise.
    [[nodiscard]] const std::string& said() const noexcept { return said_; }
    /// The room that takes fill and may fill.
    [[nodiscard]] const TakesRoom& room() const noexcept { return room_; }
    /// The room in megabytes that is being written.
    [[nodiscard]] const std::optional<TextEntry>& room_entry() const noexcept {
        return room_entry_;
    }
    /// A comment that is being written.
    [[nodiscard]] const std::optional<TextEntry>& entry() const noexcept { return entry_; }
    [[nodiscard]] const ListeningStatus& listening() const noexcept { return listening_; }
    [[nodiscard]] bool half_speed() const noexcept { return half_speed_; }

private:
    void read_chosen();
    void delete_chosen();
    void undo();
    void remove_for_good();
    void play();
    void play_from(double at_s);
    void change_speed();
    void keep_or_not();
    void save_comment();
    void save_room();
    void leave_entry();
    void tell(const Result<void>& result);
    void add_takes_lines(KeyTable& table);
    void add_sessions_lines(KeyTable& table);
    [[nodiscard]] const logbook::TakeRecord* chosen_take() const noexcept;

    Shelf& shelf_;
    std::vector<logbook::SessionRecord> sessions_;
    int chosen_ = 0;
    SessionContents contents_;
    int take_ = 0;
    Focus focus_ = Focus::sessions;
    std::string problem_;
    std::optional<logbook::SessionRecord> deleted_session_;
    std::optional<logbook::TakeRecord> deleted_take_; ///< out of sight, still on the disk
    std::optional<TextEntry> entry_;
    std::optional<TextEntry> room_entry_;
    TakesRoom room_;
    std::string said_;
    ListeningStatus listening_;
    bool half_speed_ = false;
};

/// "Tue 25 Nov 2026, 14:05", in local time, of a UTC time in ISO 8601; the text itself when it is none.
[[nodiscard]] std::string moment_words(const std::string& utc);

/// How many notes lay within their tolerance, of those whose pitch is known closely enough to tell.
struct InTune {
    int good = 0;
    int of = 0;
};
[[nodiscard]] InTune in_tune(const std::vector<logbook::NoteRecord>& notes) noexcept;

} // namespace bellhand::desk
