#include "desk/model/status_line.h"
#include "gui/views/page_parts.h"
#include "gui/views/views.h"

#include <algorithm>

#include <imgui.h>

namespace bellhand::gui {

TypeScale
type_scale_for(float width, float height, float content_scale, double user_scale) noexcept {
    constexpr float kLinesInHeight = 46.0F;
    constexpr float kEmsInWidth = 72.0F;
    constexpr float kSmallestEm_px = 13.0F; // at a content scale of one
    const float fitting = std::min(height / kLinesInHeight, width / kEmsInWidth);
    TypeScale scale;
    scale.em_px =
        std::max(kSmallestEm_px * content_scale, fitting) * static_cast<float>(user_scale);
    scale.window_height_px = std::min(height, width * 0.72F);
    return scale;
}

namespace {

/// Pages on which nothing sounds need no level at their foot.
bool looks_back(desk::Screen screen) {
    return screen == desk::Screen::today || screen == desk::Screen::progress ||
           screen == desk::Screen::log || screen == desk::Screen::homework;
}

} // namespace

void draw_frame_of_page(const Canvas& canvas, desk::Desk& desk, Box& rest, const Box& window) {
    // Head and foot follow large type only as far as they fit into one line.
    const Canvas edge = canvas.fitted(window, 60.0F, 34.0F);
    draw_tabs(edge, desk, rest.take_top(2.1F * edge.em));
    draw_header(edge, desk, rest.take_top(4.5F * edge.em));
    const Box foot = rest.take_bottom(2.8F * edge.em);
    if (!looks_back(desk.screen())) {
        draw_footer(edge, desk, foot);
        return;
    }
    const desk::StatusLine status = desk::status_line(
        desk.session().view(), desk.session().listening(), desk.session().problem());
    edge.hairline(foot.x0, foot.y0, foot.x1, foot.y0);
    const std::string said = desk.session().said();
    draw_foot(edge,
              desk,
              foot,
              !said.empty()    ? said
              : status.warning ? status.words
                               : std::string(),
              said.empty() ? edge.colour.warning : edge.colour.ink_soft);
}

void draw_desk(desk::Desk& desk,
               const FontBook& fonts,
               const TypeScale& scale,
               float width,
               float height,
               DrawnThings* drawn) {
    const Palette& palette = desk.preferences().dark ? dark_palette() : light_palette();
    ImGui::SetNextWindowPos(ImVec2(0.0F, 0.0F));
    ImGui::SetNextWindowSize(ImVec2(width, height));
    ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(0.0F, 0.0F));
    ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 0.0F);
    ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 0.0F);
    constexpr ImGuiWindowFlags kPlain = ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove |
                                        ImGuiWindowFlags_NoSavedSettings |
                                        ImGuiWindowFlags_NoBackground | ImGuiWindowFlags_NoNav |
                                        ImGuiWindowFlags_NoBringToFrontOnFocus;
    ImGui::Begin("desk", nullptr, kPlain);
    Canvas canvas(*ImGui::GetWindowDrawList(), fonts, palette, scale);
    canvas.drawn = drawn;
    const Box window{0.0F, 0.0F, width, height};
    kDrawn[static_cast<std::size_t>(desk.screen())](canvas, desk, window);
    if (desk.sheet() != desk::Sheet::none) {
        draw_sheet(canvas, desk, window);
    }
    ImGui::End();
    ImGui::PopStyleVar(3);
}

} // namespace bellhand::gui
