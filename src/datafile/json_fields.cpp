#include "datafile/json_fields.h"

#include "datafile/json_text.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <utility>

namespace bellhand::datafile {

using nlohmann::json;

std::string plain_number(double value) {
    char text[40];
    std::snprintf(text, sizeof text, "%.6g", value);
    return text;
}

void FileProblem::refuse(const std::string& place, const std::string& what) {
    if (!sentence) {
        sentence = where + ": " + plain_line((place.empty() ? "" : place + " ") + what) + ".";
    }
}

Fields::Fields(const json& value,
               std::string place,
               FileProblem& problem,
               std::initializer_list<std::string_view> known)
    : place_(std::move(place)), problem_(problem) {
    if (!value.is_object()) {
        problem_.refuse(place_.empty() ? "the file" : place_,
                        "must be an object in braces with named fields");
        return;
    }
    object_ = &value;
    for (const auto& item : value.items()) {
        if (std::find(known.begin(), known.end(), item.key()) == known.end()) {
            std::string sentence = "has a key \"" + item.key().substr(0, 40) +
                                   "\" that nothing here is called; correct it to one of";
            for (const std::string_view name : known) {
                sentence += (name == *known.begin() ? " " : ", ") + std::string(name);
            }
            problem_.refuse(place_.empty() ? "the file" : place_, sentence);
            return;
        }
    }
}

std::string Fields::place_of(std::string_view key) const {
    return place_.empty() ? std::string(key) : place_ + ", " + std::string(key);
}

const json* Fields::find(std::string_view key) const {
    if (object_ == nullptr || problem_.found()) {
        return nullptr;
    }
    const auto found = object_->find(key);
    return found == object_->end() ? nullptr : &*found;
}

bool Fields::has(std::string_view key) const {
    return find(key) != nullptr;
}

void Fields::require(std::string_view key, const std::string& why) {
    if (object_ != nullptr && !has(key)) {
        problem_.refuse(place_.empty() ? "the file" : place_,
                        "lacks \"" + std::string(key) + "\": " + why);
    }
}

std::optional<double> Fields::number(std::string_view key, const NumberRange& range) {
    const json* const value = find(key);
    if (value == nullptr) {
        return std::nullopt;
    }
    if (!value->is_number()) {
        problem_.refuse(place_of(key),
                        std::string("must be a number without quotes, in ") + range.unit);
        return std::nullopt;
    }
    const double number = value->get<double>();
    if (number >= range.lowest && number <= range.highest) {
        return number;
    }
    std::string sentence = "is " + plain_number(number) + ", but " + range.unit + " from " +
                           plain_number(range.lowest) + " to " + plain_number(range.highest) +
                           " are expected";
    if (number > range.highest && range.finer_in_unit > 0.0) {
        sentence += "; " + plain_number(number) + " " + range.finer + " would be written " +
                    plain_number(number * range.finer_in_unit);
    }
    problem_.refuse(place_of(key), sentence);
    return std::nullopt;
}

std::optional<int> Fields::whole(std::string_view key, int lowest, int highest) {
    const json* const value = find(key);
    if (value == nullptr) {
        return std::nullopt;
    }
    const double number = value->is_number() ? value->get<double>() : std::nan("");
    if (!(number >= lowest && number <= highest) || number != std::floor(number)) {
        problem_.refuse(place_of(key),
                        "must be a whole number from " + std::to_string(lowest) + " to " +
                            std::to_string(highest));
        return std::nullopt;
    }
    return static_cast<int>(number);
}

std::optional<bool> Fields::truth(std::string_view key) {
    const json* const value = find(key);
    if (value == nullptr) {
        return std::nullopt;
    }
    if (!value->is_boolean()) {
        problem_.refuse(place_of(key), "must be true or false without quotes");
        return std::nullopt;
    }
    return value->get<bool>();
}

std::string Fields::raw_text(std::string_view key) {
    const json* const value = find(key);
    if (value == nullptr) {
        return {};
    }
    if (!value->is_string()) {
        problem_.refuse(place_of(key), "must be text in quotes");
        return {};
    }
    return value->get<std::string>();
}

std::string Fields::text(std::string_view key) {
    std::string text = raw_text(key);
    if (plain_line(text) != text) {
        problem_.refuse(place_of(key), "contains control characters; write it in one plain line");
        return {};
    }
    return text;
}

std::string Fields::paragraphs(std::string_view key) {
    const std::string text = raw_text(key);
    std::string plain = plain_paragraphs(text);
    if (std::count(plain.begin(), plain.end(), '?') != std::count(text.begin(), text.end(), '?')) {
        problem_.refuse(place_of(key), "contains control characters; write plain lines");
        return {};
    }
    return plain;
}

const json* Fields::list(std::string_view key, std::size_t most) {
    const json* const value = find(key);
    if (value == nullptr) {
        return nullptr;
    }
    if (!value->is_array()) {
        problem_.refuse(place_of(key), "must be a list in square brackets");
        return nullptr;
    }
    if (value->size() > most) {
        problem_.refuse(place_of(key),
                        "has " + std::to_string(value->size()) + " entries; at most " +
                            std::to_string(most) + " are read");
        return nullptr;
    }
    return value;
}

int check_head(Fields& top, const char* format, int newest_version) {
    top.require("format", std::string(R"(such a file begins with "format": ")") + format + "\"");
    top.require("version", "this program writes version " + std::to_string(newest_version));
    const std::string found = top.text("format");
    if (!top.problem().found() && found != format) {
        top.problem().refuse("format",
                             std::string("is not \"") + format +
                                 "\"; this looks like another kind of file");
    }
    const auto version = top.whole("version", 1, 1'000'000);
    if (version && *version > newest_version) {
        top.problem().refuse("version",
                             "is " + std::to_string(*version) +
                                 ", newer than this program reads (" +
                                 std::to_string(newest_version) + "); update the program");
    }
    return version.value_or(1);
}

} // namespace bellhand::datafile
