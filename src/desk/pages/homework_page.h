#pragma once

#include "desk/page.h"
#include "desk/pages/compose_page.h"
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
class HomeworkPage : public Page {
public:
    enum class Inner { list, compose, review };

    /// `tuning`: the player's, which a homework is composed for at first.
    HomeworkPage(Shelf& shelf, const horn::Tuning& tuning)
        : shelf_(shelf),
          tuning_(tuning),
          work_(shelf),
          compose_(shelf.homework()),
          review_(shelf.homework()) {}

    /// Reads all of it anew; the choice stays.
    void enter() override;
    /// What plays stops.
    void leave() override;
    void refresh() override;
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] bool alone() const override { return inner_ != Inner::list; }
    [[nodiscard]] bool writing() const override;
    void write(const Press& press) override;
    void after_key() override;
    /// A file from somebody else: it is shown, whatever side it belongs to.
    /// Composing goes on with this draft; one that waited is kept for undo.
    void compose_instead(const homework::Homework& draft);
    void take_file(const std::filesystem::path& file);
    /// A row of the list: what is to be done here comes first, then the files that were set.
    void choose(int row);

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

private:
    void read();
    void show_chosen();
    void work_on(const homework::Given& given);
    void give_back();
    void look_or_use_again(const homework::Filed& filed);
    void copy_path(const std::filesystem::path& file);
    void remove_chosen();
    void undo();
    void compose_from(const homework::Homework& draft,
                      const std::optional<homework::Homework>& before);
    void compose_new();
    void choose_file(const std::filesystem::path& file);
    void add_given_lines(KeyTable& table, const homework::Given& given);
    void add_filed_lines(KeyTable& table, const homework::Filed& filed);
    /// Shown inside this one and asked for its keys, or null.
    [[nodiscard]] Page* inner_page() noexcept;

    Shelf& shelf_;
    const horn::Tuning& tuning_;
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
};

} // namespace bellhand::desk
