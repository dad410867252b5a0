#pragma once

#include "desk/pages/compose_page.h"
#include "desk/pages/key_hint.h"
#include "desk/pages/review_page.h"
#include "desk/pages/work_side.h"
#include "desk/store/homework_shelf.h"
#include "desk/store/shelf.h"

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// Homework: what is to be done here, what was set and came back, and from there the composing of one and the looking at
/// what came back.
class HomeworkPage {
public:
    enum class Inner { list, compose, review };

    /// Reads all of it anew; the choice stays.
    void open(Shelf& shelf);
    /// Leaving: what plays stops.
    void leave(Shelf& shelf);
    bool press(const Press& press, Shelf& shelf, const horn::Tuning& tuning);
    /// A file from somebody else: it is shown, whatever side it belongs to.
    void take_file(const std::filesystem::path& file, Shelf& shelf);
    /// Once a frame.
    void refresh(Shelf& shelf);
    /// A row of the list: what is to be done here comes first, then the files that were set.
    void choose(int row, Shelf& shelf);

    [[nodiscard]] Inner inner() const noexcept { return inner_; }
    [[nodiscard]] const std::vector<homework::Given>& given() const noexcept { return given_; }
    [[nodiscard]] const std::vector<homework::Filed>& filed() const noexcept { return filed_; }
    [[nodiscard]] int chosen() const noexcept { return chosen_; }
    [[nodiscard]] int rows() const noexcept {
        return static_cast<int>(given_.size() + filed_.size());
    }
    /// The chosen one, or null.
    [[nodiscard]] const homework::Given* chosen_given() const noexcept;
    [[nodiscard]] const homework::Filed* chosen_filed() const noexcept;
    [[nodiscard]] WorkSide& work() noexcept { return work_; }
    [[nodiscard]] const WorkSide& work() const noexcept { return work_; }
    [[nodiscard]] ComposePage& compose() noexcept { return compose_; }
    [[nodiscard]] ReviewPage& review() noexcept { return review_; }
    /// There is a draft to go on with.
    [[nodiscard]] bool draft_waits() const noexcept { return draft_waits_; }

    /// One sentence when something could not be done, and one that tells what was done; empty otherwise.
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    [[nodiscard]] const std::string& said() const noexcept { return said_; }
    /// What U takes back: "\"Week one\" removed"; empty: nothing.
    [[nodiscard]] const std::string& undo_words() const noexcept { return undo_words_; }
    /// Blocks to begin a lesson with; told once.
    [[nodiscard]] std::optional<std::vector<skill::PlannedBlock>> take_run_wish();
    /// Words for the clipboard; told once.
    [[nodiscard]] std::optional<std::string> take_copy_wish();
    [[nodiscard]] std::vector<KeyHint> hints() const;
    /// Text is being written: every key belongs to it.
    [[nodiscard]] bool writing() const noexcept;

private:
    void read(Shelf& shelf);
    void show_chosen(Shelf& shelf);
    bool press_on_given(const Press& press, Shelf& shelf, const horn::Tuning& tuning);
    bool press_on_filed(const Press& press, Shelf& shelf);
    void give_back(Shelf& shelf);
    void remove_chosen(Shelf& shelf);
    void undo(Shelf& shelf);
    void compose_from(const homework::Homework& draft,
                      const std::optional<homework::Homework>& before,
                      Shelf& shelf);
    void compose_instead(const homework::Homework& draft, Shelf& shelf);
    void compose_new(Shelf& shelf, const horn::Tuning& tuning);
    void follow_inner(Shelf& shelf);
    void choose_file(const std::filesystem::path& file, Shelf& shelf);

    Inner inner_ = Inner::list;
    std::vector<homework::Given> given_;
    std::vector<homework::Filed> filed_;
    int chosen_ = 0;
    WorkSide work_;
    ComposePage compose_;
    ReviewPage review_;
    bool draft_waits_ = false;
    std::string problem_;
    std::string said_;
    std::string undo_words_;
    std::function<Result<void>(HomeworkShelf&)> undo_;
    std::optional<std::filesystem::path> last_returned_; ///< the file that goes back, this time
    std::string last_returned_id_;
    std::optional<std::vector<skill::PlannedBlock>> run_wish_;
    std::optional<std::string> copy_wish_;
};

} // namespace bellhand::desk
