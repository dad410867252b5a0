#include "support/engraving_check.h"

#include <algorithm>
#include <set>

namespace bellhand::test {

namespace {

using engraving::Box;
using engraving::What;

struct Ink {
    Box box;
    What what = What::staff;
    int event = engraving::kNoEvent;
};

const char* name_of(What what) {
    static constexpr const char* kNames[] = {
        "staff",         "clef",    "key",     "metre",  "bar line", "bar number", "head",
        "accidental",    "dot",     "stem",    "ledger", "beam",     "flag",       "rest",
        "several rests", "tie",     "slur",    "tuplet", "mark",     "hand",       "partial",
        "remark",        "dynamic", "hairpin", "text",   "box",      "ending",     "heading"};
    return kNames[static_cast<int>(what)];
}

bool is_any(What what, std::initializer_list<What> of) {
    return std::find(of.begin(), of.end(), what) != of.end();
}

/// Whether the two may not touch.
bool apart(const Ink& one, const Ink& other) {
    const auto row = {
        What::hand, What::partial, What::remark, What::text, What::ending, What::bar_number};
    const auto notes = {What::head,
                        What::accidental,
                        What::rest,
                        What::several_rests,
                        What::dot,
                        What::clef,
                        What::key,
                        What::metre};
    if (is_any(one.what, row)) {
        if (one.what == What::text || one.what == What::ending) {
            const bool own_frame = is_any(other.what, {What::text_box, What::ending});
            return !own_frame && !is_any(other.what, {What::staff, What::ledger});
        }
        return !is_any(other.what, {What::staff, What::ledger});
    }
    if (is_any(one.what, notes)) {
        if (one.event == other.event && one.event != engraving::kNoEvent) {
            return one.what == What::accidental && other.what == What::head;
        }
        if (one.what == other.what &&
            is_any(one.what, {What::several_rests, What::key, What::metre, What::clef})) {
            return false; // made of several pieces
        }
        return is_any(other.what, notes) || other.what == What::bar_line ||
               (one.event != other.event && other.what == What::stem && one.what == What::head);
    }
    if (one.what == What::dynamic) {
        return is_any(other.what,
                      {What::head,
                       What::stem,
                       What::beam,
                       What::accidental,
                       What::hairpin,
                       What::tuplet,
                       What::rest});
    }
    return false;
}

bool overlap(const Box& one, const Box& other) {
    constexpr float kTouch = 0.03F;
    return one.left + kTouch < other.right && other.left + kTouch < one.right &&
           one.low + kTouch < other.high && other.low + kTouch < one.high;
}

std::vector<Ink> ink_of(const engraving::System& system) {
    std::vector<Ink> ink;
    for (const auto& sign : system.signs) {
        ink.push_back({box_of(sign), sign.what, sign.event});
    }
    for (const auto& line : system.lines) {
        ink.push_back({box_of(line), line.what, line.event});
    }
    for (const auto& curve : system.curves) {
        constexpr int kPieces = 16; // by its pieces: the box of an arch covers what it spans
        const auto at = [&curve](float t) {
            const float u = 1.0F - t;
            const auto mix = [&](float a, float b, float c, float d) {
                return u * u * u * a + 3 * u * u * t * b + 3 * u * t * t * c + t * t * t * d;
            };
            return engraving::Point{mix(curve.from.x, curve.lead.x, curve.trail.x, curve.to.x),
                                    mix(curve.from.y, curve.lead.y, curve.trail.y, curve.to.y)};
        };
        for (int i = 0; i < kPieces; ++i) {
            const auto a = at(static_cast<float>(i) / kPieces);
            const auto b = at(static_cast<float>(i + 1) / kPieces);
            ink.push_back(
                {{a.x, std::min(a.y, b.y), b.x, std::max(a.y, b.y)}, curve.what, curve.event});
        }
    }
    for (const auto& text : system.texts) {
        ink.push_back({box_of(text), text.what, text.event});
    }
    return ink;
}

} // namespace

std::vector<std::string> clashes(const engraving::Layout& layout,
                                 const engraving::PageStyle& style) {
    std::vector<std::string> found;
    for (std::size_t number = 0; number < layout.systems.size(); ++number) {
        const std::string where = " in line " + std::to_string(number + 1);
        const std::vector<Ink> ink = ink_of(layout.systems[number]);
        for (const Ink& one : ink) {
            if (one.box.left < -0.01F || one.box.right > style.width + 0.1F) {
                found.push_back(std::string(name_of(one.what)) + " over the edge" + where);
            }
            for (const Ink& other : ink) {
                if (&one != &other && apart(one, other) && overlap(one.box, other.box)) {
                    found.push_back(std::string(name_of(one.what)) + " on " + name_of(other.what) +
                                    where + " at " + std::to_string(one.box.left));
                }
            }
        }
    }
    for (const engraving::Page& page : layout.pages) {
        float free_from = 0.0F;
        for (const engraving::PlacedSystem& placed : page.systems) {
            const engraving::System& system = layout.systems[placed.system];
            if (placed.bottom_line - system.high < free_from - 0.01F) {
                found.push_back("line " + std::to_string(placed.system + 1) +
                                " runs into the one before");
            }
            free_from = placed.bottom_line - system.low;
        }
        if (free_from > style.page_height + 0.01F) {
            found.push_back("a page is too full");
        }
    }
    return found;
}

} // namespace bellhand::test
