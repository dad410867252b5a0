#include "desk/pages/compose_page.h"

#include "support/fake_homework_shelf.h"
#include "support/set_work.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

constexpr int kDue = static_cast<int>(HeadField::due);
constexpr int kPitch = static_cast<int>(HeadField::pitch);

/// A page with three exercises to choose from, and what is kept of it.
struct Composing {
    test::FakeHomeworkShelf shelf;
    ComposePage page{shelf};

    explicit Composing(const homework::Homework& draft = {},
                       const std::optional<homework::Homework>& before = std::nullopt) {
        std::vector<drill::Exercise> exercises;
        for (const char* const title : {"Evening walk", "Morning walk", "Long tones"}) {
            drill::Exercise exercise = test::four_bars();
            exercise.title = title;
            exercises.push_back(exercise);
        }
        exercises[2].steps[0].quarters = 0.0; // as long as one likes: no bars
        page.begin(draft, before, exercises, shelf.today());
    }
    Composing& press(Key key, bool shift = false) {
        Press press;
        press.key = key;
        press.shift = shift;
        page.press(press);
        return *this;
    }
    Composing& type(const char* words) {
        for (const char* c = words; *c != '\0'; ++c) {
            Press press;
            press.character = static_cast<char32_t>(*c);
            page.press(press);
        }
        return *this;
    }
    Composing& erase(int letters) {
        for (int i = 0; i < letters; ++i) {
            press(Key::backspace);
        }
        return *this;
    }
    /// Adds the first exercise that holds these words.
    Composing& add(const char* words) { return type("e").type(words).press(Key::enter); }
    [[nodiscard]] const homework::Task& task(std::size_t index = 0) const {
        return page.now().tasks.at(index);
    }
    /// Into the fields of the task that was added last, to this one.
    Composing& field(TaskField field) {
        page.choose(ComposePage::kHeadRows + static_cast<int>(page.now().tasks.size()) - 1);
        page.choose_task_field(static_cast<int>(field));
        return *this;
    }
};

} // namespace

TEST_SUITE("gui/compose page") {
    TEST_CASE("a homework is written, field after field, and saved as a file") {
        Composing desk;
        CHECK(desk.page.missing().find("no title") != std::string::npos);
        desk.press(Key::enter).type("Stopped notes, s a u x").press(Key::tab);
        CHECK(desk.page.writing());
        desk.type("A teacher").press(Key::enter);
        CHECK_FALSE(desk.page.writing());
        CHECK(desk.page.now().title == "Stopped notes, s a u x");
        CHECK(desk.page.now().teacher == "A teacher");
        CHECK(desk.page.missing().find("add an exercise") != std::string::npos);
        desk.type("s");
        CHECK(desk.shelf.sets.size() == 1); // the real shelf refuses; see filing
        desk.add("evening");
        CHECK(desk.page.missing().empty());
        desk.type("s");
        REQUIRE(desk.shelf.sets.size() == 2);
        CHECK(desk.shelf.sets[1].tasks.at(0).exercise.title == "Evening walk");
        CHECK(desk.page.take_saved() == "/set/new.hornwork");
        CHECK_FALSE(desk.page.take_saved());
        CHECK_FALSE(desk.shelf.kept_draft); // it is a file now
    }

    TEST_CASE("every change is kept as the draft at once, and nothing written leaves none") {
        Composing desk;
        CHECK_FALSE(desk.shelf.kept_draft);
        desk.press(Key::enter).type("Week").press(Key::enter);
        REQUIRE(desk.shelf.kept_draft);
        CHECK(desk.shelf.kept_draft->title == "Week");
        desk.type("u");
        CHECK(desk.page.now().title.empty());
        CHECK_FALSE(desk.shelf.kept_draft);
        desk.type("U");
        CHECK(desk.shelf.kept_draft->title == "Week");
        desk.press(Key::escape);
        CHECK(desk.page.take_left());
        CHECK(desk.shelf.kept_draft);
    }

    TEST_CASE("a draft that cannot be kept is said, and stays on the page") {
        Composing desk;
        desk.shelf.refuses = "The disk is full.";
        desk.press(Key::enter).type("Week").press(Key::enter);
        CHECK(desk.page.problem() == "The disk is full.");
        CHECK(desk.page.now().title == "Week");
        desk.type("s");
        CHECK(desk.page.problem() == "The disk is full.");
        CHECK_FALSE(desk.page.take_saved());
    }

    TEST_CASE("the draft that waited comes back with one undo") {
        homework::Homework waited;
        waited.title = "begun yesterday";
        Composing desk(test::set_work(2), waited);
        CHECK(desk.page.now().title == "Week one");
        CHECK(desk.page.said().find("U brings that back") != std::string::npos);
        desk.type("u");
        CHECK(desk.page.now().title == "begun yesterday");
        CHECK(desk.shelf.kept_draft->title == "begun yesterday");
    }

    TEST_CASE("steps of one field are one change, those of another are another") {
        Composing desk;
        desk.page.choose(kDue);
        desk.press(Key::right).press(Key::right).press(Key::right);
        CHECK(desk.page.now().due_on == "2026-03-11"); // a week and two days on
        desk.page.choose(kPitch);
        desk.press(Key::left).press(Key::left);
        CHECK(desk.page.now().a4_hz == 438.0);
        desk.type("u");
        CHECK(desk.page.now().a4_hz == 440.0);
        CHECK(desk.page.now().due_on == "2026-03-11");
        desk.type("u");
        CHECK(desk.page.now().due_on.empty());
        desk.page.choose(kDue);
        desk.press(Key::left);
        CHECK(desk.page.now().due_on.empty());
    }

    TEST_CASE("what is no pitch, day, bar, tempo or number is refused with a sentence, and stays "
              "written") {
        Composing desk;
        desk.page.choose(kPitch);
        desk.press(Key::enter).erase(3).type("43o").press(Key::enter);
        CHECK(desk.page.writing());
        CHECK_FALSE(desk.page.problem().empty());
        CHECK(desk.page.entry()->text() == "43o");
        desk.erase(1).type("0,5").press(Key::enter);
        CHECK(desk.page.now().a4_hz == 430.5);
        CHECK(desk.page.problem().empty());
        desk.page.choose(kDue);
        desk.press(Key::enter).type("2026-02-30").press(Key::enter);
        CHECK(desk.page.problem().find("is not a date") != std::string::npos);
        desk.press(Key::escape);
        CHECK(desk.page.now().due_on.empty());

        desk.add("evening");
        for (const auto& [field, wrong] : {std::pair{TaskField::last_bar, "9"},
                                           std::pair{TaskField::tempo, "fast"},
                                           std::pair{TaskField::tolerance, "9"},
                                           std::pair{TaskField::repetitions, "0"},
                                           std::pair{TaskField::times, "2.5"}}) {
            CAPTURE(wrong);
            desk.field(field).press(Key::enter).erase(9).type(wrong).press(Key::enter);
            CHECK(desk.page.writing());
            CHECK_FALSE(desk.page.problem().empty());
            desk.press(Key::escape);
        }
        CHECK_FALSE(desk.task().last_step);
        CHECK(desk.task().times == 1);
    }

    TEST_CASE("how a task is played is stepped and written") {
        Composing desk;
        desk.add("evening");
        desk.field(TaskField::first_bar).press(Key::right);
        CHECK(desk.task().first_step == 4U);
        CHECK(desk.task().last_step == 15U);
        desk.field(TaskField::last_bar).press(Key::enter).erase(1).type("3").press(Key::enter);
        CHECK(homework::bars_of(desk.task()) == std::pair(2, 3));
        desk.field(TaskField::crook).press(Key::right);
        CHECK(desk.task().crook == horn::all_crooks().front());
        desk.press(Key::left);
        CHECK_FALSE(desk.task().crook);
        desk.press(Key::left);
        CHECK(desk.task().crook == horn::all_crooks().back());
        desk.field(TaskField::tempo).press(Key::right);
        CHECK(desk.task().quarters_per_minute == 62.0);
        desk.press(Key::left);
        CHECK_FALSE(desk.task().quarters_per_minute); // the exercise's own again
        desk.press(Key::enter).type("0").press(Key::enter);
        CHECK(desk.task().quarters_per_minute == 0.0);
        CHECK(value_words(desk.task(), TaskField::tempo) == "free");
        desk.field(TaskField::tolerance).press(Key::left);
        CHECK(desk.task().tolerance_factor == 0.75);
        desk.press(Key::enter).erase(4).type("0.8").press(Key::enter);
        desk.press(Key::left);
        CHECK(desk.task().tolerance_factor == 0.75);
        desk.field(TaskField::repetitions).press(Key::right).press(Key::right);
        CHECK(desk.task().repetitions == 2);
        desk.press(Key::enter).erase(1).press(Key::enter);
        CHECK_FALSE(desk.task().repetitions);
        desk.field(TaskField::times).press(Key::right);
        CHECK(desk.task().times == 2);
        desk.field(TaskField::words).press(Key::enter).type("Slowly.").press(Key::enter);
        CHECK(desk.task().words == "Slowly.");
    }

    TEST_CASE("an exercise without bars is given whole, and says so") {
        Composing desk;
        desk.add("long");
        CHECK(value_words(desk.task(), TaskField::first_bar) == "it has no bars");
        desk.field(TaskField::last_bar).press(Key::left);
        CHECK_FALSE(desk.task().last_step);
        desk.press(Key::enter).type("2").press(Key::enter);
        CHECK(desk.page.problem().find("no bars") != std::string::npos);
    }

    TEST_CASE("tasks are added, moved, doubled and removed, each undone in turn") {
        Composing desk;
        desk.add("evening");
        desk.field(TaskField::crook).press(Key::right).press(Key::escape);
        desk.add("morning");
        CHECK(desk.task(1).crook == desk.task(0).crook); // as the one before it
        desk.press(Key::up, true);
        CHECK(desk.task(0).exercise.title == "Morning walk");
        CHECK(desk.page.task() == 0U);
        desk.press(Key::up, true); // it is the first already
        desk.type("r");
        REQUIRE(desk.page.now().tasks.size() == 3);
        CHECK(desk.task(2).exercise.title == "Morning walk");
        desk.type("x").type("x");
        CHECK(desk.page.now().tasks.size() == 1);
        desk.type("uuu");
        REQUIRE(desk.page.now().tasks.size() == 2);
        CHECK(desk.task(0).exercise.title == "Morning walk");
        desk.type("u");
        CHECK(desk.task(0).exercise.title == "Evening walk");
        desk.type("x");
        CHECK(desk.page.row() < desk.page.rows());
    }

    TEST_CASE("an exercise is found by any words of it, in any order") {
        Composing desk;
        desk.type("ewalk MORN");
        REQUIRE(desk.page.picker().rows() == 1);
        CHECK(desk.page.picker().exercise()->title == "Morning walk");
        desk.erase(9);
        CHECK(desk.page.picker().rows() == 3);
        desk.type("trumpet");
        CHECK(desk.page.picker().exercise() == nullptr);
        desk.press(Key::enter).press(Key::escape);
        CHECK(desk.page.now().tasks.empty());
        CHECK(desk.page.focus() == ComposePage::Focus::list);
    }

    TEST_CASE("a homework takes no more tasks than fit, and says so") {
        Composing desk(test::set_work(static_cast<int>(homework::kMostTasks)));
        desk.add("evening");
        CHECK(desk.page.now().tasks.size() == homework::kMostTasks);
        CHECK(desk.page.problem().find("40 tasks") != std::string::npos);
    }
}
