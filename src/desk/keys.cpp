#include "desk/keys.h"

#include <algorithm>
#include <array>
#include <utility>

namespace bellhand::desk {

namespace {

constexpr std::array kLetters{
    LetterMeaning{'a', "pitch"},
    LetterMeaning{'c', "crook"},
    LetterMeaning{'d', "light or dark"},
    LetterMeaning{'e', "exercises"},
    LetterMeaning{'h', "half speed"},
    LetterMeaning{'i', "input"},
    LetterMeaning{'j', "how strictly"},
    LetterMeaning{'k', "keep"},
    LetterMeaning{'l', "lesson"},
    LetterMeaning{'m', "mark"},
    LetterMeaning{'n', "what is asked next"},
    LetterMeaning{'o', "sound"},
    LetterMeaning{'p', "play"},
    LetterMeaning{'r', "again"},
    LetterMeaning{'s', "save or send"},
    LetterMeaning{'t', "temperament and root"},
    LetterMeaning{'u', "undo"},
    LetterMeaning{'v', "version"},
    LetterMeaning{'w', "words"},
    LetterMeaning{'x', "delete"},
};

char32_t small(char32_t character) noexcept {
    return character >= U'A' && character <= U'Z' ? character - U'A' + U'a' : character;
}

const char* cap_of(Key key) {
    switch (key) {
    case Key::enter:
        return "Enter";
    case Key::escape:
        return "Esc";
    case Key::tab:
        return "Tab";
    case Key::backspace:
        return "Backspace";
    case Key::del:
        return "Del";
    case Key::up:
        return "Up";
    case Key::down:
        return "Down";
    case Key::left:
        return "Left";
    case Key::right:
        return "Right";
    case Key::page_up:
        return "PgUp";
    case Key::page_down:
        return "PgDn";
    case Key::home:
        return "Home";
    case Key::end:
        return "End";
    case Key::f1:
        return "F1";
    case Key::f11:
        return "F11";
    case Key::none:
        break;
    }
    return "";
}

std::string cap_of(char character) {
    if (character == ' ') {
        return "Space";
    }
    return std::string(1,
                       character >= 'a' && character <= 'z'
                           ? static_cast<char>(character - 'a' + 'A')
                           : character);
}

Press press_of(Key key) {
    Press press;
    press.key = key;
    return press;
}

Press press_of(char character) {
    Press press;
    press.character = static_cast<char32_t>(character);
    return press;
}

KeyLine line(Press press, std::string cap, std::string words, Act act) {
    KeyLine made;
    made.keys = {press};
    made.cap = std::move(cap);
    made.words = std::move(words);
    made.act = [act = std::move(act)](const Press& /*press*/) { act(); };
    return made;
}

bool same_key(const Press& key, const Press& press) noexcept {
    if (key.control != press.control || key.key != press.key) {
        return false;
    }
    if (key.key != Key::none) {
        return !key.shift || press.shift;
    }
    return key.shift ? key.character == press.character
                     : small(key.character) == small(press.character);
}

} // namespace

KeyLine KeyLine::at(Foot when) const {
    KeyLine other = *this;
    other.foot = when;
    return other;
}

KeyLine KeyLine::at(Where place) const {
    KeyLine other = *this;
    other.where = place;
    return other;
}

KeyLine KeyLine::or_key(Key key) const {
    KeyLine other = *this;
    other.keys.push_back(press_of(key));
    return other;
}

KeyLine KeyLine::or_key(char character) const {
    KeyLine other = *this;
    other.keys.push_back(press_of(character));
    return other;
}

KeyLine on(char character, std::string words, Act act) {
    return line(press_of(character), cap_of(character), std::move(words), std::move(act));
}

KeyLine on(Key key, std::string words, Act act) {
    return line(press_of(key), cap_of(key), std::move(words), std::move(act));
}

KeyLine on_shift(char letter, std::string words, Act act) {
    Press press = press_of(static_cast<char>(letter - 'a' + 'A'));
    press.shift = true;
    return line(press, "Shift " + cap_of(letter), std::move(words), std::move(act));
}

KeyLine on_control(char character, std::string words, Act act) {
    Press press = press_of(character);
    press.control = true;
    return line(press, "Ctrl " + cap_of(character), std::move(words), std::move(act));
}

KeyLine on_steps(Key back, Key forth, std::string words, std::function<void(int)> step) {
    KeyLine made;
    made.keys = {press_of(forth), press_of(back)};
    const bool upwards = back == Key::down; // read as the keys lie: "Up Down"
    made.cap = std::string(cap_of(upwards ? forth : back)) + " " + cap_of(upwards ? back : forth);
    made.words = std::move(words);
    made.act = [back, step = std::move(step)](const Press& press) {
        step(press.key == back ? -1 : 1);
    };
    made.held = true;
    return made;
}

KeyLine on_rows(int count, int chosen, std::string words, std::function<void(int)> choose) {
    KeyLine made;
    made.keys = {press_of(Key::down), press_of(Key::up), press_of(Key::home), press_of(Key::end)};
    made.cap = "Up Down";
    made.words = std::move(words);
    made.act = [count, chosen, choose = std::move(choose)](const Press& press) {
        const int wanted = press.key == Key::up     ? chosen - 1
                           : press.key == Key::down ? chosen + 1
                           : press.key == Key::home ? 0
                                                    : count - 1;
        choose(std::clamp(wanted, 0, std::max(0, count - 1)));
    };
    made.foot = Foot::never;
    made.held = true;
    return made;
}

const KeyLine* line_for(const KeyTable& table, const Press& press) noexcept {
    const auto found = std::find_if(table.begin(), table.end(), [&](const KeyLine& each) {
        return std::any_of(each.keys.begin(), each.keys.end(), [&](const Press& key) {
            return same_key(key, press);
        });
    });
    return found == table.end() ? nullptr : &*found;
}

std::vector<const KeyLine*>
at_foot(const KeyTable& table, const std::function<float(const KeyLine&)>& wide, float room) {
    const bool own = std::any_of(table.begin(), table.end(), [](const KeyLine& each) {
        return each.where == Where::page && each.foot >= Foot::usual;
    });
    float left = room;
    for (const KeyLine& each : table) {
        left -= each.foot == Foot::always ? wide(each) : 0.0F;
    }
    std::vector<const KeyLine*> shown;
    bool full = false;
    for (const KeyLine& each : table) {
        if (each.foot == Foot::always) {
            shown.push_back(&each);
        } else if (each.foot == Foot::usual || (each.foot == Foot::spare && !own)) {
            full = full || wide(each) > left;
            if (!full) {
                left -= wide(each);
                shown.push_back(&each);
            }
        }
    }
    return shown;
}

std::span<const LetterMeaning> letter_meanings() noexcept {
    return kLetters;
}

} // namespace bellhand::desk
