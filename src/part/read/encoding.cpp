#include "part/read/encoding.h"

#include "datafile/json_text.h"

#include <algorithm>
#include <cctype>
#include <cstdint>

namespace bellhand::part {

namespace {

enum class Encoding { utf8, utf16_little, utf16_big, latin1 };

constexpr std::string_view kMark8 = "\xEF\xBB\xBF";
constexpr std::string_view kMarkLittle = "\xFF\xFE";
constexpr std::string_view kMarkBig = "\xFE\xFF";

/// The declaration "<?xml ...?>", empty when there is none.
std::string_view declaration(std::string_view text) {
    constexpr std::size_t kLongest = 200;
    if (text.substr(0, 5) != "<?xml") {
        return {};
    }
    const std::size_t end = text.substr(0, kLongest).find("?>");
    return end == std::string_view::npos ? std::string_view() : text.substr(0, end + 2);
}

Encoding encoding_of(std::string_view bytes) {
    using namespace std::string_view_literals;
    if (bytes.substr(0, 2) == kMarkLittle || bytes.substr(0, 2) == "<\0"sv) {
        return Encoding::utf16_little;
    }
    if (bytes.substr(0, 2) == kMarkBig || bytes.substr(0, 2) == "\0<"sv) {
        return Encoding::utf16_big;
    }
    std::string head(declaration(bytes));
    std::transform(head.begin(), head.end(), head.begin(), [](unsigned char c) {
        return static_cast<char>(std::tolower(c));
    });
    const bool latin1 = head.find("iso-8859-1") != std::string::npos ||
                        head.find("windows-1252") != std::string::npos;
    return latin1 ? Encoding::latin1 : Encoding::utf8;
}

void append(std::string& text, std::uint32_t code) {
    const auto put = [&text](std::uint32_t byte) { text += static_cast<char>(byte & 0xFFU); };
    if (code < 0x80U) {
        put(code);
    } else if (code < 0x800U) {
        put(0xC0U | (code >> 6U));
        put(0x80U | (code & 0x3FU));
    } else if (code < 0x10000U) {
        put(0xE0U | (code >> 12U));
        put(0x80U | ((code >> 6U) & 0x3FU));
        put(0x80U | (code & 0x3FU));
    } else {
        put(0xF0U | (code >> 18U));
        put(0x80U | ((code >> 12U) & 0x3FU));
        put(0x80U | ((code >> 6U) & 0x3FU));
        put(0x80U | (code & 0x3FU));
    }
}

std::string from_utf16(std::string_view bytes, bool little) {
    const auto unit = [&](std::size_t at) -> std::uint32_t {
        const auto first = static_cast<unsigned char>(bytes[at]);
        const auto second = static_cast<unsigned char>(bytes[at + 1]);
        return little ? (std::uint32_t{second} << 8U) | first
                      : (std::uint32_t{first} << 8U) | second;
    };
    constexpr std::uint32_t kBroken = 0xFFFD;
    std::string text;
    text.reserve(bytes.size() / 2 + 16);
    for (std::size_t at = 0; at + 1 < bytes.size(); at += 2) {
        std::uint32_t code = unit(at);
        if (code == 0xFEFFU && at == 0) {
            continue;
        }
        if (code >= 0xD800U && code < 0xE000U) {
            const std::uint32_t next = at + 3 < bytes.size() ? unit(at + 2) : 0;
            const bool pair = code < 0xDC00U && next >= 0xDC00U && next < 0xE000U;
            code = pair ? 0x10000U + ((code - 0xD800U) << 10U) + (next - 0xDC00U) : kBroken;
            at += pair ? 2 : 0;
        }
        append(text, code);
    }
    return text;
}

std::string from_latin1(std::string_view bytes) {
    std::string text;
    for (const char c : bytes) {
        append(text, static_cast<unsigned char>(c));
    }
    return text;
}

void declare_utf8(std::string& text) {
    const std::string_view head = declaration(text);
    const std::size_t name = head.find("encoding");
    const std::size_t open =
        name == std::string_view::npos ? name : head.find_first_of("\"'", name);
    const std::size_t close =
        open == std::string_view::npos ? open : head.find(head[open], open + 1);
    if (close != std::string_view::npos) {
        text.replace(open + 1, close - open - 1, "UTF-8");
    }
}

} // namespace

std::string name_of(std::string_view bytes) {
    return datafile::plain_line(datafile::is_utf8(bytes) ? std::string(bytes) : from_latin1(bytes));
}

std::string utf8_of(std::string bytes) {
    const Encoding encoding = encoding_of(bytes);
    std::string text;
    switch (encoding) {
    case Encoding::utf8:
        if (bytes.compare(0, kMark8.size(), kMark8) == 0) {
            bytes.erase(0, kMark8.size());
        }
        return bytes;
    case Encoding::utf16_little:
    case Encoding::utf16_big:
        text = from_utf16(bytes, encoding == Encoding::utf16_little);
        break;
    case Encoding::latin1:
        text = from_latin1(bytes);
        break;
    }
    declare_utf8(text);
    return text;
}

bool looks_like_xml(std::string_view bytes) noexcept {
    using namespace std::string_view_literals;
    if (bytes.substr(0, 2) == kMarkLittle || bytes.substr(0, 2) == kMarkBig ||
        bytes.substr(0, 2) == "<\0"sv || bytes.substr(0, 2) == "\0<"sv) {
        return true;
    }
    if (bytes.substr(0, 3) == kMark8) {
        bytes.remove_prefix(3);
    }
    const std::size_t first = bytes.find_first_not_of(" \t\r\n");
    return first != std::string_view::npos && bytes[first] == '<';
}

} // namespace bellhand::part
