// A teacher's end of a call over a running sound server: two inputs heard at once, as the window hears them.
//
// usage: call_probe make MICROPHONE.wav CALL.wav SEED SECONDS          what the two inputs are to hear
//        call_probe hear MICROPHONE CALL LOG.sqlite SEED SECONDS       two devices; prints "ready" when both are heard
// `hear` marks the first note of each side, prints who played what against the truth and ends with 1 when less than 95 %
// of the notes are told of the side that played them, or more than 7 % are nobody's: of the thirty of half a minute, two.
// Run by lesson_sound_server.py; lesson_sides_test.cpp has the figures of minutes.
#include "audio/file.h"
#include "desk/session.h"
#include "support/call_lesson.h"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <thread>

namespace {

using namespace bellhand;
using Clock = std::chrono::steady_clock;

int make(char** words) {
    const test::CallLesson lesson = test::make_call_lesson(
        static_cast<std::uint64_t>(std::atoll(words[4])), std::atof(words[5]));
    const auto here = audio::write_file(words[2], lesson.microphone, test::kCallRate_hz);
    const auto call = audio::write_file(words[3], lesson.call, test::kCallRate_hz);
    return here && call ? 0 : 1;
}

class Listener {
public:
    Listener(const char* microphone, const char* call, const char* log)
        : session_(desk::real_ear(), start(microphone, log)) {
        session_.begin();
        desk::InputChoice other;
        other.device.name = call;
        session_.listen_also(other);
    }

    /// Until `done`, or so many seconds have gone; true when it was.
    template <class Done>
    bool listen(double most_s, Done done) {
        const Clock::time_point begin = Clock::now();
        while (!done()) {
            if (std::chrono::duration<double>(Clock::now() - begin).count() > most_s) {
                return false;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(16));
            session_.update(std::chrono::duration<double>(Clock::now().time_since_epoch()).count());
            mark_first();
        }
        return true;
    }
    desk::Session& session() { return session_; }

private:
    static desk::SessionStart start(const char* microphone, const char* log) {
        desk::SessionStart start;
        start.input.device.name = microphone;
        start.log_path = log;
        return start;
    }
    void mark_first() {
        const desk::LessonNote* const framed = session_.lesson().framed();
        if (framed != nullptr && framed->ended && !marked_[desk::place(framed->side)]) {
            marked_[desk::place(framed->side)] = true;
            session_.mark();
        }
    }

    desk::Session session_;
    std::array<bool, 2> marked_{};
};

int hear(char** words) {
    const double length_s = std::atof(words[6]);
    const test::CallLesson truth =
        test::make_call_lesson(static_cast<std::uint64_t>(std::atoll(words[5])), length_s);
    Listener listener(words[2], words[3], words[4]);
    desk::Session& session = listener.session();
    constexpr double kSettled_s = 1.5;
    const bool both = listener.listen(30.0, [&] {
        return session.elapsed_s(desk::Side::here) > kSettled_s &&
               session.elapsed_s(desk::Side::call) > kSettled_s;
    });
    if (!both) {
        std::printf("one of the inputs is silent: %s %s\n",
                    session.view().source().message.c_str(),
                    session.call_problem().c_str());
        return 1;
    }
    std::puts("ready");
    std::fflush(stdout);
    constexpr double kAfter_s = 3.0; // players start, buffers end
    listener.listen(length_s + kAfter_s, [] { return false; });
    session.stop();
    const auto& told = session.lesson().notes();
    const std::array<double, 2> shift_s{test::found_shift_s(truth, told, desk::Side::here),
                                        test::found_shift_s(truth, told, desk::Side::call)};
    const test::CallScore score = test::score_call(truth, told, shift_s);
    std::printf(
        "%s; the call began %.0f ms beside the microphone\n%sright %d of %d, invented %d of %d\n",
        truth.ways.c_str(),
        1e3 * (shift_s[1] - shift_s[0]),
        score.faults.c_str(),
        score.right,
        score.notes,
        score.invented,
        score.counted);
    const bool good = score.right >= 0.95 * score.notes && score.invented <= 0.07 * score.counted;
    return good ? 0 : 1;
}

} // namespace

int main(int count, char** words) {
    const std::string what = count > 1 ? words[1] : "";
    if (what == "make" && count == 6) {
        return make(words);
    }
    if (what == "hear" && count == 7) {
        return hear(words);
    }
    std::fputs("usage: call_probe make|hear ..., see the head of the source\n", stderr);
    return 2;
}
