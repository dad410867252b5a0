// The published schema and the reader of homework.json know the same keys and limits.
#include "core/assets.h"
#include "drill/judgement.h"
#include "homework/homework.h"
#include "support/set_work.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace bellhand;
using nlohmann::json;

namespace {

json read(const std::filesystem::path& path) {
    std::ifstream file(path);
    REQUIRE(file.good());
    return json::parse(file);
}

const json& schema() {
    static const json kSchema = read(assets_folder() / "schema" / "homework.schema.json");
    return kSchema;
}

/// Fields of a schema's objects by their path in a document, "/parts/0/crook"; the exercise has a schema of its own.
void collect(const json& node, const std::string& path, std::map<std::string, json>& objects) {
    if (node.contains("$ref")) {
        const std::string ref = node["$ref"].get<std::string>();
        if (ref.rfind("#/$defs/", 0) == 0) {
            collect(schema()["$defs"][ref.substr(8)], path, objects);
        }
        return;
    }
    if (node.contains("properties")) {
        CHECK_MESSAGE(node["additionalProperties"] == false, path);
        objects[path] = node["properties"];
        for (const auto& [name, inner] : node["properties"].items()) {
            collect(inner, path + "/" + name, objects);
        }
    }
    if (node.contains("items")) {
        collect(node["items"], path + "/0", objects);
    }
}

std::map<std::string, json> objects() {
    std::map<std::string, json> found;
    collect(schema(), "", found);
    return found;
}

/// A homework in which every object of the format is there once.
json whole() {
    homework::Homework homework = test::set_work();
    homework.returned.emplace();
    homework::Attempt attempt;
    attempt.steps = {test::judged(0, {drill::Fault::flat})};
    homework.returned->attempts = {attempt};
    homework.returned->takes.resize(1);
    homework.comments.resize(1);
    homework.comments[0].text = "Listen.";
    json document = json::parse(homework::homework_text(homework));
    document["returned"]["takes"] = json::array({{{"why", "x"}}});
    return document;
}

json& at(json& document, const std::string& path) {
    return path.empty() ? document : document.at(json::json_pointer(path));
}

bool readable(const json& document) {
    return homework::parse_homework(document.dump(), "file").has_value();
}

std::set<std::string> keys_of(const json& object) {
    std::set<std::string> keys;
    for (const auto& [name, value] : object.items()) {
        keys.insert(name);
    }
    return keys;
}

/// The keys the reader says it knows when it meets one that it does not.
std::set<std::string> known_to_reader(const std::string& path) {
    json document = whole();
    at(document, path)["kee"] = 1;
    const auto result = homework::parse_homework(document.dump(), "file");
    REQUIRE_FALSE(result.has_value());
    const std::string& sentence = result.error().message;
    INFO(path << ": " << sentence);
    const std::string before = "correct it to one of ";
    const std::size_t place = sentence.find(before);
    REQUIRE(place != std::string::npos);
    std::set<std::string> keys;
    std::string key;
    for (const char c : sentence.substr(place + before.size())) {
        if (c == ',' || c == '.') {
            keys.insert(key);
            key.clear();
        } else if (c != ' ') {
            key += c;
        }
    }
    return keys;
}

} // namespace

TEST_SUITE("homework/schema") {
    TEST_CASE("a take or an attempt that cannot be read is named by its number, from 1") {
        for (const char* const what : {"take", "attempt"}) {
            json document = whole();
            json& list = document["returned"][std::string(what) + "s"];
            list.push_back(5);
            const auto refused = homework::parse_homework(document.dump(), "file");
            REQUIRE_FALSE(refused);
            CAPTURE(refused.error().message);
            CHECK(refused.error().message.find(std::string(what) + " 2") != std::string::npos);
        }
    }

    TEST_CASE("comments are the student's or the teacher's, and nobody else's") {
        for (const auto& [who, taken] :
             {std::pair{"student", true}, std::pair{"teacher", true}, std::pair{"nobody", false}}) {
            json document = whole();
            REQUIRE(!document["comments"].empty());
            document["comments"][0]["who"] = who;
            CAPTURE(who);
            CHECK(readable(document) == taken);
        }
    }

    TEST_CASE("every object of the schema has exactly the reader's keys") {
        REQUIRE(readable(whole()));
        const auto all = objects();
        CHECK(all.size() == 7);
        for (const auto& [path, fields] : all) {
            CAPTURE(path);
            CHECK(known_to_reader(path) == keys_of(fields));
        }
    }

    TEST_CASE("what the schema requires the reader misses, and nothing else") {
        for (const auto& [path, fields] : objects()) {
            std::set<std::string> required;
            for (const auto& name : path.empty() ? schema()["required"] : json::array()) {
                required.insert(name.get<std::string>());
            }
            for (const auto& [name, node] : schema()["$defs"].items()) {
                if (node["properties"] == fields) {
                    for (const auto& field : node["required"]) {
                        required.insert(field.get<std::string>());
                    }
                }
            }
            for (const std::string& name : keys_of(fields)) {
                json document = whole();
                json& object = at(document, path);
                if (!object.contains(name) || name == "attempts") { // takes name one
                    continue;
                }
                if (name == "takes" || name == "returned") {
                    document.erase("comments");
                }
                object.erase(name);
                CAPTURE(path);
                CAPTURE(name);
                CHECK(readable(document) == (required.count(name) == 0));
            }
        }
    }

    TEST_CASE("both sides of every limit of number and length") {
        int checked = 0;
        for (const auto& [path, fields] : objects()) {
            for (const auto& [name, field] : fields.items()) {
                CAPTURE(path);
                CAPTURE(name);
                const auto with = [&](const json& value) {
                    json document = whole();
                    at(document, path)[name] = value;
                    return readable(document);
                };
                if (field.contains("minimum")) {
                    const bool whole_number = field["type"] == "integer";
                    const double least = field["minimum"].get<double>();
                    const double most = field["maximum"].get<double>();
                    const auto as = [&](double value) {
                        return whole_number ? json(static_cast<int>(value)) : json(value);
                    };
                    CHECK_FALSE(with(as(least - (whole_number ? 1.0 : 0.01))));
                    CHECK_FALSE(with(as(most + (whole_number ? 1.0 : 0.01))));
                    CHECK_FALSE(with("x"));
                    // References must lead somewhere; that is looked at elsewhere.
                    if (name != "part" && name != "attempt" && name != "take" &&
                        name.find("_step") == std::string::npos) {
                        CHECK(with(as(least)));
                        CHECK(with(as(most)));
                    }
                    ++checked;
                } else if (field.contains("maxLength") && !field.contains("pattern") &&
                           (name == "words" || name == "title" || name == "teacher" ||
                            name == "student" || name == "text" || name == "why" ||
                            name == "log_file")) {
                    const auto longest = field["maxLength"].get<std::size_t>();
                    CHECK(with(std::string(longest, 'x')));
                    CHECK_FALSE(with(std::string(longest + 1, 'x')));
                    ++checked;
                }
            }
        }
        CHECK(checked >= 30);
    }

    TEST_CASE(
        "a temperament's root and anchor come and go with the homework, and old files lack them") {
        homework::Homework set = test::set_work();
        set.temperament = "just";
        const std::string plain = homework::homework_text(set);
        for (const char* key : {"\"root\"", "\"anchor\"", "\"enharmonic\""}) {
            CHECK(plain.find(key) == std::string::npos);
        }
        CHECK(homework::parse_homework(plain, "file")->footing == horn::Footing{});
        set.footing = {3, horn::Anchor::a, horn::Enharmonic::flat};
        const auto again = homework::parse_homework(homework::homework_text(set), "file");
        REQUIRE(again);
        CHECK(again->footing == set.footing);
        const horn::Tuning tuning = homework::tuning_of(*again, again->tasks[0], {});
        CHECK(tuning.footing == set.footing);
        for (const char* key : {"root", "anchor", "enharmonic"}) {
            json document = whole();
            document[key] = "x";
            CHECK_FALSE(readable(document));
        }
    }

    TEST_CASE("the schema names every fault and hand position") {
        const json& step = schema()["$defs"]["step"]["properties"];
        std::set<std::string> faults;
        for (const drill::Fault fault : drill::all_faults()) {
            faults.insert(drill::fault_id(fault));
        }
        CHECK(step["faults"]["items"]["enum"].get<std::set<std::string>>() == faults);
        CHECK(step["hand"]["enum"].size() == static_cast<std::size_t>(horn::kHandDegrees));
    }

    TEST_CASE("the homework that comes with the program can be given") {
        std::ifstream file(assets_folder() / "homework" / "demo_week.json");
        const std::string text{std::istreambuf_iterator<char>(file), {}};
        const auto homework = homework::parse_homework(text, "demo_week.json");
        REQUIRE(homework);
        CHECK(homework->tasks.size() >= 3);
        CHECK(homework::problems(*homework).empty());
    }
}
