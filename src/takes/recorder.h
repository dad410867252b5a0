#pragma once

#include "logbook/records.h"
#include "takes/sound_memory.h"

#include <condition_variable>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

namespace bellhand::takes {

/// What a take is to be called in the log.
struct TakeLabel {
    std::optional<std::uint32_t> block; ///< number in the session
    std::string why;                    ///< "keep that", the exercise's title
    bool kept = false;                  ///< never removed to save room
};

struct RecorderStatus {
    bool recording = false;      ///< a take is running
    double recorded_s = 0.0;     ///< of it
    std::uint32_t saved = 0;     ///< takes recorded since the start that are in the log
    std::uint32_t unsaved = 0;   ///< ended, but the disk or the log does not take them yet
    double reaches_back_s = 0.0; ///< what "keep that" can still have
    std::string message; ///< one sentence while the disk or the log refuses; empty when all is well
    std::string
        notice; ///< one sentence on room for takes, or on takes that a killed program had left
};

/// Records takes of one session, from now on or after the fact, on a thread of its own that reads the memory. A full
/// disk or a log that refuses stops nothing: the sound waits in memory and is saved when it can be.
class Recorder {
public:
    struct Options {
        std::filesystem::path log;                ///< takes go beside it (`logbook::takes_folder`)
        logbook::SessionRecord session;           ///< as it was begun
        std::function<std::int64_t()> session_id; ///< in the log; 0 while it has none. Any thread
        std::string
            input{}; ///< in the names of files, where a session has more than one; else empty
    };

    /// Starts the thread, which first finishes what an earlier program left behind and looks after the budget.
    Recorder(std::shared_ptr<const SoundMemory> memory, Options options);
    ~Recorder(); ///< finishes
    Recorder(const Recorder&) = delete;
    Recorder& operator=(const Recorder&) = delete;

    // From one thread; none of these waits for the disk. Times in seconds of the session.

    /// A take that runs from `from_s` on (up to two minutes ago) until `end`. One that is running ends there.
    void begin(double from_s, const TakeLabel& label);
    void end(double at_s);
    /// Keeps what was just played. When the memory does not reach back that far but a running take does, that take is
    /// marked kept instead; else the take begins with the oldest sound there is.
    void keep(double from_s, double to_s, const TakeLabel& label);

    /// Ends the running take and saves all. What cannot be saved goes to the temporary folder, and `status` says so.
    /// Call after the log has ended its session. Idempotent.
    void finish();

    [[nodiscard]] RecorderStatus status() const;

private:
    struct Inside;
    struct Wish {
        enum class Kind { begin, end, keep };
        Kind kind = Kind::begin;
        double from_s = 0.0;
        double to_s = 0.0;
        TakeLabel label;
    };
    void wish(Wish wish);
    void work();

    const std::unique_ptr<Inside> inside_; // the thread's own
    mutable std::mutex mutex_;             // guards the rest
    std::condition_variable changed_;
    std::vector<Wish> wishes_;
    bool finishing_ = false;
    RecorderStatus status_;
    std::thread thread_;
};

} // namespace bellhand::takes
