// The published schemas and the readers know the same keys.
#include "core/assets.h"
#include "instrument/planner/set_list.h"
#include "instrument/profile.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace bellhand;
using namespace bellhand::instrument;
using nlohmann::json;

namespace {

json read(const std::filesystem::path& path) {
    std::ifstream file(path);
    REQUIRE(file.good());
    return json::parse(file);
}

/// Objects of a schema by their path in a document, "/terminal_crooks/0/pitches/0".
void collect(const json& schema,
             const json& node,
             const std::string& path,
             std::map<std::string, std::set<std::string>>& objects) {
    if (node.contains("$ref")) {
        const std::string name = node["$ref"].get<std::string>().substr(8);
        collect(schema, schema["$defs"][name], path, objects);
    }
    if (node.contains("properties")) {
        CHECK_MESSAGE(node["additionalProperties"] == false, path);
        for (const auto& [name, inner] : node["properties"].items()) {
            objects[path].insert(name);
            collect(schema, inner, path + "/" + name, objects);
        }
    }
    if (node.contains("items")) {
        collect(schema, node["items"], path + "/0", objects);
    }
}

/// The keys a reader says it knows when it meets one that it does not.
template <typename Parse>
std::set<std::string> known_to_reader(json document, const std::string& path, Parse parse) {
    json* place = &document;
    for (std::size_t at = 1; at < path.size();) {
        const std::size_t end = std::min(path.find('/', at), path.size());
        const std::string step = path.substr(at, end - at);
        if (step == "0") {
            if (!place->is_array() || place->empty()) {
                // What an item needs before the reader looks inside it.
                *place = json::array({{{"name", "n"}}});
                if (path.find("/assemblies/0/") != std::string::npos && step == "0") {
                    *place = json::array({{{"pieces", json::array()}}});
                }
            }
            place = &(*place)[0];
        } else {
            place = &(*place)[step];
        }
        at = end + 1;
    }
    (*place)["kee"] = 1;
    const auto result = parse(document.dump(), "file");
    REQUIRE_FALSE(result.has_value());
    const std::string& sentence = result.error().message;
    INFO(path << ": " << sentence);
    const std::string before = "correct it to one of ";
    const std::size_t at = sentence.find(before);
    REQUIRE(at != std::string::npos);
    std::set<std::string> keys;
    std::string key;
    for (const char c : sentence.substr(at + before.size())) {
        if (c == ',' || c == '.') {
            keys.insert(key);
            key.clear();
        } else if (c != ' ') {
            key += c;
        }
    }
    return keys;
}

const json kProfile = {{"format", "bellhand horn profile"},
                       {"version", 1},
                       {"name", "x"},
                       {"body", {{"length_m", 2.2}, {"plays_without_crook", true}}}};
const json kList = {
    {"format", "bellhand set list"}, {"version", 1}, {"numbers", json::array({{{"key", "F"}}})}};

} // namespace

TEST_SUITE("instrument/schema") {
    TEST_CASE("every object of the profile schema has exactly the reader's keys") {
        const json schema = read(assets_folder() / "schema" / "horn_profile.schema.json");
        std::map<std::string, std::set<std::string>> objects;
        collect(schema, schema, "", objects);
        CHECK(objects.size() >= 20);
        for (const auto& [path, keys] : objects) {
            CAPTURE(path);
            CHECK(known_to_reader(kProfile, path, parse_profile) == keys);
        }
    }

    TEST_CASE("every object of the set list schema has exactly the reader's keys") {
        const json schema = read(assets_folder() / "schema" / "set_list.schema.json");
        std::map<std::string, std::set<std::string>> objects;
        collect(schema, schema, "", objects);
        CHECK(objects.size() == 2);
        for (const auto& [path, keys] : objects) {
            CAPTURE(path);
            CHECK(known_to_reader(kList, path, parse_set_list) == keys);
        }
    }

    TEST_CASE("both sides of every numeric limit in the profile schema") {
        const json schema = read(assets_folder() / "schema" / "horn_profile.schema.json");
        int checked = 0;
        for (const auto& [name, field] : schema["properties"].items()) {
            if (!field.contains("minimum")) {
                continue;
            }
            const bool whole = field["type"] == "integer";
            for (const char* limit : {"minimum", "maximum"}) {
                CAPTURE(name);
                json document = kProfile;
                document[name] = field[limit];
                CHECK(parse_profile(document.dump(), "file").has_value());
                const double outside =
                    field[limit].get<double>() * (limit[1] == 'i' ? 0.99 : 1.01) +
                    (whole ? (limit[1] == 'i' ? -1 : 1) : 0);
                document[name] = outside;
                CHECK_FALSE(parse_profile(document.dump(), "file").has_value());
                ++checked;
            }
        }
        CHECK(checked >= 6);
    }
}
