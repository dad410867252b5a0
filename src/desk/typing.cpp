#include "desk/typing.h"

#include "core/platform.h"

#include <algorithm>
#include <filesystem>
#include <optional>
#include <system_error>

namespace bellhand::desk {

namespace fs = std::filesystem;

void append_utf8(std::string& text, char32_t character) {
    const auto byte = [&text](char32_t value) { text.push_back(static_cast<char>(value)); };
    if (character < 0x80) {
        byte(character);
    } else if (character < 0x800) {
        byte(0xC0U | (character >> 6U));
        byte(0x80U | (character & 0x3FU));
    } else if (character < 0x10000) {
        byte(0xE0U | (character >> 12U));
        byte(0x80U | ((character >> 6U) & 0x3FU));
        byte(0x80U | (character & 0x3FU));
    } else {
        byte(0xF0U | (character >> 18U));
        byte(0x80U | ((character >> 12U) & 0x3FU));
        byte(0x80U | ((character >> 6U) & 0x3FU));
        byte(0x80U | (character & 0x3FU));
    }
}

void remove_last_character(std::string& text) {
    while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0U) == 0x80U) {
        text.pop_back();
    }
    if (!text.empty()) {
        text.pop_back();
    }
}

std::string completed_path(const std::string& typed) {
    const fs::path path = platform::path_of(typed);
    const fs::path folder = path.parent_path().empty() ? fs::path(".") : path.parent_path();
    const std::string start = path.filename().string();
    std::optional<std::string> common;
    bool folder_found = false;
    std::error_code error;
    for (fs::directory_iterator entry(folder, error); !error && entry != fs::directory_iterator();
         entry.increment(error)) {
        const std::string name = entry->path().filename().string();
        if (name.compare(0, start.size(), start) != 0) {
            continue;
        }
        if (!common) {
            common = name;
            folder_found = entry->is_directory(error);
            continue;
        }
        folder_found = false;
        const auto differ = std::mismatch(common->begin(), common->end(), name.begin(), name.end());
        common->erase(differ.first, common->end());
    }
    if (!common || common->size() < start.size()) {
        return typed;
    }
    return typed.substr(0, typed.size() - start.size()) + *common + (folder_found ? "/" : "");
}

} // namespace bellhand::desk
