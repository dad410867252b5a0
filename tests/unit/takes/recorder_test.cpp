#include "takes/recorder.h"

#include "logbook/logbook.h"
#include "support/take_sound.h"
#include "support/temporary_folder.h"
#include "takes/entering.h"
#include "takes/journal.h"

#include <chrono>
#include <thread>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::takes;

namespace {

logbook::SessionRecord a_session() {
    logbook::SessionRecord session;
    session.started_at = "2026-03-01T10:11:12Z";
    session.input = "test";
    session.crook = "Eb";
    session.temperament = "equal";
    return session;
}

/// A session in a log of its own, with a memory and a recorder.
struct Place {
    test::TemporaryFolder folder;
    std::filesystem::path log = folder / "log.sqlite";
    std::shared_ptr<SoundMemory> memory = std::make_shared<SoundMemory>(20.0);
    std::int64_t session = 0;
    std::unique_ptr<Recorder> recorder;

    Place() {
        auto book = logbook::Logbook::open(log);
        REQUIRE(book);
        session = (*book)->begin_session(a_session()).value();
        recorder = std::make_unique<Recorder>(
            memory, Recorder::Options{log, a_session(), [id = session] { return id; }});
    }

    std::vector<logbook::TakeRecord> takes() const {
        auto book = logbook::Logbook::open_for_reading(log);
        REQUIRE(book);
        return (*book)->all_takes().value();
    }

    void check_exact(const logbook::TakeRecord& take, std::uint64_t from, std::uint64_t to) const {
        const auto samples = test::samples_of(logbook::takes_folder(log) / take.file);
        REQUIRE(samples.size() == to - from);
        std::size_t wrong = 0;
        for (std::size_t i = 0; i < samples.size(); ++i) {
            wrong += samples[i] != test::counted_sample(from + i) ? 1U : 0U;
        }
        CHECK(wrong == 0);
        CHECK(take.start_s == doctest::Approx(static_cast<double>(from) / 48000.0));
        CHECK(take.duration_s == doctest::Approx(static_cast<double>(to - from) / 48000.0));
        CHECK(take.bytes == static_cast<std::int64_t>(std::filesystem::file_size(
                                logbook::takes_folder(log) / take.file)));
    }
};

void a_moment() {
    std::this_thread::sleep_for(std::chrono::milliseconds(150));
}

} // namespace

TEST_SUITE("takes/recorder") {
    TEST_CASE("a take recorded live is in the log and the same bit by bit") {
        Place place;
        test::hear_counted(*place.memory, 0, 48000);
        place.recorder->begin(0.5, {3, "Long tones", false});
        a_moment();
        CHECK(place.recorder->status().recording);
        test::hear_counted(*place.memory, 48000, 3 * 48000);
        place.recorder->end(2.5);
        a_moment();
        place.recorder->finish();
        CHECK(place.recorder->status().saved == 1);
        CHECK(place.recorder->status().message.empty());
        const auto takes = place.takes();
        REQUIRE(takes.size() == 1);
        CHECK(takes[0].session == place.session);
        CHECK(takes[0].block == 3U);
        CHECK(takes[0].why == "Long tones");
        CHECK_FALSE(takes[0].kept);
        place.check_exact(takes[0], 24000, 120000);
        std::size_t files = 0;
        for (const auto& entry :
             std::filesystem::directory_iterator(logbook::takes_folder(place.log))) {
            CHECK(entry.path().extension() == ".flac");
            ++files;
        }
        CHECK(files == 1);
    }

    TEST_CASE("what was just played is kept after the fact, as far as the memory reaches") {
        Place place;
        test::hear_counted(*place.memory, 0, 30 * 48000);
        place.recorder->keep(25.0, 30.0, {std::nullopt, "keep that", false});
        place.recorder->keep(2.0, 30.0, {std::nullopt, "all of it", false});
        place.recorder->finish();
        const auto takes = place.takes();
        REQUIRE(takes.size() == 2);
        CHECK(takes[0].kept);
        place.check_exact(takes[0], 10 * 48000, 30 * 48000);
        place.check_exact(takes[1], 25 * 48000, 30 * 48000);
    }

    TEST_CASE("a running take that reaches further back than the memory is marked kept") {
        Place place;
        test::hear_counted(*place.memory, 0, 48000);
        place.recorder->begin(0.0, {0, "Scales", false});
        a_moment();
        for (std::uint64_t second = 1; second < 30; second += 10) {
            test::hear_counted(*place.memory, second * 48000, (second + 10) * 48000);
            a_moment();
        }
        place.recorder->keep(0.0, 31.0, {0, "keep that", false});
        place.recorder->finish();
        const auto takes = place.takes();
        REQUIRE(takes.size() == 1);
        CHECK(takes[0].kept);
        CHECK(takes[0].why == "Scales");
        place.check_exact(takes[0], 0, 31 * 48000);
    }

    TEST_CASE("a take asked for before the first sound begins with it") {
        Place place;
        place.recorder->begin(0.0, {0, "Scales", false});
        a_moment();
        test::hear_counted(*place.memory, 0, 4800);
        place.recorder->finish();
        REQUIRE(place.takes().size() == 1);
        place.check_exact(place.takes()[0], 0, 4800);
    }

    TEST_CASE("nothing played, nothing kept; and without sound keeping does no harm") {
        Place place;
        place.recorder->keep(0.0, 10.0, {std::nullopt, "keep that", false});
        place.recorder->end(1.0);
        place.recorder->finish();
        CHECK(place.takes().empty());
        CHECK(place.recorder->status().message.empty());
    }

    TEST_CASE("a new sample rate ends the take, and the next one goes on from there") {
        Place place;
        test::hear_counted(*place.memory, 0, 48000);
        place.recorder->begin(0.0, {0, "Scales", false});
        a_moment();
        test::hear_counted(*place.memory, 0, 44100, 44100.0, 1.0);
        a_moment();
        place.recorder->finish();
        const auto takes = place.takes();
        REQUIRE(takes.size() == 2);
        place.check_exact(takes[0], 0, 48000);
        CHECK(takes[1].start_s == doctest::Approx(1.0));
        CHECK(takes[1].duration_s == doctest::Approx(1.0));
    }

    TEST_CASE("journals left behind become takes, in their session or in one of their own") {
        Place place;
        place.recorder->finish();
        const auto folder = logbook::takes_folder(place.log);
        std::vector<std::int32_t> sound(5000);
        for (std::size_t i = 0; i < sound.size(); ++i) {
            sound[i] = as_24_bits(test::counted_sample(i));
        }
        JournalHead head;
        head.session = a_session();
        head.why = "Scales";
        auto book = logbook::Logbook::open(place.log);
        {
            auto known = Journal::create(folder, "known", head);
            head.session.started_at = "2026-02-02T09:00:00Z";
            auto unknown = Journal::create(folder, "unknown", head);
            REQUIRE(known);
            REQUIRE(unknown);
            REQUIRE(known->append(sound));
            REQUIRE(unknown->append(sound));
            CHECK(finish_abandoned_takes(folder, **book).takes.empty()); // they are in use
        }
        const Recovered recovered = finish_abandoned_takes(folder, **book);
        CHECK(recovered.problems.empty());
        CHECK(recovered.takes.size() == 2);
        const auto takes = (*book)->all_takes().value();
        REQUIRE(takes.size() == 2);
        CHECK(takes[0].session == place.session);
        CHECK(takes[1].session != place.session);
        place.check_exact(takes[0], 0, 5000);
        place.check_exact(takes[1], 0, 5000);
        CHECK(finish_abandoned_takes(folder, **book).takes.empty());
    }

    TEST_CASE("a second input of the session has takes of its own in it; the folder is looked "
              "after by the first alone") {
        Place place;
        test::hear_counted(*place.memory, 0, 2 * 48000);
        place.recorder->keep(0.0, 2.0, {std::nullopt, "here", false});
        place.recorder->finish();
        {
            JournalHead head;
            head.session = a_session();
            auto left = Journal::create(logbook::takes_folder(place.log), "left", head);
            REQUIRE(left);
            REQUIRE(left->append(std::vector<std::int32_t>(5000)));
        }
        const auto memory = std::make_shared<SoundMemory>(20.0);
        Recorder::Options options{place.log, a_session(), [id = place.session] { return id; }};
        options.input = "-second";
        Recorder second(memory, options);
        a_moment();
        test::hear_counted(*memory, 0, 3 * 48000);
        second.keep(1.0, 3.0, {std::nullopt, "the call", false});
        second.finish();
        const auto takes = place.takes();
        REQUIRE(takes.size() == 2);
        const bool call_first = takes[0].why == "the call";
        place.check_exact(takes[call_first ? 1 : 0], 0, 2 * 48000);
        place.check_exact(takes[call_first ? 0 : 1], 48000, 3 * 48000);
        for (const logbook::TakeRecord& take : takes) {
            CHECK(take.session == place.session);
        }
        CHECK(std::filesystem::exists(logbook::takes_folder(place.log) / "left.sound"));
    }

    TEST_CASE("a journal of nonsense is reported and left alone") {
        Place place;
        place.recorder->finish();
        const auto folder = logbook::takes_folder(place.log);
        std::filesystem::create_directories(folder);
        std::FILE* const file = std::fopen((folder / "odd.sound").string().c_str(), "wb");
        std::fputs(std::string(5000, 'x').c_str(), file);
        std::fclose(file);
        auto book = logbook::Logbook::open(place.log);
        const Recovered recovered = finish_abandoned_takes(folder, **book);
        REQUIRE(recovered.problems.size() == 1);
        CHECK(recovered.problems[0].find("odd.sound") != std::string::npos);
        CHECK(std::filesystem::exists(folder / "odd.sound"));
    }
}
