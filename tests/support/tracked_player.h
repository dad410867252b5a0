#pragma once

#include "trainer/note_tracker.h"

#include <cmath>
#include <functional>
#include <optional>
#include <string>
#include <vector>

/// Notes cut from the readings of a score by a perfect ear.
namespace bellhand::test {

inline constexpr double kHop_s = 256.0 / 48000.0;
inline constexpr double kLag_s = 0.020; // the judged pitch describes this much earlier

/// What sounds at a moment: cents from written C5 on the F crook, or nothing; level in dBFS.
struct Sound {
    std::optional<double> cents;
    double level_dbfs = -20.0;
    bool doubtful = false;
    bool withheld = false;           ///< followed but not shown; without cents
    double quiet_dbfs = -70.0;       ///< level without cents
    std::optional<double> rise_db{}; ///< of new sound, as the ear measures it; empty: not measured
};
using Score = std::function<Sound(double time_s)>;

/// A perfect ear: readings of a score, hop by hop.
class Player {
public:
    explicit Player(const trainer::TrackerSettings& settings = {}) : tracker(settings) {}

    void play(double length_s, const Score& score, double onset_s = -1.0) {
        for (double t = kHop_s; t <= length_s; t += kHop_s, now_s += kHop_s) {
            const Sound sound = score(t);
            pitch::PitchFrame frame;
            frame.time_s = now_s + kHop_s;
            frame.level_dbfs =
                static_cast<float>(sound.cents ? sound.level_dbfs : sound.quiet_dbfs);
            frame.rise_db = static_cast<float>(sound.rise_db.value_or(0.0));
            frame.rise_time_s = sound.rise_db ? frame.time_s - kLag_s : 0.0;
            frame.voiced = sound.cents.has_value();
            frame.doubtful = sound.doubtful;
            frame.withheld = sound.withheld;
            if (frame.voiced) {
                frame.f0_hz = hz(*sound.cents);
                const Sound before = score(std::max(0.0, t - kLag_s));
                frame.judged_time_s = frame.time_s - kLag_s;
                frame.judged_hz = hz(before.cents.value_or(*sound.cents));
            }
            frame.onset = onset_s >= 0.0 && t >= onset_s && t < onset_s + kHop_s;
            frame.onset_time_s = frame.time_s;
            if (tracker.add(reader.read(frame))) {
                notes.push_back(tracker.ended());
            }
        }
    }

    void end() {
        while (tracker.finish()) {
            notes.push_back(tracker.ended());
        }
    }

    std::string names() const {
        std::string out;
        for (const trainer::PlayedNote& note : notes) {
            out += (out.empty() ? "" : " ") + horn::ascii_name(note.written);
        }
        return out;
    }

    static double hz(double cents) {
        return horn::target_hz({72, 0}, horn::Tuning{}) * std::exp2(cents / 1200.0);
    }

    trainer::Reader reader{horn::Tuning{}};
    trainer::NoteTracker tracker;
    std::vector<trainer::PlayedNote> notes;
    double now_s = 0.0;
};

inline Score steady(double cents, double level_dbfs = -20.0) {
    return [=](double) { return Sound{cents, level_dbfs}; };
}

inline const Score kSilence = [](double) { return Sound{}; };

} // namespace bellhand::test
