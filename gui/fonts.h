#pragma once

#include "core/result.h"
#include "gui/engraving.h"

#include <array>
#include <filesystem>
#include <string>
#include <vector>

struct ImFont;
struct ImFontAtlas;

namespace bellhand::gui {

/// What a piece of text is for; each is a typeface found at run time.
enum class Face {
    text,   ///< sentences and labels
    strong, ///< their emphasis
    music,  ///< names of notes, figures, titles: the roman of printed music
    remark, ///< italic, as expression marks in a part
    count
};

/// Sizes that follow from a window: everything on the screen is a multiple of `em_px`, or of the window's height for
/// what must be read from two metres.
struct TypeScale {
    float em_px = 18.0F;
    float window_height_px = 800.0F;

    [[nodiscard]] float staff_space_px() const noexcept { return window_height_px * 0.024F; }
    /// Of a line of notes that is played from, at two metres.
    [[nodiscard]] float line_space_px() const noexcept { return window_height_px * 0.030F; }
    [[nodiscard]] float figure_cap_px() const noexcept {
        return window_height_px * 0.062F > 1.2F * em_px ? window_height_px * 0.062F : 1.2F * em_px;
    }
    [[nodiscard]] float note_cap_px() const noexcept { return window_height_px * 0.21F; }
    [[nodiscard]] float large_figure_cap_px() const noexcept { return window_height_px * 0.12F; }
    [[nodiscard]] float large_note_cap_px() const noexcept { return window_height_px * 0.40F; }

    friend bool operator==(const TypeScale&, const TypeScale&) = default;
};

/// Files of the faces on this machine.
struct FontFiles {
    std::array<std::filesystem::path, static_cast<std::size_t>(Face::count)> face;
    std::filesystem::path accidentals; ///< has flat, natural and sharp
    std::string missing; ///< wished files that others stand in for; empty: all are there
};

/// Looks in `folders` (and below) for the first known file of each face. Errors: no font with musical accidentals;
/// the sentence names the package to install.
[[nodiscard]] Result<FontFiles> find_fonts(const std::vector<std::filesystem::path>& folders);

/// The system's and the user's font folders.
[[nodiscard]] std::vector<std::filesystem::path> font_folders();

/// All text and signs of the window, drawn into one texture for one TypeScale.
class FontBook {
public:
    /// Rebuilds `atlas` from scratch. Errors: a file that cannot be read.
    [[nodiscard]] Result<void>
    build(ImFontAtlas& atlas, const FontFiles& files, const TypeScale& scale);

    struct Cut {
        ImFont* font = nullptr;
        float cap_px = 0.0F; ///< height of its capitals as drawn into the texture
        float size_px = 0.0F;
        float baseline_px = 0.0F; ///< from the top of the line
    };
    /// The cut of a face that is nearest to the wished height of capitals, the larger one if in doubt. `letters`: it
    /// must have more than A to G.
    [[nodiscard]] const Cut& cut(Face face, float cap_px, bool letters) const noexcept;
    [[nodiscard]] const Engraving& engraving() const noexcept { return engraving_; }

private:
    struct Entry {
        Face face;
        bool letters;
        Cut cut;
    };
    std::vector<Entry> entries_;
    Engraving engraving_;
};

} // namespace bellhand::gui
