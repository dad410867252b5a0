// The log fails in every way a log can; practice goes on, says so, and loses no note.
#include "audio/synth.h"
#include "logbook/logbook.h"
#include "practice/practice.h"
#include "support/played_source.h"

#include <chrono>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <thread>

#include <doctest/doctest.h>
#include <sqlite3.h>

#include <sys/resource.h>
#include <unistd.h>

using namespace bellhand;
namespace fs = std::filesystem;

namespace {

struct Folder {
    fs::path path = fs::temp_directory_path() / ("bellhand_faults_" + std::to_string(getpid()));
    Folder() { fs::create_directories(path); }
    ~Folder() { fs::remove_all(path); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
};

constexpr std::size_t kNotes = 6;

std::unique_ptr<audio::Source> six_notes() {
    audio::SynthScore score;
    double time_s = 0.2;
    for (const int number : {60, 64, 67, 72, 67, 64}) {
        score.tones.push_back({.start_s = time_s,
                               .duration_s = 0.3,
                               .f0_hz = horn::target_hz(horn::usual_spelling(number), {})});
        time_s += 0.4;
    }
    score.length_s = time_s + 0.3;
    // Stays open after the notes, as a microphone does.
    return std::make_unique<test::PlayedSource>(
        std::vector<test::PlayedSource::Piece>{{audio::render(score, 48000.0)}}, true);
}

std::unique_ptr<practice::Practice> practise(const fs::path& log) {
    auto started = practice::Practice::start(six_notes(), {horn::Tuning{}, log});
    REQUIRE(started);
    return std::move(*started);
}

/// Waits (at most 20 s) until `ready` says so.
template <typename Ready>
bool wait_for(const Ready& ready) {
    for (int i = 0; i < 2000; ++i) {
        if (ready()) {
            return true;
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    return false;
}

std::size_t all_notes(practice::Practice& practice) {
    std::vector<trainer::PlayedNote> notes;
    wait_for([&] {
        practice.take_notes(notes);
        return notes.size() >= kNotes;
    });
    return notes.size();
}

std::size_t notes_in(const fs::path& log) {
    auto book = logbook::Logbook::open_for_reading(log);
    if (!book) {
        return 0;
    }
    const auto sessions = (*book)->sessions();
    if (!sessions || sessions->empty()) {
        return 0;
    }
    const auto notes = (*book)->notes(sessions->front().id);
    return notes ? notes->size() : 0;
}

/// The file that the notes went to instead, named in the message.
fs::path rescued_in(const fs::path& folder) {
    for (const auto& entry : fs::directory_iterator(folder)) {
        if (entry.path().filename().string().find("unsaved") != std::string::npos &&
            entry.path().extension() == ".sqlite") {
            return entry.path();
        }
    }
    return {};
}

} // namespace

TEST_CASE("a log locked by another program: notes wait, and are saved when it lets go") {
    const Folder folder;
    const fs::path log = folder.path / "log.sqlite";
    REQUIRE(logbook::Logbook::open(log));
    sqlite3* other = nullptr;
    REQUIRE(sqlite3_open(log.c_str(), &other) == SQLITE_OK);
    REQUIRE(sqlite3_exec(other, "BEGIN EXCLUSIVE", nullptr, nullptr, nullptr) == SQLITE_OK);

    auto practice = practise(log);
    CHECK(all_notes(*practice) == kNotes);
    REQUIRE(wait_for([&] { return practice->log_status().unsaved_notes == kNotes; }));
    CHECK_FALSE(practice->log_status().saving);
    CHECK_FALSE(practice->log_status().message.empty());

    REQUIRE(sqlite3_exec(other, "ROLLBACK", nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(other);
    REQUIRE(wait_for([&] { return practice->log_status().unsaved_notes == 0; }));
    CHECK(practice->log_status().saving);
    CHECK(practice->log_status().message.empty());
    practice->stop();
    CHECK(notes_in(log) == kNotes);
    CHECK(rescued_in(folder.path).empty());
}

TEST_CASE("a log locked to the end: the notes go to a file of their own, which is named") {
    const Folder folder;
    const fs::path log = folder.path / "log.sqlite";
    REQUIRE(logbook::Logbook::open(log));
    sqlite3* other = nullptr;
    REQUIRE(sqlite3_open(log.c_str(), &other) == SQLITE_OK);
    REQUIRE(sqlite3_exec(other, "BEGIN EXCLUSIVE", nullptr, nullptr, nullptr) == SQLITE_OK);
    auto practice = practise(log);
    CHECK(all_notes(*practice) == kNotes);
    practice->stop();
    sqlite3_close(other);
    const fs::path rescued = rescued_in(folder.path);
    REQUIRE_FALSE(rescued.empty());
    CHECK(practice->log_status().message.find(rescued.string()) != std::string::npos);
    CHECK(notes_in(rescued) == kNotes);
}

TEST_CASE("a file that is no log is left as it is; the notes are saved beside it") {
    const Folder folder;
    const fs::path log = folder.path / "log.sqlite";
    std::ofstream(log) << "a shopping list, by mistake";
    auto practice = practise(log);
    CHECK(all_notes(*practice) == kNotes);
    practice->stop();
    std::ifstream in(log);
    std::string line;
    std::getline(in, line);
    CHECK(line == "a shopping list, by mistake");
    const fs::path rescued = rescued_in(folder.path);
    REQUIRE_FALSE(rescued.empty());
    CHECK(notes_in(rescued) == kNotes);
}

TEST_CASE("a damaged log is left alone; the notes are saved beside it") {
    const Folder folder;
    const fs::path log = folder.path / "log.sqlite";
    {
        auto first = practise(log);
        CHECK(all_notes(*first) == kNotes);
    }
    {
        std::fstream file(log, std::ios::in | std::ios::out | std::ios::binary);
        file.seekp(100); // all of the schema's first page but the file's header
        file << std::string(3996, '\xAA');
    }
    const auto size = fs::file_size(log);
    auto practice = practise(log);
    CHECK(all_notes(*practice) == kNotes);
    practice->stop();
    CHECK_FALSE(practice->log_status().message.empty());
    CHECK(fs::file_size(log) == size);
    const fs::path rescued = rescued_in(folder.path);
    REQUIRE_FALSE(rescued.empty());
    CHECK(notes_in(rescued) == kNotes);
}

TEST_CASE("the folder of the log cannot be made: the notes are saved in the temporary folder") {
    const Folder folder;
    std::ofstream(folder.path / "file") << "in the way";
    auto practice = practise(folder.path / "file" / "log.sqlite");
    CHECK(all_notes(*practice) == kNotes);
    practice->stop();
    const std::string message = practice->log_status().message;
    const std::size_t at = message.find(fs::temp_directory_path().string() + "/log.unsaved-");
    REQUIRE(at != std::string::npos);
    const fs::path rescued = message.substr(at, message.find(' ', at) - at);
    CHECK(notes_in(rescued) == kNotes);
    for (const char* end : {"", "-wal", "-shm"}) {
        fs::remove(rescued.string() + end);
    }
}

TEST_CASE("a full disk: notes wait in memory and are saved when there is room again") {
    const Folder folder;
    const fs::path log = folder.path / "log.sqlite";
    REQUIRE(logbook::Logbook::open(log));
    // Files of this process may not grow: what a full disk does to a write, on any file system.
    std::signal(SIGXFSZ, SIG_IGN);
    rlimit before{};
    REQUIRE(getrlimit(RLIMIT_FSIZE, &before) == 0);
    rlimit tight = before;
    tight.rlim_cur = 4096;
    REQUIRE(setrlimit(RLIMIT_FSIZE, &tight) == 0);
    auto practice = practise(log);
    const std::size_t heard = all_notes(*practice);
    const bool told = wait_for([&] { return !practice->log_status().message.empty(); });
    const std::uint64_t waiting = practice->log_status().unsaved_notes;
    REQUIRE(setrlimit(RLIMIT_FSIZE, &before) == 0);
    CHECK(heard == kNotes);
    CHECK(told);
    CHECK(waiting > 0);
    CHECK(wait_for([&] { return practice->log_status().unsaved_notes == 0; }));
    practice->stop();
    CHECK(notes_in(log) == kNotes);
}
