#pragma once

#include "desk/session.h"
#include "desk/sheets/sheet.h"
#include "desk/store/shelf.h"

#include <filesystem>
#include <string>
#include <vector>

namespace bellhand::desk {

/// An exercise in the list.
struct ExerciseRow {
    drill::Exercise exercise;
    std::string why_not; ///< one sentence when the crook cannot play it
};

/// All exercises, to play one by itself on the crook that is put on.
class ExercisesSheet : public SheetPage {
public:
    ExercisesSheet(Shelf& shelf, const Session& session) : shelf_(shelf), session_(session) {}
    /// Reads them anew, those that this crook can play first.
    void enter() override;
    [[nodiscard]] int rows() const override { return static_cast<int>(listed_.size()); }
    void accept() override;
    /// Exercises from a file of the player's: they stand first in the list from now on. Errors: not such a file.
    [[nodiscard]] Result<void> take_file(const std::filesystem::path& file);

    [[nodiscard]] const std::vector<ExerciseRow>& listed() const noexcept { return listed_; }
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }

private:
    Shelf& shelf_;
    const Session& session_;
    std::vector<drill::Exercise> own_; ///< from files that were opened
    std::vector<ExerciseRow> listed_;
    std::string problem_;
};

} // namespace bellhand::desk
