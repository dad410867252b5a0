// A disk that is full or may only be read while a take is recorded: said in a sentence, nothing stops, and the take is whole when there
// is room again; or in the temporary folder when there never is.
#include "logbook/logbook.h"
#include "support/take_sound.h"
#include "support/temporary_folder.h"
#include "takes/entering.h"
#include "takes/recorder.h"

#include <chrono>
#include <csignal>
#include <fstream>
#include <functional>
#include <thread>

#include <doctest/doctest.h>

#include <sys/resource.h>

using namespace bellhand;
using namespace bellhand::takes;
namespace fs = std::filesystem;

namespace {

logbook::SessionRecord a_session() {
    logbook::SessionRecord session;
    session.started_at = "2026-03-01T10:11:12Z";
    session.input = "test";
    session.crook = "Eb";
    session.temperament = "equal";
    return session;
}

struct Place {
    test::TemporaryFolder folder;
    fs::path log = folder / "log.sqlite";
    std::shared_ptr<SoundMemory> memory = std::make_shared<SoundMemory>(20.0);
    std::unique_ptr<Recorder> recorder;

    void start() {
        auto book = logbook::Logbook::open(log);
        REQUIRE(book);
        const std::int64_t session = (*book)->begin_session(a_session()).value();
        recorder = std::make_unique<Recorder>(
            memory, Recorder::Options{log, a_session(), [session] { return session; }});
    }
    [[nodiscard]] bool comes(const std::function<bool(const RecorderStatus&)>& what) const {
        for (int i = 0; i < 1000; ++i) {
            if (what(recorder->status())) {
                return true;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(10));
        }
        return false;
    }
    [[nodiscard]] std::vector<logbook::TakeRecord> takes() const {
        auto book = logbook::Logbook::open_for_reading(log);
        REQUIRE(book);
        return (*book)->all_takes().value();
    }
};

std::size_t wrong_samples(const fs::path& path, std::uint64_t from, std::uint64_t to) {
    const auto samples = test::samples_of(path);
    std::size_t wrong = samples.size() == to - from ? 0 : to - from;
    for (std::size_t i = 0; i < samples.size() && wrong < 10; ++i) {
        wrong += samples[i] != test::counted_sample(from + i) ? 1U : 0U;
    }
    return wrong;
}

/// No file of this process grows beyond this: what a full disk does to a write, on any file system and for any user.
class FullDisk {
public:
    explicit FullDisk(rlim_t bytes) {
        std::signal(SIGXFSZ, SIG_IGN);
        REQUIRE(getrlimit(RLIMIT_FSIZE, &before_) == 0);
        rlimit tight = before_;
        tight.rlim_cur = bytes;
        REQUIRE(setrlimit(RLIMIT_FSIZE, &tight) == 0);
    }
    ~FullDisk() { setrlimit(RLIMIT_FSIZE, &before_); }
    FullDisk(const FullDisk&) = delete;
    FullDisk& operator=(const FullDisk&) = delete;

private:
    rlimit before_{};
};

constexpr std::uint64_t kSecond = 48000;

} // namespace

TEST_SUITE("faults/takes and the disk") {
    TEST_CASE("a disk that fills up in the middle of a take: said, and the take is whole when "
              "there is room") {
        Place place;
        place.start();
        test::hear_counted(*place.memory, 0, kSecond);
        place.recorder->begin(0.0, {0, "Scales", false});
        REQUIRE(place.comes([](const RecorderStatus& status) { return status.recorded_s >= 1.0; }));
        {
            const FullDisk full(200'000); // the journal has 148 kB by now
            test::hear_counted(*place.memory, kSecond, 6 * kSecond);
            REQUIRE(
                place.comes([](const RecorderStatus& status) { return !status.message.empty(); }));
            const std::string message = place.recorder->status().message;
            CHECK(message.find("kept in memory and tried again") != std::string::npos);
            CHECK(message.find('\n') == std::string::npos);
            CHECK(place.recorder->status().recording); // practice goes on, and so does the take
            test::hear_counted(*place.memory, 6 * kSecond, 8 * kSecond);
            place.recorder->end(7.5);
            CHECK(place.comes([](const RecorderStatus& status) { return status.unsaved == 1; }));
        }
        REQUIRE(place.comes([](const RecorderStatus& status) { return status.saved == 1; }));
        CHECK(place.recorder->status().message.empty());
        place.recorder->finish();
        REQUIRE(place.takes().size() == 1);
        CHECK(wrong_samples(logbook::takes_folder(place.log) / place.takes()[0].file,
                            0,
                            7 * kSecond + kSecond / 2) == 0);
    }

    TEST_CASE("a disk that has room for the journal and none for the take: the next try has") {
        Place place;
        place.start();
        test::hear_counted(*place.memory, 0, 2 * kSecond);
        place.recorder->begin(0.0, {0, "Scales", false});
        REQUIRE(place.comes([](const RecorderStatus& status) { return status.recorded_s >= 2.0; }));
        std::this_thread::sleep_for(std::chrono::milliseconds(300)); // the journal has it too
        {
            const FullDisk full(100'000);
            place.recorder->end(2.0);
            REQUIRE(
                place.comes([](const RecorderStatus& status) { return !status.message.empty(); }));
            CHECK(place.recorder->status().saved == 0);
        }
        REQUIRE(place.comes([](const RecorderStatus& status) { return status.saved == 1; }));
        place.recorder->finish();
        REQUIRE(place.takes().size() == 1);
        CHECK(wrong_samples(
                  logbook::takes_folder(place.log) / place.takes()[0].file, 0, 2 * kSecond) == 0);
        for (const auto& entry : fs::directory_iterator(logbook::takes_folder(place.log))) {
            CHECK(entry.path().extension() == ".flac"); // no halves, no journals
        }
    }

    TEST_CASE(
        "a folder in which nothing can be written: the take goes to the temporary folder, and "
        "that is said") {
        Place place;
        // A file where the folder should be: refused to everybody, root too, as a read-only disk refuses.
        std::ofstream(logbook::takes_folder(place.log)) << "in the way";
        place.start();
        test::hear_counted(*place.memory, 0, kSecond);
        place.recorder->begin(0.0, {0, "Scales", false});
        REQUIRE(place.comes([](const RecorderStatus& status) { return !status.message.empty(); }));
        CHECK(place.recorder->status().recording);
        test::hear_counted(*place.memory, kSecond, 2 * kSecond);
        place.recorder->finish();
        const std::string message = place.recorder->status().message;
        CAPTURE(message);
        const std::string before = "The take was saved as ";
        const std::size_t at = message.find(before);
        REQUIRE(at != std::string::npos);
        const fs::path rescued =
            message.substr(at + before.size(), message.find(" instead") - at - before.size());
        CHECK(fs::exists(rescued));
        CHECK(place.takes().empty());
        // The next start, when there is room again.
        fs::remove(logbook::takes_folder(place.log));
        place.recorder.reset();
        auto book = logbook::Logbook::open(place.log);
        REQUIRE(book);
        const Recovered recovered =
            finish_abandoned_takes(logbook::takes_folder(place.log), **book);
        CHECK(recovered.problems.empty());
        CHECK(recovered.takes.size() == 1);
        CHECK_FALSE(fs::exists(rescued));
        REQUIRE(place.takes().size() == 1);
        CHECK(wrong_samples(
                  logbook::takes_folder(place.log) / place.takes()[0].file, 0, 2 * kSecond) == 0);
    }
}
