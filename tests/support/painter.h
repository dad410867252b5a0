#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <vector>

#include <imgui.h>

namespace bellhand::test {

/// A picture in three bytes a pixel, red first.
struct Pixels {
    std::size_t width = 0;
    std::size_t height = 0;
    std::vector<std::uint8_t> bytes;

    /// Brightness, 0 to 255 (ITU-R BT.601).
    [[nodiscard]] float luma(std::size_t x, std::size_t y) const {
        const std::uint8_t* const at = &bytes[3 * (y * width + x)];
        return 0.299F * at[0] + 0.587F * at[1] + 0.114F * at[2];
    }
    /// Half as wide and high: each pixel the mean of four.
    [[nodiscard]] Pixels halved() const {
        Pixels half{width / 2, height / 2, std::vector<std::uint8_t>(width / 2 * (height / 2) * 3)};
        for (std::size_t y = 0; y < half.height; ++y) {
            for (std::size_t i = 0; i < 3 * half.width; ++i) {
                const std::size_t at = 3 * (2 * y * width + 2 * (i / 3)) + i % 3;
                const int sum =
                    bytes[at] + bytes[at + 3] + bytes[at + 3 * width] + bytes[at + 3 * width + 3];
                half.bytes[3 * half.width * y + i] = static_cast<std::uint8_t>((sum + 2) / 4);
            }
        }
        return half;
    }
};

/// Paints what Dear ImGui has drawn as a graphics card would: triangles with the fonts' texture, smoothed, over one another.
class Painter {
public:
    explicit Painter(std::uint32_t paper) : paper_(paper) {}

    [[nodiscard]] Pixels paint(const ImDrawData& data) {
        ImGui::GetIO().Fonts->GetTexDataAsRGBA32(&texture_, &texture_width_, &texture_height_);
        picture_.width = static_cast<std::size_t>(data.DisplaySize.x);
        picture_.height = static_cast<std::size_t>(data.DisplaySize.y);
        picture_.bytes.resize(3 * picture_.width * picture_.height);
        for (std::size_t i = 0; i < picture_.bytes.size(); ++i) {
            picture_.bytes[i] = static_cast<std::uint8_t>(paper_ >> (8U * (i % 3)));
        }
        for (int i = 0; i < data.CmdListsCount; ++i) {
            const ImDrawList& list = *data.CmdLists[i];
            for (const ImDrawCmd& command : list.CmdBuffer) {
                for (unsigned at = 0; at + 2 < command.ElemCount; at += 3) {
                    const auto corner = [&](unsigned which) -> const ImDrawVert& {
                        const auto index = static_cast<int>(command.IdxOffset + at + which);
                        return list
                            .VtxBuffer[static_cast<int>(command.VtxOffset + list.IdxBuffer[index])];
                    };
                    fill(corner(0), corner(1), corner(2), command.ClipRect);
                }
            }
        }
        return picture_;
    }

private:
    using Rgba = std::array<float, 4>;

    static float across(const ImVec2& a, const ImVec2& b, float x, float y) {
        return (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x);
    }
    /// Of two triangles that share an edge only one has the pixels on it.
    static bool owns(const ImVec2& a, const ImVec2& b) {
        return b.y < a.y || (b.y == a.y && b.x > a.x);
    }

    [[nodiscard]] Rgba texel(int x, int y) const {
        x = std::clamp(x, 0, texture_width_ - 1);
        y = std::clamp(y, 0, texture_height_ - 1);
        const unsigned char* const at = texture_ + 4 * (y * texture_width_ + x);
        return {static_cast<float>(at[0]),
                static_cast<float>(at[1]),
                static_cast<float>(at[2]),
                static_cast<float>(at[3])};
    }
    [[nodiscard]] Rgba sample(float u, float v) const {
        const float x = u * static_cast<float>(texture_width_) - 0.5F;
        const float y = v * static_cast<float>(texture_height_) - 0.5F;
        const float left = std::floor(x);
        const float top = std::floor(y);
        const auto at_x = static_cast<int>(left);
        const auto at_y = static_cast<int>(top);
        const Rgba a = texel(at_x, at_y);
        const Rgba b = texel(at_x + 1, at_y);
        const Rgba c = texel(at_x, at_y + 1);
        const Rgba d = texel(at_x + 1, at_y + 1);
        Rgba mixed{};
        for (std::size_t i = 0; i < 4; ++i) {
            const float upper = a[i] + (x - left) * (b[i] - a[i]);
            const float lower = c[i] + (x - left) * (d[i] - c[i]);
            mixed[i] = upper + (y - top) * (lower - upper);
        }
        return mixed;
    }

    void fill(const ImDrawVert& a, ImDrawVert b, ImDrawVert c, const ImVec4& clip) {
        float area = across(a.pos, b.pos, c.pos.x, c.pos.y);
        if (area < 0.0F) {
            std::swap(b, c);
            area = -area;
        }
        if (area <= 0.0F) {
            return;
        }
        const auto first = [](float low, float edge) {
            return std::ceil(std::max(low, edge) - 0.5F);
        };
        const float wide = static_cast<float>(picture_.width);
        const float high = static_cast<float>(picture_.height);
        const float left = first(std::min({a.pos.x, b.pos.x, c.pos.x}), std::max(0.0F, clip.x));
        const float top = first(std::min({a.pos.y, b.pos.y, c.pos.y}), std::max(0.0F, clip.y));
        const float right = std::min({std::max({a.pos.x, b.pos.x, c.pos.x}), clip.z, wide}) - 0.5F;
        const float bottom = std::min({std::max({a.pos.y, b.pos.y, c.pos.y}), clip.w, high}) - 0.5F;
        for (float y = top; y <= bottom; ++y) {
            for (float x = left; x <= right; ++x) {
                const float to_a = across(b.pos, c.pos, x + 0.5F, y + 0.5F);
                const float to_b = across(c.pos, a.pos, x + 0.5F, y + 0.5F);
                const float to_c = across(a.pos, b.pos, x + 0.5F, y + 0.5F);
                const auto inside = [](float by, const ImVec2& from, const ImVec2& to) {
                    return by > 0.0F || (by == 0.0F && owns(from, to));
                };
                if (inside(to_a, b.pos, c.pos) && inside(to_b, c.pos, a.pos) &&
                    inside(to_c, a.pos, b.pos)) {
                    blend(x, y, a, b, c, {to_a / area, to_b / area, to_c / area});
                }
            }
        }
    }

    void blend(float x,
               float y,
               const ImDrawVert& a,
               const ImDrawVert& b,
               const ImDrawVert& c,
               const std::array<float, 3>& share) {
        const auto mixed = [&](float of_a, float of_b, float of_c) {
            return share[0] * of_a + share[1] * of_b + share[2] * of_c;
        };
        const Rgba glyph = sample(mixed(a.uv.x, b.uv.x, c.uv.x), mixed(a.uv.y, b.uv.y, c.uv.y));
        const auto ink = [&](unsigned i) {
            const auto part = [i](const ImDrawVert& corner) {
                return static_cast<float>((corner.col >> (8U * i)) & 0xFFU);
            };
            return mixed(part(a), part(b), part(c)) * glyph[i] / 255.0F;
        };
        const float opacity = ink(3) / 255.0F;
        std::uint8_t* const at = &picture_.bytes[3 * (static_cast<std::size_t>(y) * picture_.width +
                                                      static_cast<std::size_t>(x))];
        for (unsigned i = 0; i < 3; ++i) {
            const auto under = static_cast<float>(at[i]);
            at[i] = static_cast<std::uint8_t>(std::lround(under + opacity * (ink(i) - under)));
        }
    }

    std::uint32_t paper_;
    Pixels picture_;
    unsigned char* texture_ = nullptr;
    int texture_width_ = 0;
    int texture_height_ = 0;
};

} // namespace bellhand::test
