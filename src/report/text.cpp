#include "report/text.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace bellhand::report {

namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

/// Length of the well-formed UTF-8 sequence at the start of `text`, 0 when there is none (Unicode Standard, table 3-7).
std::size_t sequence_length(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned char lead = byte(0);
    std::size_t length = 0;
    unsigned char lowest = 0x80;
    unsigned char highest = 0xBF;
    if (lead < 0x80) {
        return 1;
    }
    if (lead >= 0xC2 && lead <= 0xDF) {
        length = 2;
    } else if (lead >= 0xE0 && lead <= 0xEF) {
        length = 3;
        lowest = lead == 0xE0 ? 0xA0 : 0x80;
        highest = lead == 0xED ? 0x9F : 0xBF;
    } else if (lead >= 0xF0 && lead <= 0xF4) {
        length = 4;
        lowest = lead == 0xF0 ? 0x90 : 0x80;
        highest = lead == 0xF4 ? 0x8F : 0xBF;
    }
    if (length == 0 || text.size() < length || byte(1) < lowest || byte(1) > highest) {
        return 0;
    }
    for (std::size_t i = 2; i < length; ++i) {
        if ((byte(i) & 0xC0) != 0x80) {
            return 0;
        }
    }
    return length;
}

} // namespace

std::string escaped(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    while (!text.empty()) {
        const std::size_t length = sequence_length(text);
        if (length == 0) {
            out += kReplacement;
            text.remove_prefix(1);
            continue;
        }
        const char c = text.front();
        if (length > 1) {
            const std::string_view sequence = text.substr(0, length);
            // U+FFFE and U+FFFF are in no document, C1 controls in none of ours.
            const bool control =
                length == 2 && c == '\xC2' && static_cast<unsigned char>(sequence[1]) < 0xA0;
            const bool nothing = sequence == "\xEF\xBF\xBE" || sequence == "\xEF\xBF\xBF";
            out += control ? std::string_view(" ") : nothing ? kReplacement : sequence;
        } else if (c == '&') {
            out += "&amp;";
        } else if (c == '<') {
            out += "&lt;";
        } else if (c == '>') {
            out += "&gt;";
        } else if (c == '"') {
            out += "&quot;";
        } else if (c == '\'') {
            out += "&#39;";
        } else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) {
            out += c == '\n' ? '\n' : ' ';
        } else {
            out += c;
        }
        text.remove_prefix(length);
    }
    return out;
}

std::string signed_text(double value) {
    const double shown = std::round(value * 10.0) / 10.0;
    if (shown == 0.0) {
        return "0.0";
    }
    return fmt::format("{}{:.1f}", shown < 0.0 ? "\u2212" : "+", std::abs(shown));
}

std::string count_text(std::int64_t count) {
    std::string digits = std::to_string(count);
    for (std::ptrdiff_t at = static_cast<std::ptrdiff_t>(digits.size()) - 3; at > 0; at -= 3) {
        digits.insert(static_cast<std::size_t>(at), "\u202f");
    }
    return digits;
}

std::string percent_text(double share) {
    return fmt::format("{:.0f}\u202f%", 100.0 * share);
}

std::string duration_text(double seconds) {
    const auto whole = static_cast<std::int64_t>(std::llround(seconds));
    if (whole < 60) {
        return fmt::format("{}\u202fs", whole);
    }
    const std::int64_t minutes = (whole + 30) / 60;
    if (minutes < 100) {
        return fmt::format("{}\u202fmin", minutes);
    }
    return fmt::format("{}\u202fh {:02}\u202fmin", minutes / 60, minutes % 60);
}

std::string clock_text(double seconds) {
    const auto whole = static_cast<std::int64_t>(std::max(0.0, seconds));
    return whole < 3600 ? fmt::format("{}:{:02}", whole / 60, whole % 60)
                        : fmt::format("{}:{:02}:{:02}", whole / 3600, whole / 60 % 60, whole % 60);
}

} // namespace bellhand::report
