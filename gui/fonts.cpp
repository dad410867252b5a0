#include "gui/fonts.h"

#include "core/assets.h"
#include "core/platform.h"
#include "gui/canvas.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <iterator>
#include <map>
#include <string>

#include <imgui.h>

#include <stb_truetype.h>

namespace bellhand::gui {

namespace {

namespace fs = std::filesystem;

using Bytes = std::vector<unsigned char>;

/// Files that can serve as a face, the wished one first; each chain ends in the package that must be there.
const std::vector<const char*>& chain(Face face) {
    static const std::vector<const char*> kText{"Inter-Regular.otf", "DejaVuSans.ttf"};
    static const std::vector<const char*> kStrong{"Inter-SemiBold.otf", "DejaVuSans-Bold.ttf"};
    static const std::vector<const char*> kMusic{"texgyreschola-bold.otf", "DejaVuSerif-Bold.ttf"};
    static const std::vector<const char*> kRemark{"texgyreschola-italic.otf", "DejaVuSerif.ttf"};
    switch (face) {
    case Face::strong:
        return kStrong;
    case Face::music:
        return kMusic;
    case Face::remark:
        return kRemark;
    default:
        return kText;
    }
}

constexpr const char* kAccidentals = "DejaVuSans.ttf";

std::map<std::string, fs::path> files_below(const std::vector<fs::path>& folders) {
    std::map<std::string, fs::path> found;
    for (const fs::path& folder : folders) {
        std::error_code ignored;
        const auto options = fs::directory_options::skip_permission_denied;
        for (auto entry = fs::recursive_directory_iterator(folder, options, ignored);
             entry != fs::recursive_directory_iterator();
             entry.increment(ignored)) {
            found.emplace(entry->path().filename().string(), entry->path());
        }
    }
    return found;
}

Result<Bytes> read_file(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    Bytes bytes((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    if (bytes.empty()) {
        return failure("The font " + path.string() + " cannot be read: install its package again.");
    }
    return bytes;
}

/// How a font's own units relate to the height of its capitals.
struct Measure {
    float size_per_cap = 1.4F; ///< Dear ImGui's size (ascent to descent) over the height of an H
};

/// Whether the tables that its directory names lie within the file (OpenType 1.9, "Organization of an OpenType font"): the
/// library that draws looks for them without asking.
bool is_whole(const Bytes& bytes) {
    constexpr std::size_t kHead_bytes = 12;
    constexpr std::size_t kRecord_bytes = 16;
    const auto number = [&bytes](std::size_t at, int count) {
        std::uint64_t value = 0;
        for (int i = 0; i < count; ++i) {
            value = (value << 8U) | bytes[at + static_cast<std::size_t>(i)];
        }
        return value;
    };
    if (bytes.size() < kHead_bytes) {
        return false;
    }
    const std::size_t tables = number(4, 2);
    if (tables == 0 || kHead_bytes + tables * kRecord_bytes > bytes.size()) {
        return false;
    }
    for (std::size_t i = 0; i < tables; ++i) {
        const std::size_t record = kHead_bytes + i * kRecord_bytes;
        if (number(record + 8, 4) + number(record + 12, 4) > bytes.size()) {
            return false;
        }
    }
    return true;
}

Result<Measure> measure(const Bytes& bytes, const fs::path& path) {
    stbtt_fontinfo info;
    if (!is_whole(bytes) ||
        stbtt_InitFont(&info, bytes.data(), stbtt_GetFontOffsetForIndex(bytes.data(), 0)) == 0) {
        return failure("The font " + path.string() +
                       " is not one that can be drawn: install its package again.");
    }
    int ascent = 0;
    int descent = 0;
    int line_gap = 0;
    stbtt_GetFontVMetrics(&info, &ascent, &descent, &line_gap);
    int x0 = 0;
    int y0 = 0;
    int x1 = 0;
    int y1 = 0;
    if (stbtt_GetCodepointBox(&info, 'H', &x0, &y0, &x1, &y1) == 0 || y1 <= 0) {
        return failure("The font " + path.string() +
                       " has no letter H: install its package again.");
    }
    return Measure{static_cast<float>(ascent - descent) / static_cast<float>(y1)};
}

// Latin with its accents and fractions, dashes, quotes, bullet, ellipsis, arrows, minus, accidentals.
constexpr ImWchar kLetters[] = {0x20,
                                0xFF,
                                0x2013,
                                0x2014,
                                0x2018,
                                0x201D,
                                0x2022,
                                0x2022,
                                0x2026,
                                0x2026,
                                0x2190,
                                0x2193,
                                0x2212,
                                0x2212,
                                0x266D,
                                0x266F,
                                0};
constexpr ImWchar kFigures[] = {0x20, 0x7E, 0xBC, 0xBE, 0x2212, 0x2212, 0x266D, 0x266F, 0};
constexpr ImWchar kNoteLetters[] = {'A', 'H', 0};

struct Wish {
    Face face;
    float cap_px;
    const ImWchar* ranges;
};

} // namespace

std::vector<fs::path> font_folders() {
    std::vector<fs::path> folders = platform::font_folders();
    folders.insert(folders.begin(), assets_folder() / "fonts"); // those that came with the program
    return folders;
}

Result<FontFiles> find_fonts(const std::vector<fs::path>& folders) {
    const std::map<std::string, fs::path> found = files_below(folders);
    FontFiles files;
    const auto accidentals = found.find(kAccidentals);
    if (accidentals == found.end()) {
        return failure(
            "No font with flat, natural and sharp was found in the system's font folders: "
            "install the package fonts-dejavu-core.");
    }
    files.accidentals = accidentals->second;
    for (std::size_t i = 0; i < files.face.size(); ++i) {
        files.face[i] = files.accidentals; // when nothing better is there
        const auto& wished = chain(static_cast<Face>(i));
        if (!found.contains(wished.front())) {
            files.missing += (files.missing.empty() ? "" : ", ") + std::string(wished.front());
        }
        for (const char* name : wished) {
            if (const auto file = found.find(name); file != found.end()) {
                files.face[i] = file->second;
                break;
            }
        }
    }
    return files;
}

Result<void> FontBook::build(ImFontAtlas& atlas, const FontFiles& files, const TypeScale& scale) {
    entries_.clear();
    engraving_ = Engraving();
    atlas.Clear();
    atlas.Flags |= ImFontAtlasFlags_NoPowerOfTwoHeight;

    constexpr float kCap = 0.72F; // capitals of a text of one em
    const float em = scale.em_px * kCap;
    std::vector<Wish> wishes{
        {Face::text, em, kLetters},
        {Face::text, em * 0.84F, kLetters},
        {Face::strong, em, kLetters},
        {Face::strong, em * 0.84F, kLetters},
        {Face::remark, em * 1.05F, kLetters},
        {Face::remark, em * 1.5F, kLetters},
        {Face::music, em, kLetters},
        {Face::music, em * 1.5F, kLetters},
        {Face::music, scale.figure_cap_px(), kFigures},
        {Face::music, scale.large_figure_cap_px(), kFigures},
        {Face::music, scale.note_cap_px(), kNoteLetters},
        {Face::music, scale.large_note_cap_px(), kNoteLetters},
    };
    if (em <
        0.98F *
            Canvas::kPlayed_px) { // in a small window what is played from is larger than the rest
        for (const Face face : {Face::text, Face::strong, Face::music}) {
            wishes.push_back({face, Canvas::kPlayed_px, kLetters});
        }
    }

    std::map<fs::path, Bytes> contents;
    const auto load = [&contents](const fs::path& path) -> Result<const Bytes*> {
        if (const auto known = contents.find(path); known != contents.end()) {
            return &known->second;
        }
        auto bytes = read_file(path);
        if (!bytes) {
            return tl::unexpected(bytes.error());
        }
        return &contents.emplace(path, std::move(*bytes)).first->second;
    };
    const auto add =
        [&](const fs::path& path, float cap_px, const ImWchar* ranges, bool merge) -> Result<Cut> {
        const auto bytes = load(path);
        if (!bytes) {
            return tl::unexpected(bytes.error());
        }
        const auto measured = measure(**bytes, path);
        if (!measured) {
            return tl::unexpected(measured.error());
        }
        ImFontConfig config;
        config.FontDataOwnedByAtlas = false;
        config.MergeMode = merge;
        config.GlyphRanges = ranges;
        config.PixelSnapH = false;
        config.OversampleH = cap_px < 20.0F ? 3 : 1; // large letters need no help against blur
        config.OversampleV = 1;
        Cut cut;
        cut.cap_px = cap_px;
        cut.size_px = cap_px * measured->size_per_cap;
        // The atlas only reads the bytes, although it asks for a plain pointer.
        cut.font = atlas.AddFontFromMemoryTTF(const_cast<unsigned char*>((*bytes)->data()),
                                              static_cast<int>((*bytes)->size()),
                                              cut.size_px,
                                              &config);
        return cut;
    };

    for (const Wish& wish : wishes) {
        const auto cut =
            add(files.face[static_cast<std::size_t>(wish.face)], wish.cap_px, wish.ranges, false);
        if (!cut) {
            return tl::unexpected(cut.error());
        }
        const bool letters = wish.ranges != kNoteLetters;
        entries_.push_back({wish.face, letters, *cut});
        if (letters) {
            const auto merged = add(files.accidentals, wish.cap_px, wish.ranges, true);
            if (!merged) {
                return tl::unexpected(merged.error());
            }
        }
    }
    engraving_.reserve(atlas,
                       {engraving::Sign::treble_clef,
                        engraving::Sign::bass_clef,
                        engraving::Sign::notehead,
                        engraving::Sign::flat,
                        engraving::Sign::natural,
                        engraving::Sign::sharp},
                       scale.staff_space_px());
    std::vector<engraving::Sign> all;
    for (int i = 0; i < engraving::kSigns; ++i) {
        all.push_back(static_cast<engraving::Sign>(i));
    }
    engraving_.reserve(atlas, all, scale.line_space_px());
    // An accidental beside a letter: about 2.6 spaces to the height of the capital.
    for (const float cap_px :
         {em, 1.5F * em, scale.figure_cap_px(), scale.note_cap_px(), scale.large_note_cap_px()}) {
        engraving_.reserve(
            atlas, {engraving::Sign::bold_flat, engraving::Sign::bold_sharp}, cap_px / 2.6F);
    }
    atlas.Build();
    engraving_.engrave(atlas);
    for (Entry& entry : entries_) {
        // The H stands on the baseline: its lower edge, without the soft pixel row below it.
        const ImFontGlyph* h = entry.cut.font->FindGlyph('H');
        entry.cut.baseline_px = h->Y0 + std::round(entry.cut.cap_px);
    }
    atlas.ClearInputData();
    return {};
}

const FontBook::Cut& FontBook::cut(Face face, float cap_px, bool letters) const noexcept {
    const Entry* best = &entries_.front();
    float best_misfit = 1e9F;
    for (const Entry& entry : entries_) {
        if (entry.face != face || (letters && !entry.letters)) {
            continue;
        }
        float misfit = std::log(entry.cut.cap_px / cap_px);
        misfit = misfit < -0.02F ? -2.0F * misfit : misfit; // shrinking looks better than growing
        if (misfit < best_misfit) {
            best = &entry;
            best_misfit = misfit;
        }
    }
    return best->cut;
}

} // namespace bellhand::gui
