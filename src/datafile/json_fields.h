#pragma once

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>

#include <nlohmann/json.hpp>

namespace bellhand::datafile {

/// The first thing wrong in a file, as one sentence; later ones are not worth reading before it is put right.
struct FileProblem {
    std::string where; ///< file name
    std::optional<std::string> sentence;

    void refuse(const std::string& place, const std::string& what);
    [[nodiscard]] bool found() const { return sentence.has_value(); }
};

/// What a number in the file may be. `mistaken` tells what is probably meant when it is above `highest`.
struct NumberRange {
    double lowest = 0.0;
    double highest = 0.0;
    const char* unit = "";      ///< "metres"
    const char* finer = "";     ///< unit that is often mistaken for it: "millimetres"
    double finer_in_unit = 0.0; ///< how much one of the finer is: 0.001
};

/// A JSON object read field by field. Keys that are not listed are refused by name: a misspelt key would otherwise be
/// a silent loss. After the first problem every reader returns its fallback.
class Fields {
public:
    Fields(const nlohmann::json& value,
           std::string place,
           FileProblem& problem,
           std::initializer_list<std::string_view> known);

    [[nodiscard]] const std::string& place() const { return place_; }
    [[nodiscard]] std::string place_of(std::string_view key) const;
    [[nodiscard]] bool has(std::string_view key) const;
    /// The raw value, null when absent.
    [[nodiscard]] const nlohmann::json* find(std::string_view key) const;
    /// Says that something is missing and why it is needed.
    void require(std::string_view key, const std::string& why);

    [[nodiscard]] std::optional<double> number(std::string_view key, const NumberRange& range);
    [[nodiscard]] std::optional<int> whole(std::string_view key, int lowest, int highest);
    [[nodiscard]] std::optional<bool> truth(std::string_view key);
    /// Text without control characters, so that it can be shown on a terminal as it is.
    [[nodiscard]] std::string text(std::string_view key);
    /// The same with line feeds: words in paragraphs.
    [[nodiscard]] std::string paragraphs(std::string_view key);
    /// A list, null when absent; refuses anything else and more than `most` entries.
    [[nodiscard]] const nlohmann::json* list(std::string_view key, std::size_t most);

    FileProblem& problem() { return problem_; }

private:
    [[nodiscard]] std::string raw_text(std::string_view key);
    const nlohmann::json* object_ = nullptr;
    std::string place_;
    FileProblem& problem_;
};

/// Checks "format" and "version", which every file of this program begins with.
/// The version; 1 where there is a problem.
int check_head(Fields& top, const char* format, int newest_version);

/// "1.4", "0.35": as people write it.
[[nodiscard]] std::string plain_number(double value);

} // namespace bellhand::datafile
