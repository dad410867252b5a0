#include "app/file_kind.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <fstream>
#include <string>
#include <string_view>

namespace bellhand::app {

namespace {

constexpr std::uintmax_t kLooked_bytes = 65536;

std::string part_of(std::ifstream& in, std::uintmax_t from, std::uintmax_t count) {
    std::string bytes(static_cast<std::size_t>(count), '\0');
    in.clear();
    in.seekg(static_cast<std::streamoff>(from));
    in.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    bytes.resize(static_cast<std::size_t>(std::max<std::streamsize>(in.gcount(), 0)));
    return bytes;
}

bool holds(std::string_view text, std::string_view what) {
    return text.find(what) != std::string_view::npos;
}

/// Letters of UTF-16 without what stands between them, so that the words of a file in it are found too.
std::string narrow(std::string text) {
    const bool wide = text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF");
    if (wide) {
        text.erase(std::remove(text.begin(), text.end(), '\0'), text.end());
    }
    return text;
}

FileKind kind_of_json(std::string_view text) {
    constexpr std::array<std::pair<std::string_view, FileKind>, 3> kFormats{{
        {"\"bellhand exercises\"", FileKind::exercises},
        {"\"bellhand set list\"", FileKind::set_list},
        {"\"bellhand horn profile\"", FileKind::horn_profile},
    }};
    for (const auto& [format, kind] : kFormats) {
        if (holds(text, format)) {
            return kind;
        }
    }
    return FileKind::horn_profile; // its reader says what is missing
}

} // namespace

Result<FileKind> kind_of(const std::filesystem::path& file) {
    std::error_code unknown;
    const auto status = std::filesystem::status(file, unknown);
    if (!std::filesystem::exists(status)) {
        return failure("There is no file " + file.string() + ": check the path.");
    }
    if (!std::filesystem::is_regular_file(status)) {
        return failure(file.string() + " is not an ordinary file: name a file to open.");
    }
    std::ifstream in(file, std::ios::binary);
    const std::uintmax_t size = std::filesystem::file_size(file, unknown);
    if (!in || unknown) {
        return failure(file.string() + " cannot be read: allow reading it, and try again.");
    }
    const std::string head = narrow(part_of(in, 0, std::min(size, kLooked_bytes)));
    if (head.starts_with("PK\x03\x04")) { // ZIP: the list of its files stands at the end
        const std::uintmax_t seen = std::min(size, kLooked_bytes);
        const std::string list = part_of(in, size - seen, seen);
        return holds(list, "META-INF/container.xml") ? FileKind::music : FileKind::homework;
    }
    if (head.starts_with("MThd") || holds(head, "<score-partwise") ||
        holds(head, "<score-timewise")) {
        return FileKind::music;
    }
    const std::size_t first = head.find_first_not_of(" \t\r\n\xEF\xBB\xBF");
    if (first != std::string::npos && head[first] == '{') {
        return kind_of_json(head);
    }
    return FileKind::sound;
}

} // namespace bellhand::app
