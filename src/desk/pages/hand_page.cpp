#include "desk/pages/hand_page.h"

#include "desk/pages.h"
#include "desk/sheets/sheet.h"

#include <algorithm>

namespace bellhand::desk {

const trainer::PlayedNote* HandPage::note() const noexcept {
    const trainer::PlayedNote* newest = nullptr;
    const bool follows = !chosen_ || chosen_in_ != session_.number();
    for (const trainer::PlayedNote& note : session_.view().notes()) {
        if (!note.finished) {
            continue;
        }
        if (follows || note.index == *chosen_) {
            return &note;
        }
        newest = newest == nullptr ? &note : newest;
    }
    return newest; // the chosen one is no longer listed
}

void HandPage::step(int step) noexcept {
    const trainer::PlayedNote* from = note();
    if (from == nullptr) {
        return;
    }
    const auto& notes = session_.view().notes(); // newest first
    const auto last = static_cast<std::ptrdiff_t>(notes.size()) - 1;
    const std::ptrdiff_t to = std::clamp<std::ptrdiff_t>((from - notes.data()) + step, 0, last);
    const trainer::PlayedNote& note = notes[static_cast<std::size_t>(to)];
    if (!note.finished || to == 0) {
        follow_newest(); // back to the newest: follow it again
    } else {
        choose(note.index);
    }
}

KeyTable HandPage::keys() {
    KeyTable table;
    if (note() != nullptr) {
        table.push_back(on_steps(Key::up, Key::down, "another note", [this](int by) { step(by); }));
        table.push_back(on(Key::home, "the newest", [this] { follow_newest(); }));
    }
    table.push_back(
        on(Key::enter, "balance of horn and hand", [this] { wishes_.screen = Screen::balance; }));
    table.push_back(on('q', "what the figures mean", [this] { wishes_.sheet = Sheet::figures; }));
    if (session_.learnt().notes > 0) {
        table.push_back(on('x', "forget your open notes", [this] { session_.forget_learnt(); }));
    }
    return table;
}

} // namespace bellhand::desk
