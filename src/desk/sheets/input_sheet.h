#pragma once

#include "desk/session.h"
#include "desk/sheets/files_sheet.h"
#include "desk/sheets/sheet.h"

#include <optional>
#include <vector>

namespace bellhand::desk {

/// One row of the input sheet.
struct InputRow {
    enum class Kind { device, demo, file };
    Kind kind = Kind::device;
    audio::Device device;
};

/// What to listen to: a device, the demo player, a file.
class InputSheet : public SheetPage {
public:
    InputSheet(Session& session, FilesSheet& files) : session_(session), files_(files) {}
    void enter() override;
    void refresh() override;
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] int rows() const override { return static_cast<int>(listed_.size()); }
    void accept() override;

    [[nodiscard]] const std::vector<InputRow>& listed() const noexcept { return listed_; }

private:
    void look();
    void list_devices();
    void change_channel(int step);
    [[nodiscard]] const InputRow* chosen() const noexcept;
    [[nodiscard]] std::optional<InputChoice> choice_of(const InputRow& row) const;

    Session& session_;
    FilesSheet& files_;
    std::vector<InputRow> listed_;
    bool looking_ = false;
};

} // namespace bellhand::desk
