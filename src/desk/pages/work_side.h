#pragma once

#include "desk/pages/key_hint.h"
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
class WorkSide {
public:
    /// Another homework, or the same after something was played: what was chosen of it stays.
    void show(const homework::Given& given, HomeworkShelf& shelf);
    void clear();
    /// True when the key was for the takes or the words.
    bool press(const Press& press, Shelf& shelf);
    void refresh(Shelf& shelf);
    void choose(int take) noexcept;

    [[nodiscard]] const std::vector<homework::WorkTake>& takes() const noexcept { return takes_; }
    [[nodiscard]] bool goes_back(std::int64_t take) const { return chosen_.count(take) != 0; }
    /// Ids, in the order of `takes`.
    [[nodiscard]] std::vector<std::int64_t> going_back() const;
    [[nodiscard]] bool on_takes() const noexcept { return on_takes_; }
    [[nodiscard]] int take() const noexcept { return take_; }
    [[nodiscard]] const std::string& words() const noexcept { return words_; }
    [[nodiscard]] const std::optional<TextEntry>& writing() const noexcept { return writing_; }
    [[nodiscard]] const ListeningStatus& listening() const noexcept { return listening_; }
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    [[nodiscard]] std::vector<KeyHint> hints() const;
    void write() { writing_.emplace(words_); }
    void enter_takes() noexcept { on_takes_ = !takes_.empty(); }

private:
    std::string id_;
    std::vector<homework::WorkTake> takes_;
    std::set<std::int64_t> chosen_;
    bool chosen_by_hand_ = false; ///< else the usual ones, also those that are played next
    bool on_takes_ = false;
    int take_ = 0;
    std::string words_;
    std::optional<TextEntry> writing_;
    ListeningStatus listening_;
    bool half_speed_ = false;
    std::string problem_;
};

} // namespace bellhand::desk
