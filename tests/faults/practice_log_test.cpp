// The log fails in every way a log can; practice goes on, says so, and loses no note.
#include "audio/synth.h"
#include "logbook/logbook.h"
#include "practice/practice.h"
#include "support/failing_log.h"
#include "support/played_source.h"
#include "support/temporary_folder.h"

#include <filesystem>
#include <fstream>
#include <optional>

#include <doctest/doctest.h>

using namespace bellhand;
namespace fs = std::filesystem;

namespace {

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

std::size_t all_notes(practice::Practice& practice) {
    std::vector<trainer::PlayedNote> notes;
    test::wait_for([&] {
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

} // namespace

TEST_CASE("a log locked by another program: notes wait, and are saved when it lets go") {
    const test::TemporaryFolder folder;
    const fs::path log = folder / "log.sqlite";
    std::optional<test::LockedLog> lock(log);

    auto practice = practise(log);
    CHECK(all_notes(*practice) == kNotes);
    REQUIRE(test::wait_for([&] { return practice->log_status().unsaved_notes == kNotes; }));
    CHECK_FALSE(practice->log_status().saving);
    CHECK_FALSE(practice->log_status().message.empty());

    lock.reset();
    REQUIRE(test::wait_for([&] { return practice->log_status().unsaved_notes == 0; }));
    CHECK(practice->log_status().saving);
    CHECK(practice->log_status().message.empty());
    practice->stop();
    CHECK(notes_in(log) == kNotes);
    CHECK(test::rescued_in(folder.path()).empty());
}

TEST_CASE("a log locked to the end: the notes go to a file of their own, which is named") {
    const test::TemporaryFolder folder;
    const fs::path log = folder / "log.sqlite";
    std::optional<test::LockedLog> lock(log);
    auto practice = practise(log);
    CHECK(all_notes(*practice) == kNotes);
    practice->stop();
    lock.reset();
    const fs::path rescued = test::rescued_in(folder.path());
    REQUIRE_FALSE(rescued.empty());
    CHECK(practice->log_status().message.find(rescued.string()) != std::string::npos);
    CHECK(notes_in(rescued) == kNotes);
}

TEST_CASE("a file that is no log is left as it is; the notes are saved beside it") {
    const test::TemporaryFolder folder;
    const fs::path log = folder / "log.sqlite";
    std::ofstream(log) << "a shopping list, by mistake";
    auto practice = practise(log);
    CHECK(all_notes(*practice) == kNotes);
    practice->stop();
    std::ifstream in(log);
    std::string line;
    std::getline(in, line);
    CHECK(line == "a shopping list, by mistake");
    const fs::path rescued = test::rescued_in(folder.path());
    REQUIRE_FALSE(rescued.empty());
    CHECK(notes_in(rescued) == kNotes);
}

TEST_CASE("a damaged log is left alone; the notes are saved beside it") {
    const test::TemporaryFolder folder;
    const fs::path log = folder / "log.sqlite";
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
    const fs::path rescued = test::rescued_in(folder.path());
    REQUIRE_FALSE(rescued.empty());
    CHECK(notes_in(rescued) == kNotes);
}

TEST_CASE("the folder of the log cannot be made: the notes are saved in the temporary folder") {
    const test::TemporaryFolder folder;
    std::ofstream(folder / "file") << "in the way";
    auto practice = practise(folder / "file" / "log.sqlite");
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
    const test::TemporaryFolder folder;
    const fs::path log = folder / "log.sqlite";
    REQUIRE(logbook::Logbook::open(log));
    std::optional<test::FullDisk> full(std::in_place);
    auto practice = practise(log);
    const std::size_t heard = all_notes(*practice);
    const bool told = test::wait_for([&] { return !practice->log_status().message.empty(); });
    const std::uint64_t waiting = practice->log_status().unsaved_notes;
    full.reset();
    CHECK(heard == kNotes);
    CHECK(told);
    CHECK(waiting > 0);
    CHECK(test::wait_for([&] { return practice->log_status().unsaved_notes == 0; }));
    practice->stop();
    CHECK(notes_in(log) == kNotes);
}
