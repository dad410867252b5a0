#pragma once

#include "desk/session.h"
#include "desk/sheets/sheet.h"

#include <string>

namespace bellhand::desk {

/// The first time: which crook, which pitch, which microphone, with a live answer, so that the first reading is right.
class StartSheet : public SheetPage {
public:
    enum class Row { crook, pitch, microphone };
    static constexpr int kRows = 3;

    explicit StartSheet(Session& session) : session_(session) {}
    void enter() override;
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] int rows() const override { return kRows; }
    void accept() override { wishes_.close_sheet = true; }

    /// "Horn in F", "A = 440", the name of the microphone.
    [[nodiscard]] std::string words(Row row) const;
    /// What is heard by now, in a sentence: a note, a better horn, silence, or what is the matter.
    [[nodiscard]] std::string heard() const;

private:
    void change(int step);
    void change_microphone(int step);

    Session& session_;
};

} // namespace bellhand::desk
