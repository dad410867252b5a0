#include "gui/desk.h"
#include "gui/views/homework_views.h"

namespace bellhand::gui {

void draw_review(const Canvas& canvas, Desk& desk, const Box& box) {
    const ReviewPage& page = desk.workbook().homework().review();
    draw_homework_head(canvas, page.now(), box);
}

} // namespace bellhand::gui
