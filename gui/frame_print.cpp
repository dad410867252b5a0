#include "gui/frame_print.h"

#include <algorithm>
#include <cstddef>
#include <cstring>

#include <imgui.h>

namespace bellhand::gui {

std::uint64_t print_of(const ImDrawData& data, std::uint64_t ground) noexcept {
    std::uint64_t print = 1469598103934665603ULL ^ ground;
    const auto add = [&print](const void* bytes, std::size_t count) {
        const auto* from = static_cast<const unsigned char*>(bytes);
        for (std::size_t at = 0; at < count; at += sizeof print) {
            std::uint64_t word = 0;
            std::memcpy(&word, from + at, std::min(sizeof word, count - at));
            print = (print ^ word) * 1099511628211ULL;
            print ^= print >> 29U;
        }
    };
    for (int i = 0; i < data.CmdListsCount; ++i) {
        const ImDrawList& list = *data.CmdLists[i];
        add(list.VtxBuffer.Data, static_cast<std::size_t>(list.VtxBuffer.size_in_bytes()));
        for (const ImDrawCmd& command : list.CmdBuffer) {
            add(&command.ClipRect, sizeof command.ClipRect);
            add(&command.ElemCount, sizeof command.ElemCount);
        }
    }
    return print;
}

} // namespace bellhand::gui
