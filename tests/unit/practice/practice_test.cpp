#include "practice/practice.h"

#include "app/demo.h"
#include "audio/synth.h"
#include "logbook/logbook.h"
#include "practice/offline.h"
#include "support/fake_output.h"
#include "support/model_hand.h"
#include "support/played_source.h"

#include <atomic>
#include <chrono>
#include <filesystem>
#include <thread>

#include <doctest/doctest.h>

#include <unistd.h>

using namespace bellhand;
namespace fs = std::filesystem;

namespace {

struct Folder {
    fs::path path = fs::temp_directory_path() / ("bellhand_practice_" + std::to_string(getpid()));
    Folder() { fs::create_directories(path); }
    ~Folder() { fs::remove_all(path); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
};

audio::SynthScore arpeggio() {
    audio::SynthScore score;
    const horn::Tuning tuning;
    double time_s = 0.2;
    for (const int number : {60, 64, 67, 72}) {
        score.tones.push_back({.start_s = time_s,
                               .duration_s = 0.4,
                               .f0_hz = horn::target_hz(horn::usual_spelling(number), tuning)});
        time_s += 0.5;
    }
    score.length_s = time_s + 0.3;
    return score;
}

std::string names(const std::vector<trainer::PlayedNote>& notes) {
    std::string out;
    for (const trainer::PlayedNote& note : notes) {
        out += (out.empty() ? "" : " ") + horn::ascii_name(note.written);
    }
    return out;
}

/// A device whose driver does not answer for a while, though its sound comes.
class SlowToAnswer final : public audio::Source {
public:
    explicit SlowToAnswer(std::vector<test::PlayedSource::Piece> pieces)
        : player_(std::move(pieces), true) {}
    Result<void> start(audio::BlockRing& ring) override { return player_.start(ring); }
    void stop() noexcept override { player_.stop(); }
    audio::SourceStatus status() const override {
        while (!answers()) {
            std::this_thread::sleep_for(std::chrono::milliseconds(1));
        }
        return player_.status();
    }
    [[nodiscard]] bool answers() const { return answers_.load(); }
    void answer() { answers_.store(true); }

private:
    test::PlayedSource player_;
    std::atomic<bool> answers_{false};
};

/// Polls until the source is over; a test that hangs is stopped by ctest.
std::size_t run_through(practice::Practice& practice, std::vector<trainer::PlayedNote>& notes) {
    std::size_t readings = 0;
    while (practice.poll([&readings](const trainer::Reading&) { ++readings; })) {
        practice.take_notes(notes);
        std::this_thread::sleep_for(std::chrono::milliseconds(1));
    }
    practice.take_notes(notes);
    return readings;
}

std::unique_ptr<audio::Source> played(const audio::SynthScore& score) {
    return std::make_unique<test::PlayedSource>(
        std::vector<test::PlayedSource::Piece>{{audio::render(score, 48000.0)}});
}

class Count final : public practice::AnalysisSink {
public:
    std::size_t readings = 0;
    double last_s = 0.0;
    std::vector<trainer::PlayedNote> notes;
    void reading(const trainer::Reading& reading) override {
        ++readings;
        last_s = reading.frame.time_s;
    }
    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        notes.push_back(note);
    }
};

} // namespace

TEST_SUITE("practice/practice") {
    TEST_CASE("a session from start to stop: readings, notes, and the same notes in the log") {
        const Folder folder;
        const fs::path log = folder.path / "log.sqlite";
        auto started = practice::Practice::start(played(arpeggio()), {horn::Tuning{}, log});
        REQUIRE(started);
        std::vector<trainer::PlayedNote> notes;
        const std::size_t readings = run_through(**started, notes);
        (*started)->stop();
        CHECK(names(notes) == "C4 E4 G4 C5");
        CHECK(readings > 400);
        CHECK((*started)->elapsed_s() == doctest::Approx(2.5).epsilon(0.01));
        CHECK((*started)->log_status().saving);
        CHECK((*started)->log_status().unsaved_notes == 0);

        auto book = logbook::Logbook::open_for_reading(log);
        REQUIRE(book);
        const auto sessions = (*book)->sessions();
        REQUIRE(sessions);
        REQUIRE(sessions->size() == 1);
        CHECK(sessions->front().closed);
        CHECK(sessions->front().input == "test player");
        CHECK(sessions->front().crook == std::string("F"));
        CHECK(sessions->front().duration_s == doctest::Approx(2.5).epsilon(0.01));
        const auto logged = (*book)->notes(sessions->front().id);
        REQUIRE(logged);
        REQUIRE(logged->size() == notes.size());
        for (std::size_t i = 0; i < notes.size(); ++i) {
            CHECK((*logged)[i].note.written == notes[i].written);
            CHECK((*logged)[i].note.deviation_cents == doctest::Approx(notes[i].deviation_cents));
            CHECK((*logged)[i].note.duration_s == doctest::Approx(notes[i].duration_s));
            CHECK((*logged)[i].note.finished);
        }
    }

    TEST_CASE("a sounding note is in the log within a second, and stop closes it") {
        const Folder folder;
        const fs::path log = folder.path / "log.sqlite";
        audio::SynthScore score;
        score.tones.push_back(
            {.start_s = 0.2, .duration_s = 5.0, .f0_hz = horn::target_hz({60, 0}, {})});
        std::vector<float> samples = audio::render(score, 48000.0);
        samples.resize(48000 * 3); // the source stops giving in the middle of the note
        auto source = std::make_unique<test::PlayedSource>(
            std::vector<test::PlayedSource::Piece>{{std::move(samples)}}, true);
        auto started = practice::Practice::start(std::move(source), {horn::Tuning{}, log});
        REQUIRE(started);
        while ((*started)->elapsed_s() < 2.99) {
            std::this_thread::sleep_for(std::chrono::milliseconds(5));
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(200)); // the writer's turn
        REQUIRE((*started)->sounding());
        CHECK((*started)->sounding()->duration_s > 2.5);
        {
            auto book = logbook::Logbook::open_for_reading(log);
            REQUIRE(book);
            const auto logged = (*book)->notes(1);
            REQUIRE(logged);
            REQUIRE(logged->size() == 1);
            CHECK(logged->front().note.duration_s > 2.0); // 2.8 s sounded
            CHECK_FALSE(logged->front().note.finished);
        }
        (*started)->stop();
        CHECK_FALSE((*started)->sounding());
        auto book = logbook::Logbook::open_for_reading(log);
        REQUIRE(book);
        const auto logged = (*book)->notes(1);
        REQUIRE(logged);
        REQUIRE(logged->size() == 1);
        CHECK(logged->front().note.finished);
        CHECK((*book)->sessions()->front().closed);
    }

    TEST_CASE("a viewer that never polls costs readings, not notes; nothing waits for it") {
        audio::SynthScore score = arpeggio();
        score.length_s = 40.0; // more than the ring of readings holds
        auto started = practice::Practice::start(played(score), {horn::Tuning{}, std::nullopt});
        REQUIRE(started);
        while ((*started)->elapsed_s() < 39.9) {
            std::this_thread::sleep_for(std::chrono::milliseconds(5));
        }
        std::vector<trainer::PlayedNote> notes;
        run_through(**started, notes);
        CHECK(names(notes) == "C4 E4 G4 C5");
        CHECK((*started)->log_status().session == 0);
    }

    TEST_CASE("setting the crook while running ends the note and counts from then on") {
        audio::SynthScore score;
        score.tones.push_back(
            {.start_s = 0.1, .duration_s = 20.0, .f0_hz = horn::target_hz({60, 0}, {})});
        auto source = audio::make_synth(score, audio::Pace::real_time);
        auto started = practice::Practice::start(std::move(source), {horn::Tuning{}, std::nullopt});
        REQUIRE(started);
        while (!(*started)->sounding()) {
            std::this_thread::sleep_for(std::chrono::milliseconds(5));
        }
        horn::Tuning on_g;
        on_g.crook = *horn::parse_crook("G");
        (*started)->set_tuning(on_g, std::nullopt);
        std::vector<trainer::PlayedNote> notes;
        while (notes.empty() || !(*started)->sounding()) {
            (*started)->take_notes(notes);
            std::this_thread::sleep_for(std::chrono::milliseconds(5));
        }
        CHECK(names(notes) == "C4");
        CHECK(horn::ascii_name((*started)->sounding()->written) == "Bb3");
        (*started)->stop();
    }

    TEST_CASE("the output is taken when first something is to sound; beats come at the tempo in "
              "session seconds") {
        const auto output = std::make_shared<test::FakeOutput>();
        auto started =
            practice::Practice::start(audio::make_synth(arpeggio(), audio::Pace::real_time),
                                      {.tuning = {}, .log_path = std::nullopt, .output = output});
        REQUIRE(started);
        (*started)->sound({});
        CHECK(output->starts == 0);
        audio::ReferenceSound sound;
        sound.beats_per_minute = 240.0;
        (*started)->sound(sound);
        (*started)->sound(sound);
        CHECK(output->starts == 1);
        std::vector<practice::HeardBeat> beats;
        while (beats.size() < 5 && (*started)->elapsed_s() < 2.4) {
            (*started)->take_beats(beats);
            std::this_thread::sleep_for(std::chrono::milliseconds(2));
        }
        REQUIRE(beats.size() >= 5);
        for (std::size_t i = 1; i < beats.size(); ++i) {
            CHECK(beats[i].number == i);
            CHECK(beats[i].time_s - beats[i - 1].time_s ==
                  doctest::Approx(0.25).epsilon(0.1)); // a busy machine
        }
        CHECK(beats[0].round_trip_s == doctest::Approx(0.02));
        const practice::OwnSoundStatus status = (*started)->own_sound();
        CHECK(status.output.name == "test loudspeaker");
        CHECK(status.wanted.beats_per_minute == 240.0);
        (*started)->stop();
        CHECK(output->status().state == audio::SourceState::idle);
    }

    TEST_CASE("what was learnt of the player's open notes is handed back, goes into the next "
              "session, and can "
              "be forgotten") {
        auto first = practice::Practice::start(played(arpeggio()), {horn::Tuning{}, std::nullopt});
        REQUIRE(first);
        std::vector<trainer::PlayedNote> notes;
        run_through(**first, notes);
        (*first)->stop();
        std::vector<hand::Colour> taught;
        for (const trainer::PlayedNote& note : notes) {
            if (note.heard.taught.known) {
                taught.push_back(note.heard.taught);
            }
        }
        const int learnt = static_cast<int>(taught.size());
        CHECK(learnt >= 3); // the fourth may be too far off to be surely open
        CHECK((*first)->learnt().notes == learnt);

        practice::PracticeOptions options;
        options.open_notes = taught;
        auto second = practice::Practice::start(played(arpeggio()), options);
        REQUIRE(second);
        CHECK((*second)->learnt().notes == learnt);
        run_through(**second, notes);
        CHECK((*second)->learnt().notes > learnt);

        audio::SynthScore score;
        score.tones.push_back(
            {.start_s = 0.1, .duration_s = 20.0, .f0_hz = horn::target_hz({60, 0}, {})});
        auto third =
            practice::Practice::start(audio::make_synth(score, audio::Pace::real_time), options);
        REQUIRE(third);
        (*third)->forget_learnt();
        (*third)->stop();
        CHECK((*third)->learnt().notes <= 1);
    }

    TEST_CASE(
        "a note is heard with the player's own hand, from the start and after a change of tuning") {
        // This hand leaves the half-stopped fifth partial where others have the open one.
        horn::Tuning tuning;
        practice::OwnHand own{test::known_hand(tuning), hand::calibrated_trust(), {}};
        const double fall = own.response.fall_cents[4][2];
        for (double& open : own.response.open_cents) {
            open -= fall;
        }
        audio::SynthScore score;
        score.tones.push_back(
            {.start_s = 0.1, .duration_s = 0.6, .f0_hz = 5.0 * horn::fundamental_hz(tuning)});
        score.length_s = 1.0;
        const auto heard_closure = [&](const practice::PracticeOptions& options) {
            auto started = practice::Practice::start(played(score), options);
            REQUIRE(started);
            std::vector<trainer::PlayedNote> notes;
            run_through(**started, notes);
            REQUIRE(notes.size() == 1);
            CHECK(notes[0].heard.estimate.position.partial == 5);
            return notes[0].heard.estimate.position.closure;
        };
        practice::PracticeOptions options;
        const double nominal = heard_closure(options);
        options.hand = own;
        CHECK(heard_closure(options) > nominal + 0.3);
    }

    TEST_CASE("a source that is slow to say how it is holds nothing up") {
        auto source = std::make_unique<SlowToAnswer>(
            std::vector{test::PlayedSource::Piece{std::vector<float>(48000, 0.0F)}});
        SlowToAnswer& device = *source;
        const auto practice = practice::Practice::start(std::move(source), {});
        REQUIRE(practice);
        std::size_t readings = 0;
        const auto deadline = std::chrono::steady_clock::now() + std::chrono::seconds(20);
        while (readings < 100 && std::chrono::steady_clock::now() < deadline) {
            (*practice)->poll([&readings](const trainer::Reading&) { ++readings; });
            std::this_thread::sleep_for(std::chrono::milliseconds(1));
        }
        CHECK(readings >= 100);
        CHECK_FALSE(device.answers());
        device.answer();
        (*practice)->stop();
    }

    TEST_CASE("stop is idempotent, and destroying without stop is stop") {
        auto started = practice::Practice::start(
            audio::make_synth(app::demo_score({}, 1).sound, audio::Pace::real_time),
            {horn::Tuning{}, std::nullopt});
        REQUIRE(started);
        (*started)->stop();
        (*started)->stop();
        CHECK_FALSE((*started)->poll([](const trainer::Reading&) {}));
        auto other = practice::Practice::start(played(arpeggio()), {horn::Tuning{}, std::nullopt});
        REQUIRE(other);
        other->reset();
    }
}

TEST_SUITE("practice/offline") {
    TEST_CASE("a whole source goes through at full speed, every sample of it") {
        const auto source = audio::make_synth(arpeggio(), audio::Pace::as_fast_as_possible);
        Count count;
        const auto status = practice::analyse(*source, {}, count);
        REQUIRE(status);
        CHECK(status->state == audio::SourceState::ended);
        CHECK(status->dropped_samples == 0);
        CHECK(names(count.notes) == "C4 E4 G4 C5");
        CHECK(count.last_s == doctest::Approx(2.5).epsilon(0.005));
        CHECK(static_cast<double>(count.readings) == doctest::Approx(2.5 * 187.5).epsilon(0.01));
    }
}
