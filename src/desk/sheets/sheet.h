#pragma once

#include "desk/page.h"

namespace bellhand::desk {

/// A sheet laid over the page, to choose or to read; one at a time.
enum class Sheet {
    none,
    input,
    crook,
    pitch,
    temperament,
    exercises,
    files,
    start,
    sound,
    help,
    about,
    figures
};

/// Rows to choose from, or a page to read step by step.
class SheetPage : public Page {
public:
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] bool alone() const override { return true; }

    [[nodiscard]] virtual int rows() const = 0;
    /// What Enter does, and a click on a row.
    virtual void accept() = 0;
    void select(int row) noexcept { selected_ = row; }
    [[nodiscard]] int selected() const noexcept { return selected_; }

protected:
    [[nodiscard]] KeyLine close_line();
    [[nodiscard]] KeyLine rows_line();

private:
    int selected_ = 0;
};

/// Help, about and figures: read by moving up and down.
class ReadingSheet : public SheetPage {
public:
    void enter() override { select(0); }
    [[nodiscard]] int rows() const override {
        return 24; // enough to move the longest page through at the largest type
    }
    void accept() override { wishes_.close_sheet = true; }
};

} // namespace bellhand::desk
