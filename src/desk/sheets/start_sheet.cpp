#include "desk/sheets/start_sheet.h"

#include "desk/model/phrases.h"
#include "desk/model/status_line.h"
#include "desk/sheets/tuning_sheets.h"
#include "horn/crook.h"
#include "words/verdict.h"

#include <algorithm>
#include <iterator>
#include <vector>

namespace bellhand::desk {

void StartSheet::enter() {
    select(0);
    session_.look_for_devices();
}

std::string StartSheet::words(Row row) const {
    switch (row) {
    case Row::crook:
        return std::string("Horn in ") + session_.tuning().crook.label;
    case Row::pitch:
        return "A = " + hertz_text(session_.tuning().a4_hz);
    case Row::microphone:
        break;
    }
    const std::string& live = session_.view().source().name;
    return live.empty() ? name_of(session_.input()) : live;
}

std::string StartSheet::heard() const {
    const PracticeView& view = session_.view();
    const StatusLine status = status_line(view, session_.listening(), session_.problem());
    if (status.warning) {
        return status.words;
    }
    if (view.note()) {
        return "Heard: " + horn::display_name(view.note()->note.written) + ", " +
               words::off_pitch(view.note()->note.deviation_cents) + ".";
    }
    return session_.listening()
               ? "No note yet: play one, or choose another microphone."
               : "Nothing is listened to: choose a microphone with Left and Right.";
}

void StartSheet::change_microphone(int step) {
    std::vector<audio::Device> inputs;
    std::copy_if(session_.devices().begin(),
                 session_.devices().end(),
                 std::back_inserter(inputs),
                 [](const audio::Device& device) { return device.inputs > 0; });
    if (inputs.empty()) {
        session_.look_for_devices();
        return;
    }
    const std::string& used = session_.input().device.name;
    const auto now = std::find_if(inputs.begin(), inputs.end(), [&](const audio::Device& device) {
        return used.empty() ? device.default_input : device.name == used;
    });
    const auto count = static_cast<int>(inputs.size());
    const int from = now == inputs.end() ? 0 : static_cast<int>(now - inputs.begin());
    const audio::Device& next = inputs[static_cast<std::size_t>((from + step + count) % count)];
    InputChoice input;
    input.device.name = next.name;
    input.device.index = next.index;
    session_.listen_to(input);
}

void StartSheet::change(int step) {
    horn::Tuning tuning = session_.tuning();
    switch (static_cast<Row>(selected())) {
    case Row::crook: {
        const auto all = horn::all_crooks();
        const auto now = std::find(all.begin(), all.end(), tuning.crook) - all.begin();
        const auto count = static_cast<std::ptrdiff_t>(all.size());
        tuning.crook = all[static_cast<std::size_t>((now + step + count) % count)];
        wishes_.tuning = tuning;
        break;
    }
    case Row::pitch: {
        // The pitches that are often used, and those in between as they are.
        const double now_hz = tuning.a4_hz;
        if (step > 0) {
            const auto next = std::find_if(kOftenUsedA4_hz.begin(),
                                           kOftenUsedA4_hz.end(),
                                           [&](double a4_hz) { return a4_hz > now_hz + 0.05; });
            tuning.a4_hz = next == kOftenUsedA4_hz.end() ? kOftenUsedA4_hz.front() : *next;
        } else {
            const auto before = std::find_if(kOftenUsedA4_hz.rbegin(),
                                             kOftenUsedA4_hz.rend(),
                                             [&](double a4_hz) { return a4_hz < now_hz - 0.05; });
            tuning.a4_hz = before == kOftenUsedA4_hz.rend() ? kOftenUsedA4_hz.back() : *before;
        }
        wishes_.tuning = tuning;
        break;
    }
    case Row::microphone:
        change_microphone(step);
        break;
    }
}

KeyTable StartSheet::keys() {
    constexpr const char* kOthers[] = {"another crook", "another pitch", "another microphone"};
    KeyTable table{
        on(Key::enter, "begin with these", [this] { accept(); }).or_key(' '),
        rows_line(),
        on_steps(Key::left, Key::right, kOthers[selected()], [this](int step) { change(step); }),
        on('r', "look again", [this] { session_.look_for_devices(); })};
    if (const auto offer = session_.view().horn_remark().offer) {
        table.push_back(on('g', "take the horn or pitch that fits the notes better", [this, offer] {
            wishes_.tuning = *offer;
        }));
    }
    table.push_back(on(Key::escape, "begin in F at 440", [this] {
                        wishes_.tuning = horn::Tuning{};
                        wishes_.close_sheet = true;
                    }).at(Foot::always));
    return table;
}

} // namespace bellhand::desk
