#include "desk/sheets/sheet.h"

namespace bellhand::desk {

KeyLine SheetPage::close_line() {
    return on(Key::escape, "close", [this] { wishes_.close_sheet = true; }).at(Foot::always);
}

KeyLine SheetPage::rows_line() {
    return on_rows(rows(), selected_, "another row", [this](int row) { select(row); });
}

KeyTable SheetPage::keys() {
    return {on(Key::enter, "choose", [this] { accept(); }).or_key(' '), rows_line(), close_line()};
}

} // namespace bellhand::desk
