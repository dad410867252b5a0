#pragma once

#include "desk/page.h"
#include "desk/store/shelf.h"
#include "progress/progress.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// Looking back: a day, a week or the whole log, and one crook of it. What is chosen and what the keys do.
class ProgressPage : public Page {
public:
    explicit ProgressPage(Shelf& shelf) : shelf_(shelf) {}

    void enter() override;
    [[nodiscard]] KeyTable keys() override;

    [[nodiscard]] const progress::Progress& data() const noexcept { return data_; }
    [[nodiscard]] progress::Range range() const noexcept { return range_; }
    /// The chosen crook's notes, or null when nothing was played.
    [[nodiscard]] const progress::CrookMap* map() const noexcept;
    [[nodiscard]] int crook() const noexcept { return crook_; }
    /// Of the chosen crook.
    [[nodiscard]] const std::vector<progress::TrendPoint>& trend() const noexcept { return trend_; }
    [[nodiscard]] std::vector<progress::Transition> hardest() const;
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
    /// One sentence that tells what was done; empty otherwise.
    [[nodiscard]] const std::string& said() const noexcept { return said_; }

private:
    void read_trend();
    void look_at(progress::Range range);
    void choose(int crook);
    void write_report();

    Shelf& shelf_;
    progress::Progress data_;
    std::vector<progress::TrendPoint> trend_;
    progress::Range range_ = progress::Range::week;
    int crook_ = 0;
    std::string problem_;
    std::string said_;
    std::optional<std::filesystem::path> report_; ///< written last
};

/// "today", "the last seven days", "the whole log".
[[nodiscard]] const char* range_words(progress::Range range) noexcept;

} // namespace bellhand::desk
