#include "gui/desk.h"
#include "gui/views/homework_views.h"

namespace bellhand::gui {

void draw_compose(const Canvas& canvas, Desk& desk, const Box& box) {
    const ComposePage& page = desk.workbook().homework().compose();
    draw_homework_head(canvas, page.now(), box);
}

} // namespace bellhand::gui
