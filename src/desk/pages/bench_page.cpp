#include "desk/pages/bench_page.h"

#include "desk/pages.h"

#include <algorithm>

namespace bellhand::desk {

bool BenchPage::open(const std::filesystem::path& profile) {
    auto opened = Bench::open(profile);
    problem_ = opened ? std::string() : opened.error().message;
    if (opened) {
        bench_ = std::move(*opened);
    }
    return opened.has_value();
}

void BenchPage::refresh() {
    if (!bench_ && problem_.empty()) {
        open(session_.horn_profile());
    }
    if (bench_) {
        bench_->aim(session_.tuning());
    }
}

KeyTable BenchPage::keys() {
    if (!bench_) {
        return {};
    }
    Bench& bench = *bench_;
    return {on(Key::tab, "drill crook changes", [this] { wishes_.screen = Screen::changes; }),
            on(Key::enter,
               bench.mounted(bench.chosen()) ? "take it off" : "put it on",
               [&bench] { bench.toggle_chosen(); }),
            on_steps(Key::up,
                     Key::down,
                     "another piece",
                     [&bench](int step) { bench.choose(bench.chosen() + step); }),
            on_steps(Key::left,
                     Key::right,
                     "another way",
                     [&bench](int step) { bench.take_way(std::max(0, bench.way() + step)); }),
            on('.', "a warmer room", [&bench] { bench.set_room(bench.room_c() + 1.0); }),
            on(',', "a colder room", [&bench] { bench.set_room(bench.room_c() - 1.0); })};
}

} // namespace bellhand::desk
