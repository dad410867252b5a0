#pragma once

#include "desk/desk.h"
#include "gui/fonts.h"
#include "gui/views/views.h"

#include <doctest/doctest.h>
#include <imgui.h>

namespace bellhand::test {

/// A window that nobody sees.
class Stage {
public:
    Stage(float width, float height, double user_scale = 1.0) : width_(width), height_(height) {
        context_ = ImGui::CreateContext();
        ImGui::SetCurrentContext(context_); // there may be others
        ImGuiIO& io = ImGui::GetIO();
        io.BackendFlags |=
            ImGuiBackendFlags_RendererHasVtxOffset; // as the window's own painter has
        io.IniFilename = nullptr;
        io.DisplaySize = ImVec2(width, height);
        io.DeltaTime = 1.0F / 60.0F;
        scale_ = gui::type_scale_for(width, height, 1.0F, user_scale);
        const auto files = gui::find_fonts(gui::font_folders());
        REQUIRE(files.has_value());
        REQUIRE(fonts_.build(*io.Fonts, *files, scale_).has_value());
        unsigned char* pixels = nullptr;
        int texture_width = 0;
        int texture_height = 0;
        io.Fonts->GetTexDataAsRGBA32(&pixels, &texture_width, &texture_height);
    }
    ~Stage() { ImGui::DestroyContext(context_); }
    Stage(const Stage&) = delete;
    Stage& operator=(const Stage&) = delete;

    /// Draws one frame; returns how many corners were sent to the screen.
    int frame(desk::Desk& desk) {
        wall_s_ += 1.0 / 60.0;
        desk.update(wall_s_);
        ImGui::NewFrame();
        gui::draw_desk(desk, fonts_, scale_, width_, height_);
        ImGui::Render();
        return ImGui::GetDrawData()->TotalVtxCount;
    }

    /// Draws the desk as it is now, without a step of time, and says what was drawn.
    gui::DrawnThings look(desk::Desk& desk) {
        gui::DrawnThings drawn;
        ImGui::SetCurrentContext(context_);
        ImGui::NewFrame();
        gui::draw_desk(desk, fonts_, scale_, width_, height_, &drawn);
        ImGui::Render();
        return drawn;
    }
    [[nodiscard]] float width() const { return width_; }
    [[nodiscard]] float height() const { return height_; }

    void click(desk::Desk& desk, float x, float y) {
        ImGui::GetIO().MousePos = ImVec2(x, y);
        frame(desk);
        ImGui::GetIO().MouseDown[0] = true;
        frame(desk);
        ImGui::GetIO().MouseDown[0] = false;
        frame(desk);
    }

    /// Corners drawn outside the window, beyond a soft edge.
    [[nodiscard]] int stray_corners() const {
        int stray = 0;
        const ImDrawData* data = ImGui::GetDrawData();
        for (int i = 0; i < data->CmdListsCount; ++i) {
            for (const ImDrawVert& corner : data->CmdLists[i]->VtxBuffer) {
                const bool inside = corner.pos.x > -2.0F && corner.pos.x < width_ + 2.0F &&
                                    corner.pos.y > -2.0F && corner.pos.y < height_ + 2.0F;
                stray += inside ? 0 : 1;
            }
        }
        return stray;
    }

    [[nodiscard]] const gui::FontBook& fonts() const { return fonts_; }
    [[nodiscard]] const gui::TypeScale& scale() const { return scale_; }

private:
    ImGuiContext* context_ = nullptr;
    float width_;
    float height_;
    gui::TypeScale scale_;
    gui::FontBook fonts_;
    double wall_s_ = 0.0;
};

} // namespace bellhand::test
