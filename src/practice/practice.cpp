#include "practice/practice.h"

#include "core/calendar.h"
#include "practice/analysis.h"
#include "practice/log_writer.h"
#include "practice/own_sound.h"
#include "practice/played_back.h"
#include "practice/wishes.h"

#include <atomic>
#include <chrono>
#include <mutex>
#include <thread>

namespace bellhand::practice {

namespace {

constexpr std::size_t kRingBlocks = 4096;    // 11 s at 48 kHz: outlasts any pause of the machine
constexpr std::size_t kRingReadings = 4096;  // 22 s of hops
constexpr std::size_t kRingNotes = 8192;     // a quarter of an hour of fast playing
constexpr std::size_t kRingBeats = 1024;     // minutes of any tempo
constexpr double kSaveSoundingEvery_s = 0.5; // a killed program loses less than a second of a note
constexpr std::chrono::milliseconds kWait{2};
constexpr auto kSourceCheck = std::chrono::milliseconds(20);

class Running final : public Practice, private AnalysisSink {
public:
    Running(std::unique_ptr<audio::Source> source, const PracticeOptions& options)
        : source_(std::move(source)),
          blocks_(kRingBlocks),
          readings_(kRingReadings),
          notes_(kRingNotes),
          beats_(kRingBeats),
          output_(options.output),
          wishes_{options.tuning, options.hand, {}, options.tolerance_factor},
          analysis_(options.tuning) {
        analysis_.set_tolerance_factor(options.tolerance_factor);
        if (options.hand) {
            analysis_.set_hand(*options.hand);
        }
        if (!options.open_notes.empty()) {
            analysis_.begin_with(options.open_notes);
        }
        learnt_ = analysis_.hand().reference();
    }

    ~Running() override { halt(); }
    Running(const Running&) = delete;
    Running& operator=(const Running&) = delete;

    Result<void> start(const PracticeOptions& options) {
        if (const std::string& trouble = analysis_.hand().trouble(); !trouble.empty()) {
            return failure(trouble);
        }
        if (auto started = source_->start(blocks_); !started) {
            return started;
        }
        if (options.log_path || options.beside) {
            logbook::SessionRecord session;
            session.started_at = calendar::now_utc();
            session.input = source_->status().name;
            session.crook = options.tuning.crook.id;
            session.a4_hz = options.tuning.a4_hz;
            session.temperament = options.tuning.temperament.id;
            session.footing = logbook::footing_record(options.tuning);
            takes::Recorder::Options recorder;
            recorder.session = session;
            if (options.log_path) {
                log_ = std::make_unique<LogWriter>(*options.log_path, session);
                recorder.log = *options.log_path;
                recorder.session_id = [log = log_.get()] { return log->status().session; };
            } else {
                recorder.log = options.beside->log_path;
                recorder.session_id = options.beside->session;
                recorder.input = "-second";
            }
            recorder_ = std::make_unique<takes::Recorder>(memory_, std::move(recorder));
        }
        watch_ = std::thread([this] { watch_devices(); });
        thread_ = std::thread([this] { work(); });
        return {};
    }

    void stop() override { halt(); }

    void set_tuning(const horn::Tuning& tuning, const std::optional<OwnHand>& own) override {
        wish([&](Wishes& wishes) {
            wishes.tuning = tuning;
            wishes.hand = own;
            wishes.retune = true;
        });
    }

    void expect(const trainer::ExpectedPitches& pitches) override {
        wish([&](Wishes& wishes) { wishes.expected = pitches; });
    }

    void set_tolerance_factor(double factor) override {
        wish([&](Wishes& wishes) { wishes.tolerance_factor = factor; });
    }

    void sound(const audio::ReferenceSound& sound) override {
        if (!output_) {
            return;
        }
        output_->play(sound);
        const bool sounds = audio::audible(sound, sound_);
        sound_ = sound;
        if (sounds && !output_taken_ && !stopping_.load(std::memory_order_relaxed)) {
            // It cannot be in use already, which is all that `start` refuses; everything else its status tells.
            output_taken_ = output_->start(&own_sound_.played()).has_value();
        }
    }

    void take_beats(std::vector<HeardBeat>& out) override {
        HeardBeat beat;
        while (beats_.try_pop(beat)) {
            out.push_back(beat);
        }
    }

    OwnSoundStatus own_sound() const override {
        OwnSoundStatus status;
        if (output_) {
            status.wanted = sound_;
            status.output = output_->status();
            const std::scoped_lock lock(own_mutex_);
            status.round_trip_s = own_.round_trip_s;
            status.round_trip_measured = own_.round_trip_measured;
            status.bleed = own_.bleed;
            status.limited = own_.limited;
            status.blocks_lost = own_.blocks_lost;
        }
        return status;
    }

    void log(run::Record record) override {
        if (log_) {
            log_->put(std::move(record));
        }
    }

    bool poll(const std::function<void(const trainer::Reading&)>& each) override {
        const bool over = over_.load(std::memory_order_acquire);
        while (const trainer::Reading* reading = readings_.front()) {
            each(*reading);
            readings_.release();
        }
        return !over;
    }

    void take_notes(std::vector<trainer::PlayedNote>& out) override {
        trainer::PlayedNote note;
        while (notes_.try_pop(note)) {
            out.push_back(note);
        }
    }

    std::optional<trainer::PlayedNote> sounding() const override {
        const std::scoped_lock lock(sounding_mutex_);
        return sounding_;
    }

    hand::OpenReference learnt() const override {
        const std::scoped_lock lock(learnt_mutex_);
        return learnt_;
    }

    void forget_learnt() override {
        wish([](Wishes& wishes) { wishes.forget = true; });
    }

    audio::SourceStatus source_status() const override {
        audio::SourceStatus status = source_->status();
        const std::scoped_lock lock(trouble_mutex_);
        if (!trouble_.empty() && status.message.empty()) {
            status.message = trouble_;
        }
        return status;
    }

    LogStatus log_status() const override { return log_ ? log_->status() : LogStatus{}; }

    takes::Recorder* recorder() override { return recorder_.get(); }
    std::shared_ptr<const takes::SoundMemory> memory() const override { return memory_; }
    void overlook(bool on) override { played_back_.set(on); }
    double elapsed_s() const override { return elapsed_s_.load(std::memory_order_relaxed); }

private:
    void halt() {
        source_->stop();
        if (output_) {
            output_->stop();
        }
        stopping_.store(true, std::memory_order_release);
        for (std::thread* thread : {&watch_, &thread_}) {
            if (thread->joinable()) {
                thread->join();
            }
        }
        if (log_) {
            log_->finish(elapsed_s());
        }
        if (recorder_) {
            recorder_->finish();
        }
    }

    /// Asks source and output how they are: their answers lock and allocate, which the analysis must not wait for.
    void watch_devices() {
        while (!stopping_.load(std::memory_order_acquire)) {
            const audio::SourceStatus source = source_->status();
            if (output_) {
                reported_latency_s_.store(output_->status().reported_latency_s +
                                              source.reported_latency_s,
                                          std::memory_order_relaxed);
            }
            if (source.state == audio::SourceState::ended ||
                source.state == audio::SourceState::failed) {
                source_over_.store(true, std::memory_order_release);
                return;
            }
            std::this_thread::sleep_for(kSourceCheck);
        }
    }

    void work() {
        bool over = false;
        while (!over) {
            // Asked before the ring is emptied: what was delivered before the end is then in the ring.
            over = stopping_.load(std::memory_order_acquire) ||
                   source_over_.load(std::memory_order_acquire);
            hear_all();
            if (!over) {
                std::this_thread::sleep_for(kWait);
            }
        }
        analysis_.finish(*this);
        take_wishes(); // what was forgotten just before the end must not come back
        publish_sounding();
        // Nothing is heard any more: here it may wait, and nothing may be left unsaid.
        const std::scoped_lock lock(learnt_mutex_, trouble_mutex_);
        learnt_ = analysis_.hand().reference();
        if (!new_trouble_.empty()) {
            trouble_.swap(new_trouble_);
        }
        over_.store(true, std::memory_order_release);
    }

    void follow_output() {
        if (!output_) {
            return;
        }
        own_sound_.set_reported_latency(reported_latency_s_.load(std::memory_order_relaxed));
        own_sound_.follow();
        for (audio::Beat beat; output_->next_beat(beat);) {
            own_sound_.add_beat(beat);
        }
        for (HeardBeat beat; own_sound_.next_beat(beat);) {
            static_cast<void>(beats_.try_push(beat)); // full: nobody wants to know
        }
    }

    void hear_all() {
        follow_output();
        while (const audio::Block* block = blocks_.front()) {
            take_wishes();
            memory_->hear(*block, analysis_.start_of(*block)); // the room as it was, drone and all
            heard_ = *block;
            if (played_back_.sounds(analysis_.elapsed_s())) {
                heard_.samples.fill(0.0F);
            }
            if (output_) {
                own_sound_.hear(heard_, analysis_.start_of(heard_), horn_sounds_);
            }
            if (auto fed = analysis_.feed(heard_, *this); !fed) {
                new_trouble_ = fed.error().message;
            }
            blocks_.release();
            elapsed_s_.store(analysis_.elapsed_s(), std::memory_order_relaxed);
        }
        take_wishes();
        publish_own_sound();
        publish_sounding();
        publish_trouble();
    }

    void wish(const auto& change) {
        const std::scoped_lock lock(wishes_mutex_);
        change(wishes_);
        wishes_changed_.store(true, std::memory_order_release);
    }

    void take_wishes() {
        if (!wishes_changed_.load(std::memory_order_acquire)) {
            return;
        }
        const std::unique_lock lock(wishes_mutex_, std::try_to_lock);
        if (!lock) {
            return; // the caller is just setting it: next block
        }
        wishes_changed_.store(false, std::memory_order_relaxed);
        analysis_.expect(wishes_.expected);
        analysis_.set_tolerance_factor(wishes_.tolerance_factor);
        if (wishes_.retune) {
            wishes_.retune = false;
            analysis_.set_tuning(wishes_.tuning, *this);
            if (wishes_.hand) {
                analysis_.set_hand(*wishes_.hand);
            }
        }
        if (wishes_.forget) {
            wishes_.forget = false;
            analysis_.begin_with({});
            publish_learnt();
        }
    }

    void publish_learnt() {
        const std::unique_lock lock(learnt_mutex_, std::try_to_lock);
        if (lock) { // else someone is looking: after the next note
            learnt_ = analysis_.hand().reference();
        }
    }

    void publish_trouble() {
        if (new_trouble_.empty()) {
            return;
        }
        const std::unique_lock lock(trouble_mutex_, std::try_to_lock);
        if (lock) { // else someone is looking: next time
            trouble_.swap(new_trouble_);
            new_trouble_.clear();
        }
    }

    void publish_own_sound() {
        const std::unique_lock lock(own_mutex_, std::try_to_lock);
        if (!lock || !output_) {
            return; // someone is looking: next time
        }
        own_.round_trip_s = own_sound_.round_trip_s();
        own_.round_trip_measured = own_sound_.round_trip_measured();
        own_.bleed = own_sound_.bleed();
        own_.limited = own_sound_.limited();
        own_.blocks_lost = own_sound_.lost_blocks();
    }

    void publish_sounding() {
        const std::unique_lock lock(sounding_mutex_, std::try_to_lock);
        if (!lock) {
            return; // someone is looking: next time
        }
        trainer::PlayedNote note;
        if (analysis_.sounding(note)) {
            sounding_ = note;
        } else {
            sounding_.reset();
        }
    }

    // AnalysisSink, on the analysis thread
    void reading(const trainer::Reading& reading) override {
        horn_sounds_ = reading.frame.voiced;
        static_cast<void>(readings_.try_push(reading)); // full: nobody looks
        if (!log_ || reading.frame.time_s < save_sounding_at_s_) {
            return;
        }
        trainer::PlayedNote note;
        if (analysis_.sounding(note)) {
            static_cast<void>(
                log_->offer({analysis_.tuning(), note})); // full: the next one tells more
            save_sounding_at_s_ = reading.frame.time_s + kSaveSoundingEvery_s;
        }
    }

    void note(const trainer::PlayedNote& note, const horn::Tuning& tuning) override {
        static_cast<void>(notes_.try_push(note));
        publish_learnt();
        while (log_ && !log_->offer({tuning, note})) {
            std::this_thread::sleep_for(kWait); // a note is never lost; the block ring is long
        }
        save_sounding_at_s_ = 0.0;
    }

    std::unique_ptr<audio::Source> source_;
    audio::BlockRing blocks_;
    SpscRing<trainer::Reading> readings_;
    SpscRing<trainer::PlayedNote> notes_;
    SpscRing<HeardBeat> beats_;

    std::shared_ptr<audio::Output> output_;
    OwnSound own_sound_; // analysis thread only, apart from the ring that the output fills
    audio::Block heard_; // analysis thread only, as is the next
    bool horn_sounds_ = false;
    audio::ReferenceSound sound_; // caller's thread, as is the next
    bool output_taken_ = false;

    std::mutex wishes_mutex_;
    Wishes wishes_;
    std::atomic<bool> wishes_changed_{false};

    mutable std::mutex sounding_mutex_;
    std::optional<trainer::PlayedNote> sounding_;
    /// What the analysis knows of our own sound.
    struct Own {
        double round_trip_s = 0.0;
        bool round_trip_measured = false;
        bleed::Report bleed;
        bool limited = false;
        std::uint64_t blocks_lost = 0;
    };
    mutable std::mutex own_mutex_;
    Own own_;
    mutable std::mutex learnt_mutex_;
    hand::OpenReference learnt_;
    mutable std::mutex trouble_mutex_;
    std::string trouble_;     ///< why the analysis cannot use the stream
    std::string new_trouble_; // analysis thread only, until it is published

    std::atomic<double> elapsed_s_{0.0};
    PlayedBack played_back_;
    std::atomic<double> reported_latency_s_{0.0}; ///< of source and output together
    std::atomic<bool> source_over_{false};
    std::atomic<bool> stopping_{false};
    std::atomic<bool> over_{false};

    Analysis analysis_; // analysis thread only
    double save_sounding_at_s_ = 0.0;
    std::unique_ptr<LogWriter> log_;
    const std::shared_ptr<takes::SoundMemory> memory_ = std::make_shared<takes::SoundMemory>();
    std::unique_ptr<takes::Recorder> recorder_; ///< asks `log_`
    std::thread thread_;
    std::thread watch_;
};

} // namespace

Result<std::unique_ptr<Practice>> Practice::start(std::unique_ptr<audio::Source> source,
                                                  const PracticeOptions& options) {
    auto running = std::make_unique<Running>(std::move(source), options);
    if (auto started = running->start(options); !started) {
        return tl::unexpected(started.error());
    }
    return running;
}

} // namespace bellhand::practice
