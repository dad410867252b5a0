#include "desk/sheets/input_sheet.h"

#include <algorithm>
#include <string>

namespace bellhand::desk {

void InputSheet::enter() {
    select(0);
    look();
}

void InputSheet::look() {
    listed_ = {InputRow{InputRow::Kind::demo, {}}, InputRow{InputRow::Kind::file, {}}};
    looking_ = true;
    session_.look_for_devices();
}

void InputSheet::refresh() {
    if (looking_ && !session_.looking_for_devices()) {
        looking_ = false;
        if (session_.device_problem().empty()) {
            list_devices();
        }
    }
}

void InputSheet::list_devices() {
    std::vector<InputRow> rows;
    for (const audio::Device& device : session_.devices()) {
        if (device.inputs > 0) {
            rows.push_back({InputRow::Kind::device, device});
        }
    }
    // Whoever has moved the choice already keeps it; else what is in use now is offered first.
    const auto inputs = static_cast<int>(rows.size());
    const std::string& used = session_.input().device.name;
    const auto in_use = std::find_if(rows.begin(), rows.end(), [&](const InputRow& row) {
        return used.empty() ? row.device.default_input : row.device.name == used;
    });
    const int offered = in_use == rows.end() ? 0 : static_cast<int>(in_use - rows.begin());
    rows.insert(rows.end(), listed_.begin(), listed_.end());
    select(selected() == 0 ? offered : selected() + inputs);
    listed_ = std::move(rows);
}

const InputRow* InputSheet::chosen() const noexcept {
    const auto at = static_cast<std::size_t>(selected());
    return at < listed_.size() ? &listed_[at] : nullptr;
}

void InputSheet::change_channel(int step) {
    InputChoice input = session_.input();
    session_.choose_channel(std::clamp(input.device.channel + step, 0, chosen()->device.inputs));
}

/// Empty for a file, whose path is typed.
std::optional<InputChoice> InputSheet::choice_of(const InputRow& row) const {
    InputChoice input;
    if (row.kind == InputRow::Kind::file) {
        return std::nullopt;
    }
    if (row.kind == InputRow::Kind::demo) {
        input.kind = InputChoice::Kind::demo;
    } else {
        input.device.name = row.device.name;
        input.device.index = row.device.index;
        input.device.channel = std::clamp(session_.input().device.channel, 0, row.device.inputs);
    }
    return input;
}

void InputSheet::accept() {
    const InputRow* row = chosen();
    if (row == nullptr) {
        return;
    }
    if (row->kind == InputRow::Kind::file) {
        wishes_.sheet = Sheet::files;
        return;
    }
    const InputChoice input = *choice_of(*row);
    wishes_.close_sheet = true;
    session_.listen_to(input);
}

KeyTable InputSheet::keys() {
    KeyTable table{on(Key::enter, "listen to it", [this] { accept(); }), rows_line(), close_line()};
    table.front() = table.front().or_key(' ');
    if (chosen() != nullptr && chosen()->kind == InputRow::Kind::device) {
        table.push_back(
            on_steps(Key::left, Key::right, "channel", [this](int step) { change_channel(step); }));
    }
    const auto also = chosen() == nullptr ? std::nullopt : choice_of(*chosen());
    if (also && name_of(*also) != name_of(session_.input())) {
        const bool heard = session_.call() && name_of(*session_.call()) == name_of(*also);
        table.push_back(on(
            Key::tab, heard ? "no second input" : "hear it too, as the call", [this, also, heard] {
                session_.listen_also(heard ? std::nullopt : also);
            }));
    }
    table.push_back(on('r', "look again", [this] { look(); }));
    KeyLine path = on('/', "type the path of a file", [] {}).or_key('~');
    path.act = [this](const Press& press) {
        files_.begin_with(std::string(1, static_cast<char>(press.character)));
        wishes_.sheet = Sheet::files;
    };
    table.push_back(path);
    return table;
}

} // namespace bellhand::desk
