#pragma once

#include "desk/model/part_question.h"
#include "desk/page.h"
#include "desk/session.h"
#include "desk/store/shelf.h"
#include "drill/part_exercise.h"
#include "part/plan/plan.h"
#include "part/write/printed.h"
#include "run/part_blocks.h"

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// A horn part: opened, asked about, shown with its hand signs, pinned, saved, printed, played.
class PartPage : public Page {
public:
    enum class Stage {
        empty,    ///< no part is open
        parts,    ///< which of several
        question, ///< what only the player can say
        reading,  ///< the page
        crooks,   ///< how hard it is on each crook
    };

    PartPage(const Session& session, Shelf& shelf) : session_(session), shelf_(shelf) {}

    /// Opens a score or a part; `problem` says why it could not.
    void take_file(const std::filesystem::path& file);

    void refresh() override;
    [[nodiscard]] KeyTable keys() override;

    [[nodiscard]] Stage stage() const noexcept { return stage_; }
    /// What the rows are about, and the rows themselves; on the page of crooks their figures.
    [[nodiscard]] const std::string& asked() const noexcept { return asked_; }
    [[nodiscard]] const std::vector<std::string>& rows() const noexcept { return rows_; }
    [[nodiscard]] int row() const noexcept { return row_; }
    void accept(int row);

    [[nodiscard]] const part::Part* part() const noexcept { return part_ ? &*part_ : nullptr; }
    [[nodiscard]] const part::Plan& plan() const noexcept { return plan_; }
    [[nodiscard]] const part::PrintedPart& printed() const noexcept { return printed_; }
    /// Changes with everything that shows on the page.
    [[nodiscard]] int version() const noexcept { return version_; }
    /// The attack that is looked at.
    [[nodiscard]] std::size_t cursor() const noexcept { return cursor_; }
    void choose(std::size_t attack) noexcept;
    /// Bars that are played round and round; empty: the part is played to its end.
    [[nodiscard]] const std::optional<drill::PartBars>& loop() const noexcept { return loop_; }
    /// Per cent of the written tempo.
    [[nodiscard]] int speed() const noexcept { return speed_percent_; }
    /// "bar 12, note 3: F♯4, partial 11, ¾", and why.
    [[nodiscard]] std::string note_words() const;
    [[nodiscard]] std::string reason() const;
    /// One line on the whole part, its doubts with it.
    [[nodiscard]] std::string summary() const;

    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    [[nodiscard]] const std::string& said() const noexcept { return said_; }

private:
    void ask_for_part();
    void read(std::size_t index);
    void answer(const part::ReadOptions& options);
    void make_plan();
    void show_page();
    [[nodiscard]] part::PlanSettings settings() const;
    [[nodiscard]] horn::HandResponse response_on(const horn::Tuning& tuning) const;
    [[nodiscard]] KeyTable row_keys();
    [[nodiscard]] KeyTable page_keys();
    void step_note(int step) noexcept;
    void step_bar(int step) noexcept;
    void next_hard_bar();
    void another_way();
    void drop_pin();
    void compare();
    void save();
    void print();
    [[nodiscard]] KeyLine play_line();
    [[nodiscard]] KeyTable play_keys();
    [[nodiscard]] std::string play_words() const;
    void play();
    void play_worst();
    void begin(Result<run::PartBlocks> blocks);
    void begin_loop();
    void end_loop();
    void change_speed(int by_percent);
    [[nodiscard]] std::string loop_words() const;
    /// Beside the file that was opened, with another ending.
    [[nodiscard]] std::filesystem::path beside(const std::string& ending) const;
    void tell(std::string said, std::string problem = {});
    void tell_saved(const Result<void>& written,
                    const std::string& words,
                    const std::filesystem::path& to);
    [[nodiscard]] std::string bar_number(std::size_t attack) const;
    [[nodiscard]] const std::string& number_of(int bar) const;
    [[nodiscard]] std::vector<part::Pin>::iterator pin_here();

    const Session& session_;
    Shelf& shelf_;
    Stage stage_ = Stage::empty;
    std::filesystem::path file_;
    std::optional<part::Score> score_;
    std::size_t index_ = 0; ///< of the part in the score
    std::vector<std::size_t> offered_;
    part::ReadOptions options_;
    std::optional<PartQuestion> question_;
    std::optional<part::Part> part_;
    part::Plan plan_;
    std::vector<part::Pin> pins_;
    part::PrintedPart printed_;
    bool partials_ = false;
    std::optional<horn::Tuning> made_for_;
    int version_ = 0;
    std::optional<drill::PartBars> loop_;
    int speed_percent_ = 100;
    std::size_t cursor_ = 0;
    std::size_t hard_ = 0;
    std::string asked_;
    std::vector<std::string> rows_;
    int row_ = 0;
    std::string problem_;
    std::string said_;
};

} // namespace bellhand::desk
