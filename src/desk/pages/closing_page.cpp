#include "desk/pages/closing_page.h"

#include "horn/hand_response.h"

#include <utility>

namespace bellhand::desk {

void ClosingPage::refresh() {
    const horn::Tuning& tuning = session_.tuning();
    if (predicted_for_ && *predicted_for_ == tuning) {
        return;
    }
    predicted_for_ = tuning;
    prediction_.modelled = horn::hand_response(tuning);
    prediction_.own.reset();
    if (auto known = session_.players_horn().hand_for(tuning); known.own) {
        prediction_.own = std::move(known.own->response);
    }
    session_.view().closing().set_horn(horn::fundamental_hz(tuning),
                                       prediction_.own ? *prediction_.own : prediction_.modelled);
}

KeyTable ClosingPage::keys() {
    KeyTable table;
    if (closing().result()) {
        table.push_back(on('s', "save it with your horn", [this] {
                            said_ = session_.export_closing();
                            forget_prediction();
                        }).at(Foot::always));
    }
    table.push_back(on_steps(Key::down, Key::up, "pace of the mark", [this](int step) {
        SlowClosing& closing = session_.view().closing();
        closing.set_pace(closing.pace_s() + step);
    }));
    return table;
}

} // namespace bellhand::desk
