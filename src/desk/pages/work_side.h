#pragma once

#include "desk/page.h"
#include "desk/store/homework_shelf.h"
#include "desk/store/shelf.h"
#include "desk/text_entry.h"

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace bellhand::desk {

/// The student's side of one homework: which takes go back, and the words with them.
class WorkSide : public Page {
public:
    explicit WorkSide(Shelf& shelf) : shelf_(shelf) {}

    /// Another homework, or the same after something was played: what was chosen of it stays.
    void show(const homework::Given& given);
    void clear();
    /// While the takes are gone through, or words are written.
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] bool writing() const override { return entry_.has_value(); }
    void write(const Press& press) override { (void)entry_->press(press); }
    void refresh() override;
    void choose(int take) noexcept;

    [[nodiscard]] const std::vector<homework::WorkTake>& takes() const noexcept { return takes_; }
    [[nodiscard]] bool goes_back(std::int64_t take) const { return chosen_.count(take) != 0; }
    /// Ids, in the order of `takes`.
    [[nodiscard]] std::vector<std::int64_t> going_back() const;
    [[nodiscard]] bool on_takes() const noexcept { return on_takes_; }
    [[nodiscard]] int take() const noexcept { return take_; }
    [[nodiscard]] const std::string& words() const noexcept { return words_; }
    [[nodiscard]] const std::optional<TextEntry>& entry() const noexcept { return entry_; }
    [[nodiscard]] const ListeningStatus& listening() const noexcept { return listening_; }
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    void begin_words() { entry_.emplace(words_); }
    void enter_takes() noexcept { on_takes_ = !takes_.empty(); }

private:
    void keep_words();
    void send_or_not();
    void play_from(double from_s);
    void play();
    void change_speed();
    [[nodiscard]] const logbook::TakeRecord& chosen_take() const {
        return takes_[static_cast<std::size_t>(take_)].take;
    }

    Shelf& shelf_;
    std::string id_;
    std::vector<homework::WorkTake> takes_;
    std::set<std::int64_t> chosen_;
    bool chosen_by_hand_ = false; ///< else the usual ones, also those that are played next
    bool on_takes_ = false;
    int take_ = 0;
    std::string words_;
    std::optional<TextEntry> entry_;
    ListeningStatus listening_;
    bool half_speed_ = false;
    std::string problem_;
};

} // namespace bellhand::desk
