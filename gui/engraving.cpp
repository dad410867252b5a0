#include "gui/engraving.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include <imgui.h>

#include <stb_truetype.h>

namespace bellhand::gui {

namespace {

constexpr float kUnitsPerSpace = 2000.0F; // outlines become whole numbers for the rasteriser

std::vector<stbtt_vertex> vertices_of(const engraving::Outline& outline) {
    std::vector<stbtt_vertex> vertices;
    const auto add = [&vertices](const std::vector<engraving::Point>& loop) {
        for (std::size_t i = 0; i <= loop.size(); ++i) {
            const engraving::Point& point = loop[i % loop.size()];
            stbtt_vertex vertex{};
            vertex.x = static_cast<short>(std::lround(point.x * kUnitsPerSpace));
            vertex.y = static_cast<short>(std::lround(point.y * kUnitsPerSpace));
            vertex.type = i == 0 ? STBTT_vmove : STBTT_vline;
            vertices.push_back(vertex);
        }
    };
    std::for_each(outline.loops.begin(), outline.loops.end(), add);
    std::for_each(outline.holes.begin(), outline.holes.end(), add);
    return vertices;
}

} // namespace

void Engraving::reserve(ImFontAtlas& atlas,
                        const std::vector<engraving::Sign>& signs,
                        float staff_space_px) {
    for (const engraving::Sign sign : signs) {
        const engraving::Outline outline = engraving::outline_of(sign);
        Picture picture;
        picture.sign = sign;
        picture.staff_space_px = staff_space_px;
        picture.left = std::floor(outline.low.x * staff_space_px) - 1.0F;
        picture.top = std::floor(-outline.high.y * staff_space_px) - 1.0F;
        picture.width = std::ceil(outline.high.x * staff_space_px) + 1.0F - picture.left;
        picture.height = std::ceil(-outline.low.y * staff_space_px) + 1.0F - picture.top;
        picture.rectangle = atlas.AddCustomRectRegular(static_cast<int>(picture.width),
                                                       static_cast<int>(picture.height));
        pictures_.push_back(picture);
    }
}

void Engraving::engrave(ImFontAtlas& atlas) {
    unsigned char* pixels = nullptr;
    int width = 0;
    int height = 0;
    atlas.GetTexDataAsAlpha8(&pixels, &width, &height);
    for (Picture& picture : pictures_) {
        const ImFontAtlasCustomRect* room = atlas.GetCustomRectByIndex(picture.rectangle);
        std::vector<stbtt_vertex> vertices = vertices_of(engraving::outline_of(picture.sign));
        stbtt__bitmap bitmap{};
        bitmap.w = room->Width;
        bitmap.h = room->Height;
        bitmap.stride = width;
        bitmap.pixels = pixels + room->Y * width + room->X;
        const float scale = picture.staff_space_px / kUnitsPerSpace;
        constexpr float kFlatness_px = 0.2F;
        stbtt_Rasterize(&bitmap,
                        kFlatness_px,
                        vertices.data(),
                        static_cast<int>(vertices.size()),
                        scale,
                        scale,
                        0.0F,
                        0.0F,
                        static_cast<int>(picture.left),
                        static_cast<int>(picture.top),
                        1,
                        nullptr);
        ImVec2 uv0;
        ImVec2 uv1;
        atlas.CalcCustomRectUV(room, &uv0, &uv1);
        picture.u0 = uv0.x;
        picture.v0 = uv0.y;
        picture.u1 = uv1.x;
        picture.v1 = uv1.y;
    }
}

void Engraving::draw(ImDrawList& list,
                     engraving::Sign sign,
                     float staff_space_px,
                     float x,
                     float y,
                     Colour colour) const {
    const Picture* best = nullptr;
    float best_misfit = 1e9F;
    for (const Picture& picture : pictures_) {
        const float misfit = std::abs(std::log(picture.staff_space_px / staff_space_px));
        if (picture.sign == sign && misfit < best_misfit) {
            best = &picture;
            best_misfit = misfit;
        }
    }
    if (best == nullptr) {
        return;
    }
    const float scale = staff_space_px / best->staff_space_px;
    const ImVec2 top_left(x + best->left * scale, y + best->top * scale);
    const ImVec2 bottom_right(top_left.x + best->width * scale, top_left.y + best->height * scale);
    list.PrimReserve(6, 4);
    list.PrimRectUV(
        top_left, bottom_right, ImVec2(best->u0, best->v0), ImVec2(best->u1, best->v1), colour);
}

} // namespace bellhand::gui
