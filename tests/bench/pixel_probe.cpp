// How long from sound to pixels: plays bursts of horn tone of changing pitch into an output and watches two places of
// the window's practice screen at 1280 x 800: the ladder, where the live pitch moves, and the letter of the note, which
// waits until a note has settled.
//
// usage: pixel_probe OUTPUT [BURSTS]      run by latency.py --pixels, which starts server, display and window
// Prints CSV, milliseconds, a line per burst: f0_hz,ladder,letter - from the first sample written to the player to the
// first picture of the display in which that place has changed (empty: it did not). Looks every two milliseconds.
#include "support/burst_player.h"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <thread>
#include <vector>

#include <X11/Xlib.h>
#include <X11/Xutil.h>

namespace {

using Clock = std::chrono::steady_clock;
using namespace std::chrono_literals;

/// A part of the display in pixels, and how many of them must change: more than an edge or a cursor.
struct Place {
    int left, top;
    unsigned width, height;
    std::size_t changed;
};
constexpr Place kLadder{70, 150, 110, 575, 150};
constexpr Place kLetter{640, 145, 250, 185, 2000};

std::vector<unsigned long> look(Display* display, const Place& place) {
    XImage* image = XGetImage(display,
                              DefaultRootWindow(display),
                              place.left,
                              place.top,
                              place.width,
                              place.height,
                              AllPlanes,
                              ZPixmap);
    std::vector<unsigned long> pixels;
    if (image != nullptr) {
        for (int y = 0; y < image->height; ++y) {
            for (int x = 0; x < image->width; ++x) {
                pixels.push_back(XGetPixel(image, x, y));
            }
        }
        XDestroyImage(image);
    }
    return pixels;
}

/// Watches one place and remembers when it changed.
class Watch {
public:
    Watch(Display* display, const Place& place)
        : display_(display), place_(place), before_(look(display, place)) {}

    void look_again() {
        auto now = look(display_, place_);
        std::size_t changed = 0;
        for (std::size_t i = 0; i < std::min(before_.size(), now.size()); ++i) {
            changed += before_[i] != now[i] ? 1U : 0U;
        }
        if (changed > place_.changed) {
            changes_.push_back(Clock::now());
            before_ = std::move(now);
        }
    }

    /// Milliseconds to the first change within the burst that began then, as text; empty when there is none.
    [[nodiscard]] std::string after(Clock::time_point burst) const {
        for (const auto change : changes_) {
            const double ms = std::chrono::duration<double, std::milli>(change - burst).count();
            if (ms > 0.0 && ms < 1000.0 * bellhand::test::kBurstS) {
                return std::to_string(ms);
            }
        }
        return "";
    }

private:
    Display* display_;
    Place place_;
    std::vector<unsigned long> before_;
    std::vector<Clock::time_point> changes_;
};

} // namespace

int main(int argc, char** argv) {
    if (argc < 2) {
        std::fprintf(stderr, "usage: pixel_probe OUTPUT [BURSTS]\n");
        return 2;
    }
    Display* display = XOpenDisplay(nullptr);
    if (display == nullptr) {
        std::fprintf(stderr, "no display\n");
        return 1;
    }
    std::atomic<bool> playing{true};
    std::vector<Clock::time_point> written;
    std::thread player([&] {
        written = bellhand::test::play_bursts(argv[1], argc > 2 ? std::atoi(argv[2]) : 20);
        std::this_thread::sleep_for(500ms);
        playing = false;
    });
    Watch ladder(display, kLadder);
    Watch letter(display, kLetter);
    while (playing) {
        ladder.look_again();
        letter.look_again();
        std::this_thread::sleep_for(2ms);
    }
    player.join();
    XCloseDisplay(display);
    std::printf("f0_hz,ladder,letter\n");
    for (std::size_t i = 0; i < written.size(); ++i) {
        std::printf("%.1f,%s,%s\n",
                    bellhand::test::burst_hz(i),
                    ladder.after(written[i]).c_str(),
                    letter.after(written[i]).c_str());
    }
}
