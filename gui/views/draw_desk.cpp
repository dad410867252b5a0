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

void draw_frame_of_page(const Canvas& canvas, desk::Desk& desk, Box& rest, const Box& window) {
    // Head and foot follow large type only as far as they fit into one line.
    const Canvas edge = canvas.fitted(window, 60.0F, 34.0F);
    draw_tabs(edge, desk, rest.take_top(2.1F * edge.em));
    draw_header(edge, desk, rest.take_top(4.5F * edge.em));
    const Box foot = rest.take_bottom(2.8F * edge.em);
    std::vector<desk::KeyHint> hints = desk.workbook().hints(desk.screen());
    if (hints.empty()) {
        draw_footer(edge, desk, foot);
    } else {
        hints.push_back(desk::hint('h', "help"));
        const desk::StatusLine status =
            desk::status_line(desk.view(), desk.listening(), desk.problem());
        draw_hint_line(edge, desk, foot, hints, status.warning ? status.words : std::string());
    }
}

void draw_desk(
    desk::Desk& desk, const FontBook& fonts, const TypeScale& scale, float width, float height) {
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
    const Canvas canvas(*ImGui::GetWindowDrawList(), fonts, palette, scale);
    const Box window{0.0F, 0.0F, width, height};
    switch (desk.screen()) {
    case desk::Screen::large:
        draw_large_screen(canvas, desk, window);
        break;
    case desk::Screen::bench:
        draw_bench_screen(canvas, desk, window);
        break;
    case desk::Screen::chart:
        draw_chart_screen(canvas, desk, window);
        break;
    case desk::Screen::today:
        draw_today_screen(canvas, desk, window);
        break;
    case desk::Screen::progress:
        draw_progress_screen(canvas, desk, window);
        break;
    case desk::Screen::log:
        draw_log_screen(canvas, desk, window);
        break;
    case desk::Screen::homework:
        draw_homework_screen(canvas, desk, window);
        break;
    case desk::Screen::run:
        draw_run_screen(canvas, desk, window);
        break;
    case desk::Screen::hand:
        draw_hand_screen(canvas, desk, window);
        break;
    case desk::Screen::closing:
        draw_closing_screen(canvas, desk, window);
        break;
    default:
        draw_practice_screen(canvas, desk, window);
        break;
    }
    if (desk.sheet() != desk::Sheet::none) {
        draw_sheet(canvas, desk, window);
    }
    ImGui::End();
    ImGui::PopStyleVar(3);
}

} // namespace bellhand::gui
