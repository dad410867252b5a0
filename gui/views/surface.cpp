#include "gui/views/surface.h"

#include <algorithm>

#include <imgui.h>

namespace bellhand::gui {

bool hot_spot(const char* id, const Box& box, bool* hovered) {
    ImGui::SetCursorScreenPos(ImVec2(box.x0, box.y0));
    const bool clicked = ImGui::InvisibleButton(
        id, ImVec2(std::max(1.0F, box.width()), std::max(1.0F, box.height())));
    if (hovered != nullptr) {
        *hovered = ImGui::IsItemHovered();
    }
    return clicked;
}

} // namespace bellhand::gui
