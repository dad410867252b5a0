#include "instrument/planner/set_list.h"

#include "core/files.h"
#include "datafile/json_text.h"
#include "instrument/profile_file.h"

namespace bellhand::instrument {

namespace {

using nlohmann::json;

constexpr NumberRange kA4Range{380.0, 470.0, "hertz", "", 0.0};
constexpr NumberRange kTemperatureRange{-10.0, 45.0, "degrees Celsius", "", 0.0};

Number read_number(const json& item, const std::string& place, FileProblem& problem) {
    Fields fields(
        item, place, problem, {"name", "key", "rest_before_s", "a4_hz", "temperature_c", "note"});
    fields.require("key", "say for which crook the part is written, such as \"Eb\"");
    Number number;
    number.name = fields.text("name");
    number.key = read_key(fields, "key").value_or(horn::Crook{});
    number.rest_before_s =
        fields.number("rest_before_s", {0.0, 86400.0, "seconds", "milliseconds", 0.001});
    number.a4_hz = fields.number("a4_hz", kA4Range);
    number.temperature_c = fields.number("temperature_c", kTemperatureRange);
    number.note = fields.text("note");
    return number;
}

} // namespace

Result<SetList> parse_set_list(std::string_view text, const std::string& where) {
    if (text.size() > kLargestSetList_bytes) {
        return failure(where + " is too large: a set list has at most " +
                       std::to_string(kLargestSetList_bytes) + " bytes.");
    }
    const auto document = datafile::parse_guarded_json(text, where);
    if (!document) {
        return tl::unexpected(document.error());
    }
    FileProblem problem{where, std::nullopt};
    SetList list;
    Fields top(
        *document,
        "",
        problem,
        {"$schema", "format", "version", "title", "note", "a4_hz", "temperature_c", "numbers"});
    datafile::check_head(top, kSetListFormat, kSetListVersion);
    top.require("numbers", "list what is played, in order");
    list.title = top.text("title");
    list.note = top.text("note");
    list.a4_hz = top.number("a4_hz", kA4Range).value_or(list.a4_hz);
    list.temperature_c = top.number("temperature_c", kTemperatureRange);
    if (const json* const numbers = top.list("numbers", kMostNumbers)) {
        for (const json& item : *numbers) {
            list.numbers.push_back(
                read_number(item, "number " + std::to_string(list.numbers.size() + 1), problem));
            if (list.numbers.back().name.empty()) {
                list.numbers.back().name = std::to_string(list.numbers.size());
            }
        }
        if (numbers->empty()) {
            problem.refuse("numbers", "is empty; list at least one number with its key");
        }
    }
    if (problem.found()) {
        return failure(*problem.sentence);
    }
    return list;
}

Result<SetList> load_set_list(const std::filesystem::path& path) {
    return read_small_file(path, kLargestSetList_bytes).and_then([&](const std::string& text) {
        return parse_set_list(text, path.string());
    });
}

} // namespace bellhand::instrument
