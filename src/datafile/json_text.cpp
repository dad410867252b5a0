#include "datafile/json_text.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace bellhand::datafile {

namespace {

using nlohmann::json;

/// Builds the document while it counts; stops at the first thing beyond a limit.
class GuardedBuilder final : public nlohmann::json_sax<json> {
public:
    explicit GuardedBuilder(const JsonLimits& limits) : limits_(limits) {}

    bool null() override { return add(nullptr); }
    bool boolean(bool value) override { return add(value); }
    bool number_integer(number_integer_t value) override { return add(value); }
    bool number_unsigned(number_unsigned_t value) override { return add(value); }
    bool number_float(number_float_t value, const string_t&) override {
        return std::isfinite(value) ? add(value) : stop("a number beyond what can be stored");
    }
    bool string(string_t& value) override {
        return value.size() > limits_.longest_string
                   ? stop("a text longer than " + std::to_string(limits_.longest_string) +
                          " bytes; shorten it")
                   : add(std::move(value));
    }
    bool binary(binary_t&) override { return stop("binary data; write plain JSON"); }
    bool start_object(std::size_t) override { return open(json::object()); }
    bool start_array(std::size_t) override { return open(json::array()); }
    bool end_object() override { return close(); }
    bool end_array() override { return close(); }

    bool key(string_t& name) override {
        if (name.size() > limits_.longest_string) {
            return stop("a key longer than " + std::to_string(limits_.longest_string) + " bytes");
        }
        if (open_.back()->contains(name)) {
            return stop("the key \"" + name.substr(0, 40) +
                        "\" twice in one object; keep one of them");
        }
        key_ = std::move(name);
        return true;
    }

    bool parse_error(std::size_t position,
                     const std::string&,
                     const nlohmann::detail::exception& problem) override {
        position_ = position;
        problem_ = problem.id == 406 ? "a number beyond what can be stored"
                                     : "something that is not JSON; compare it with the example";
        return false;
    }

    [[nodiscard]] json take() { return std::move(root_); }
    [[nodiscard]] const std::string& problem() const { return problem_; }
    [[nodiscard]] std::size_t position() const { return position_; }

private:
    bool stop(std::string problem) {
        problem_ = std::move(problem);
        return false;
    }

    json* place(json value) {
        if (open_.empty()) {
            root_ = std::move(value);
            return &root_;
        }
        json& parent = *open_.back();
        if (parent.size() >= limits_.most_items) {
            stop("more than " + std::to_string(limits_.most_items) + " items in one list");
            return nullptr;
        }
        if (parent.is_array()) {
            parent.push_back(std::move(value));
            return &parent.back();
        }
        return &(parent[key_] = std::move(value));
    }

    bool add(json value) { return place(std::move(value)) != nullptr; }

    bool open(json value) {
        if (open_.size() >= limits_.deepest) {
            return stop("more than " + std::to_string(limits_.deepest) +
                        " lists inside each other; no file of this kind needs that");
        }
        json* const opened = place(std::move(value));
        if (opened == nullptr) {
            return false;
        }
        open_.push_back(opened);
        return true;
    }

    bool close() {
        open_.pop_back();
        return true;
    }

    JsonLimits limits_;
    json root_;
    // Pointers stay good: a parent gets no new item while a child of it is open.
    std::vector<json*> open_;
    std::string key_;
    std::string problem_;
    std::size_t position_ = 0;
};

/// Iterator that counts how far the parser has come, so that our own refusals have a place too.
struct CountingIterator {
    using iterator_category = std::input_iterator_tag; // NOLINT(readability-identifier-naming): std
    using value_type = char;                           // NOLINT(readability-identifier-naming): std
    using difference_type = std::ptrdiff_t;            // NOLINT(readability-identifier-naming): std
    using pointer = const char*;                       // NOLINT(readability-identifier-naming): std
    using reference = const char&;                     // NOLINT(readability-identifier-naming): std

    const char* at = nullptr;
    std::size_t* seen = nullptr;

    reference operator*() const { return *at; }
    CountingIterator& operator++() {
        ++at;
        ++*seen;
        return *this;
    }
    CountingIterator operator++(int) {
        CountingIterator before = *this;
        ++*this;
        return before;
    }
    friend bool operator==(const CountingIterator& a, const CountingIterator& b) {
        return a.at == b.at;
    }
};

/// What may stand second in a character of UTF-8 (RFC 3629, section 4): no overlong forms, no surrogates, nothing beyond
/// U+10FFFF.
bool second_fits(unsigned char first, unsigned char second) {
    switch (first) {
    case 0xE0:
        return second >= 0xA0;
    case 0xED:
        return second < 0xA0;
    case 0xF0:
        return second >= 0x90;
    case 0xF4:
        return second < 0x90;
    default:
        return true;
    }
}

/// Bytes of the UTF-8 character that the text begins with; 0 when it is broken.
std::size_t character_bytes(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    std::size_t length = 0;
    if (byte(0) < 0x80) {
        length = 1;
    } else if (byte(0) >= 0xC2 && byte(0) < 0xF5) {
        length = byte(0) < 0xE0 ? 2 : byte(0) < 0xF0 ? 3 : 4;
    }
    if (length > text.size()) {
        return 0;
    }
    for (std::size_t k = 1; k < length; ++k) {
        if ((byte(k) & 0xC0U) != 0x80U) {
            return 0;
        }
    }
    return length > 1 && !second_fits(byte(0), byte(1)) ? 0 : length;
}

/// C0 and C1 control characters and delete, the latter as UTF-8 (C2 80 to C2 9F).
bool is_control(std::string_view text) {
    const auto lead = static_cast<unsigned char>(text[0]);
    return lead < 0x20 || lead == 0x7F ||
           (lead == 0xC2 && text.size() > 1 && static_cast<unsigned char>(text[1]) < 0xA0);
}

/// Marks, embeddings, overrides and isolates of the bidirectional algorithm (Unicode TR9), line and paragraph separators:
/// U+061C, U+200E, U+200F, U+2028 to U+202E, U+2066 to U+2069.
bool turns_writing(std::string_view text) {
    const std::string_view here = text.substr(0, 3);
    const auto third = [&] { return static_cast<unsigned char>(here[2]); };
    if (text.substr(0, 2) == "\xD8\x9C") {
        return true;
    }
    if (here.size() < 3 || here[0] != '\xE2') {
        return false;
    }
    return (here[1] == '\x80' &&
            ((third() >= 0xA8 && third() <= 0xAE) || third() == 0x8E || third() == 0x8F)) ||
           (here[1] == '\x81' && third() >= 0xA6 && third() <= 0xA9);
}

std::string line_and_column(std::string_view text, std::size_t position) {
    std::size_t line = 1;
    std::size_t column = 1;
    for (const char c : text.substr(0, position > 0 ? position - 1 : 0)) {
        column = c == '\n' ? 1 : column + 1;
        line += c == '\n' ? 1 : 0;
    }
    return "line " + std::to_string(line) + ", column " + std::to_string(column);
}

} // namespace

bool is_utf8(std::string_view text) {
    while (!text.empty()) {
        const std::size_t length = character_bytes(text);
        if (length == 0) {
            return false;
        }
        text.remove_prefix(length);
    }
    return true;
}

std::string plain_line(std::string_view text) {
    std::string plain;
    while (!text.empty()) {
        const std::size_t length = character_bytes(text);
        if (length == 0 || is_control(text) || turns_writing(text)) {
            plain += '?';
        } else {
            plain += text.substr(0, length);
        }
        text.remove_prefix(std::max<std::size_t>(length, 1));
    }
    return plain;
}

std::string plain_paragraphs(std::string_view text) {
    std::string plain;
    while (true) {
        const std::size_t end = text.find('\n');
        std::string_view line = text.substr(0, end);
        if (end != std::string_view::npos && !line.empty() && line.back() == '\r') {
            line.remove_suffix(1);
        }
        plain += plain_line(line);
        if (end == std::string_view::npos) {
            return plain;
        }
        plain += '\n';
        text.remove_prefix(end + 1);
    }
}

Result<nlohmann::json>
parse_guarded_json(std::string_view text, const std::string& where, const JsonLimits& limits) {
    GuardedBuilder builder(limits);
    std::size_t seen = 0;
    const CountingIterator begin{text.data(), &seen};
    const CountingIterator end{text.data() + text.size(), &seen};
    if (json::sax_parse(begin, end, &builder)) {
        return builder.take();
    }
    const std::size_t position = builder.position() > 0 ? builder.position() : seen;
    return failure(where + ", " + line_and_column(text, position) + ": there is " +
                   plain_line(builder.problem()) + ".");
}

} // namespace bellhand::datafile
