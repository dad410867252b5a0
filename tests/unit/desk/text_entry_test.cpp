#include "desk/text_entry.h"

#include <string_view>

#include <doctest/doctest.h>

using namespace bellhand::desk;

namespace {

void type(TextEntry& entry, std::u32string_view characters) {
    for (const char32_t character : characters) {
        Press press;
        press.character = character;
        CHECK(entry.press(press));
    }
}

void press(TextEntry& entry, Key key) {
    Press pressed;
    pressed.key = key;
    CHECK(entry.press(pressed));
}

} // namespace

TEST_SUITE("gui/text entry") {
    TEST_CASE("letters of one to four bytes are written, passed over and removed whole") {
        TextEntry entry;
        type(entry, U"aé♭𝄞");
        CHECK(entry.text() == "aé♭𝄞");
        press(entry, Key::left);
        press(entry, Key::left);
        CHECK(entry.with_cursor() == "aé|♭𝄞");
        press(entry, Key::backspace);
        CHECK(entry.text() == "a♭𝄞");
        press(entry, Key::del);
        CHECK(entry.text() == "a𝄞");
        press(entry, Key::end);
        press(entry, Key::backspace);
        press(entry, Key::home);
        press(entry, Key::left); // the end is no fall
        press(entry, Key::backspace);
        type(entry, U"x");
        CHECK(entry.text() == "xa");
    }

    TEST_CASE("nothing is removed from an empty line, and what is not text is left alone") {
        TextEntry entry;
        press(entry, Key::backspace);
        press(entry, Key::del);
        Press enter;
        enter.key = Key::enter;
        CHECK_FALSE(entry.press(enter));
        Press bell;
        bell.character = U'\a';
        CHECK_FALSE(entry.press(bell));
        CHECK(entry.empty());
    }

    TEST_CASE("a line has an end: what is pasted or held down does not grow without bound") {
        TextEntry entry;
        Press held;
        held.character = U'♭';
        for (std::size_t i = 0; i < TextEntry::kMost_bytes; ++i) {
            CHECK(entry.press(held));
        }
        CHECK(entry.text().size() <= TextEntry::kMost_bytes);
        CHECK(entry.text().size() % 3 == 0);
    }
}
