#pragma once

#include "desk/session.h"
#include "desk/sheets/sheet.h"

namespace bellhand::desk {

/// What the program itself sounds: drone, reference note, metronome.
class SoundSheet : public SheetPage {
public:
    explicit SoundSheet(Session& session) : session_(session) {}
    void enter() override;
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] int rows() const override { return SoundDesk::kRows; }
    void accept() override;
    void after_key() override;

private:
    [[nodiscard]] SoundDesk::Row row() const noexcept {
        return static_cast<SoundDesk::Row>(selected());
    }

    Session& session_;
};

} // namespace bellhand::desk
