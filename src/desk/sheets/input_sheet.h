#pragma once

#include "desk/session.h"
#include "desk/sheets/sheet.h"

#include <string>
#include <vector>

namespace bellhand::desk {

/// One row of the input sheet.
struct InputRow {
    enum class Kind { device, demo, file };
    Kind kind = Kind::device;
    audio::Device device;
};

/// What to listen to: a device, the demo player, a file by its path.
class InputSheet : public SheetPage {
public:
    explicit InputSheet(Session& session) : session_(session) {}
    void enter() override;
    void refresh() override;
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] bool writing() const override;
    void write(const Press& press) override;
    [[nodiscard]] int rows() const override { return static_cast<int>(listed_.size()); }
    void accept() override;

    [[nodiscard]] const std::vector<InputRow>& listed() const noexcept { return listed_; }
    /// The path as far as it was typed.
    [[nodiscard]] const std::string& typed() const noexcept { return typed_; }

private:
    void look();
    void list_devices();
    void change_channel(int step);
    [[nodiscard]] const InputRow* chosen() const noexcept;

    Session& session_;
    std::vector<InputRow> listed_;
    bool looking_ = false;
    std::string typed_;
};

} // namespace bellhand::desk
