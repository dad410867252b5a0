#include "drill/exercise_file.h"

#include "audio/exact_math.h"
#include "core/assets.h"
#include "drill/words.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace bellhand;
using namespace bellhand::drill;
using nlohmann::json;

namespace {

json minimal() {
    return {{"format", "bellhand exercises"},
            {"version", 1},
            {"exercise", {{"id", "a"}, {"title", "A"}, {"steps", {{{"note", "C4"}}}}}}};
}

std::string complaint(const json& document) {
    const auto read = parse_exercises(document.dump(), "file");
    return read ? "" : read.error().message;
}

/// An exercise by chance, everything in it allowed.
Exercise any_exercise(audio::exact::Random& random, int number) {
    const auto choose = [&random](int count) { return static_cast<int>(random.uniform() * count); };
    const auto chart = horn::hand_chart();
    const auto any_note = [&] {
        return chart[static_cast<std::size_t>(choose(static_cast<int>(chart.size())))].written;
    };
    Exercise exercise;
    exercise.id = "made-" + std::to_string(number);
    exercise.title = choose(2) == 0 ? "Übung \"x\"" : "B♭ \\ slow";
    exercise.purpose = choose(2) == 0 ? "" : "For the hand.";
    exercise.family = choose(2) == 0 ? "" : "hand";
    exercise.quarters_per_minute = choose(2) == 0 ? 0.0 : 20.0 + 280.0 * random.uniform();
    exercise.metre = choose(2) == 0 ? Metre{1 + choose(16), 4} : Metre{1 + choose(32), 8};
    exercise.repetitions = 1 + choose(100);
    exercise.even = choose(2) == 0;
    if (choose(2) == 0) {
        exercise.root = any_note();
        exercise.measure = static_cast<Measure>(choose(2));
    }
    if (choose(3) == 0) {
        exercise.crooks = {-7, -choose(7), -8 - choose(9)};
        exercise.each_crook = choose(2) == 0;
    }
    if (choose(4) == 0) {
        exercise.printed_for = -choose(17);
    }
    const int steps = 1 + choose(20);
    for (int i = 0; i < steps; ++i) {
        Step step;
        step.quarters = choose(3) == 0 ? 0.0 : 64.0 * random.uniform();
        if (i > 0 && choose(6) == 0) {
            exercise.steps.push_back(step);
            continue;
        }
        step.written = any_note();
        if (choose(2) == 0) {
            step.written = horn::Note{59, 0}; // B3, or as a C flat
            step.written = *horn::parse_note(choose(2) == 0 ? "Cb4" : "E#4");
        }
        step.partial = choose(3) == 0 ? std::optional(1 + choose(24)) : std::nullopt;
        step.hand =
            choose(3) == 0 ? std::optional(static_cast<horn::Hand>(choose(5))) : std::nullopt;
        step.slurred = i > 0 && exercise.steps.back().written && choose(2) == 0;
        step.hand_first = choose(5) == 0;
        step.dynamic = static_cast<Dynamic>(choose(7));
        step.hairpin = static_cast<Hairpin>(choose(4));
        step.manner = static_cast<Manner>(choose(4));
        if (step.manner == Manner::lip_trill || step.manner == Manner::hand_trill) {
            step.other = any_note();
        }
        if (choose(4) == 0) {
            step.target_offset_cents = 200.0 * random.uniform() - 100.0;
            step.tolerance_cents = 0.5 + 99.0 * random.uniform();
        }
        exercise.steps.push_back(step);
    }
    return exercise;
}

bool same(const Step& a, const Step& b) {
    return a.written == b.written && a.partial == b.partial && a.hand == b.hand &&
           a.quarters == b.quarters && a.slurred == b.slurred && a.hand_first == b.hand_first &&
           a.dynamic == b.dynamic && a.hairpin == b.hairpin && a.manner == b.manner &&
           a.other == b.other && a.target_offset_cents == b.target_offset_cents &&
           a.tolerance_cents == b.tolerance_cents;
}

bool same(const Exercise& a, const Exercise& b) {
    return a.id == b.id && a.title == b.title && a.purpose == b.purpose && a.family == b.family &&
           a.quarters_per_minute == b.quarters_per_minute && a.metre == b.metre &&
           a.repetitions == b.repetitions && a.even == b.even && a.measure == b.measure &&
           a.root == b.root && a.crooks == b.crooks && a.each_crook == b.each_crook &&
           a.printed_for == b.printed_for &&
           std::equal(a.steps.begin(),
                      a.steps.end(),
                      b.steps.begin(),
                      b.steps.end(),
                      [](const Step& x, const Step& y) { return same(x, y); });
}

/// Objects of a schema by their path in a document, "/exercises/0/steps/0".
void collect(const json& schema,
             const json& node,
             const std::string& path,
             std::map<std::string, const json*>& objects) {
    if (node.contains("$ref")) {
        collect(schema, schema["$defs"][node["$ref"].get<std::string>().substr(8)], path, objects);
    }
    if (node.contains("properties")) {
        CHECK_MESSAGE(node["additionalProperties"] == false, path);
        objects[path] = &node;
        for (const auto& [name, inner] : node["properties"].items()) {
            collect(schema, inner, path + "/" + name, objects);
        }
    }
    if (node.contains("items")) {
        collect(schema, node["items"], path + "/0", objects);
    }
}

std::set<std::string> known_to_reader(const std::string& sentence) {
    const std::string before = "correct it to one of ";
    const std::size_t at = sentence.find(before);
    std::set<std::string> keys;
    std::string key;
    REQUIRE_MESSAGE(at != std::string::npos, sentence);
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

} // namespace

TEST_SUITE("drill/exercise_file") {
    TEST_CASE("what was written is read again, every field of it") {
        audio::exact::Random random(11);
        for (int i = 0; i < 300; ++i) {
            ExerciseFile file;
            file.title = i % 2 == 0 ? "" : "Collection";
            const int count = 1 + i % 4;
            for (int number = 0; number < count; ++number) {
                file.exercises.push_back(any_exercise(random, number));
            }
            const std::string text = exercises_text(file);
            const auto again = parse_exercises(text, "file");
            REQUIRE_MESSAGE(again.has_value(), (again ? "" : again.error().message));
            CHECK(again->title == file.title);
            REQUIRE(again->exercises.size() == file.exercises.size());
            for (std::size_t at = 0; at < file.exercises.size(); ++at) {
                CHECK(same(again->exercises[at], file.exercises[at]));
            }
            CHECK(exercises_text(*again) == text);
        }
    }

    TEST_CASE("every object of the schema has exactly the reader's keys") {
        std::ifstream stream(assets_folder() / "schema" / "exercise.schema.json");
        const json schema = json::parse(stream);
        std::map<std::string, const json*> objects;
        collect(schema, schema, "", objects);
        REQUIRE(objects.count("/exercises/0/steps/0") == 1);
        REQUIRE(objects.count("/exercise/steps/0") == 1);
        for (const auto& [path, node] : objects) {
            CAPTURE(path);
            json document = minimal();
            if (path.rfind("/exercises", 0) == 0) {
                document["exercises"] = json::array({document["exercise"]});
                document.erase("exercise");
            }
            document[json::json_pointer(path)]["kee"] = 1;
            std::set<std::string> keys;
            for (const auto& [name, inner] : (*node)["properties"].items()) {
                keys.insert(name);
            }
            CHECK(known_to_reader(complaint(document)) == keys);
        }
    }

    TEST_CASE("both sides of every limit and every word of the schema") {
        std::ifstream stream(assets_folder() / "schema" / "exercise.schema.json");
        const json schema = json::parse(stream);
        int limits = 0;
        int words = 0;
        for (const char* const kind : {"exercise", "step"}) {
            for (const auto& [name, field] : schema["$defs"][kind]["properties"].items()) {
                const std::string place =
                    std::string(kind) == "step" ? "/exercise/steps/0/" : "/exercise/";
                const json::json_pointer at(place + name);
                json document = minimal();
                CAPTURE(name);
                if (name == "rest") {
                    document["exercise"]["steps"] = {{{"rest", 1}}, {{"note", "C4"}}};
                }
                document["exercise"]["root"] = "C4"; // which the measure asks for
                for (const auto& word : field.value("enum", json::array())) {
                    document[at] = word;
                    document["exercise"]["steps"][0].erase("other");
                    if (word.get<std::string>().find("trill") != std::string::npos) {
                        document["exercise"]["steps"][0]["other"] = "D4";
                    }
                    CHECK(complaint(document) == "");
                    ++words;
                }
                if (field.contains("enum")) {
                    document[at] = "somehow";
                    CHECK(complaint(document) != "");
                }
                for (const char* const limit : {"minimum", "maximum"}) {
                    if (!field.contains(limit)) {
                        continue;
                    }
                    document[at] = field[limit];
                    CHECK(complaint(document) == "");
                    document[at] = field[limit].get<double>() + (limit[1] == 'i' ? -1 : 1);
                    CHECK(complaint(document) != "");
                    ++limits;
                }
            }
        }
        CHECK(limits == 18);
        CHECK(words == 22);
    }

    TEST_CASE("what does not fit together is refused in one sentence that says where") {
        const auto with = [](const char* place, json value) {
            json document = minimal();
            document[json::json_pointer(place)] = std::move(value);
            return complaint(document);
        };
        CHECK(with("/exercise/steps/0/manner", "lip-trill").find("\"other\"") != std::string::npos);
        CHECK(with("/exercise/steps/0/other", "D4").find("trill") != std::string::npos);
        CHECK(with("/exercise/steps/0/slurred", true).find("step 1, slurred") != std::string::npos);
        CHECK(with("/exercise/steps/0/note", "H4").find("write a note") != std::string::npos);
        CHECK(with("/exercise/steps/0/note", "C9").find("no natural horn") != std::string::npos);
        CHECK(with("/exercise/steps", json::array()).find("no note") != std::string::npos);
        CHECK(with("/exercise/steps", {{{"rest", 1}}}).find("no note") != std::string::npos);
        CHECK(with("/exercise/steps/0/rest", 1).find("is a rest") != std::string::npos);
        CHECK(with("/exercise/measure", "chord").find("\"root\"") != std::string::npos);
        CHECK(with("/exercise/crooks", {"F", "F"}).find("twice") != std::string::npos);
        CHECK(with("/exercise/crooks", {"C"}).find("alto or basso") != std::string::npos);
        CHECK(with("/exercise/each_crook", true).find("at least two") != std::string::npos);
        CHECK(with("/exercise/eighths_in_bar", 33).find("eighths_in_bar") != std::string::npos);
        json two_metres = minimal();
        two_metres["exercise"]["quarters_in_bar"] = 3;
        two_metres["exercise"]["eighths_in_bar"] = 6;
        CHECK(complaint(two_metres).find("leave out one") != std::string::npos);
        CHECK(with("/exercise/id", "Long Tones").find("small letters") != std::string::npos);
        CHECK(with("/exercise/quarters_per_minute", 7).find("slower than 20") != std::string::npos);
        CHECK(with("/exercises", json::array()).find("either") != std::string::npos);
        CHECK(with("/version", 2).find("update the program") != std::string::npos);
        json twice = minimal();
        twice["exercises"] = {twice["exercise"], twice["exercise"]};
        twice.erase("exercise");
        CHECK(complaint(twice).find("of an earlier one") != std::string::npos);
        CHECK(complaint(minimal()) == "");
    }

    TEST_CASE("a file that is too large is not read") {
        CHECK_FALSE(parse_exercises(std::string(kLargestExerciseFile_bytes + 1, ' '), "file"));
        CHECK_FALSE(load_exercises("/dev/zero"));
    }
}
