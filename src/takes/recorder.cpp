#include "takes/recorder.h"

#include "core/platform.h"
#include "logbook/logbook.h"
#include "takes/budget.h"
#include "takes/entering.h"
#include "takes/tape.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <list>

namespace bellhand::takes {

namespace {

namespace fs = std::filesystem;

constexpr std::chrono::milliseconds kRest{
    100}; // a killed program loses no more of a take than this and a block
constexpr std::chrono::milliseconds kTryAgain{1000};
constexpr double kLongestTake_s = 45.0 * 60.0;  // then the next one begins
constexpr double kWaitingLimit_s = 20.0 * 60.0; // of sound that the disk does not take

} // namespace

/// Belongs to the recorder's thread.
struct Recorder::Inside {
    std::shared_ptr<const SoundMemory> memory;
    Options options;
    fs::path folder;
    std::list<Tape> tapes;
    Tape* running = nullptr;
    TakeLabel running_label;
    std::optional<Wish> too_early; ///< a take that is to begin with the first sound
    std::unique_ptr<logbook::Logbook> book;
    std::uint32_t count = 0;
    std::uint32_t saved = 0;
    std::string message;
    std::string notice;

    [[nodiscard]] std::string next_name() {
        std::string name;
        for (const char c : options.session.started_at) {
            if ((c >= '0' && c <= '9') || c == 'T') {
                name += c;
            }
        }
        char number[40];
        std::snprintf(number, sizeof number, "-%lu-%03u", platform::process_number(), ++count);
        return name + number + options.input;
    }

    Tape* start(double from_s, const TakeLabel& label) {
        const auto stretch = memory->newest();
        if (!stretch) {
            return nullptr;
        }
        JournalHead head;
        head.session = options.session;
        head.session.id = options.session_id();
        head.block = label.block;
        head.why = label.why;
        head.kept = label.kept;
        const std::uint64_t from =
            std::clamp(stretch->sample_at(from_s), stretch->oldest(), stretch->heard());
        return &tapes.emplace_back(stretch, from, next_name(), std::move(head));
    }

    void end_running(double at_s) {
        too_early.reset();
        if (running != nullptr) {
            running->end_at(
                std::min(running->stretch().sample_at(at_s), running->stretch().heard()));
            running = nullptr;
        }
    }

    void follow(const Wish& wish) {
        switch (wish.kind) {
        case Wish::Kind::begin:
            end_running(wish.from_s);
            running_label = wish.label;
            running = start(wish.from_s, wish.label);
            if (running == nullptr) {
                too_early = wish;
            }
            break;
        case Wish::Kind::end:
            end_running(wish.to_s);
            break;
        case Wish::Kind::keep:
            keep(wish);
            break;
        }
    }

    void keep(const Wish& wish) {
        const auto stretch = memory->newest();
        if (stretch && running != nullptr && &running->stretch() == stretch.get() &&
            stretch->sample_at(wish.from_s) < stretch->oldest() &&
            running->from() < stretch->oldest()) {
            running->set_kept();
            return;
        }
        if (Tape* const tape = start(wish.from_s, wish.label)) {
            tape->end_at(std::min(stretch->sample_at(wish.to_s), stretch->heard()));
        }
    }

    void begin_late() {
        if (too_early && memory->newest()) {
            follow(Wish(*too_early));
        }
    }

    /// The running take goes on in another one when the sample rate has changed or it is long enough.
    void turn_over() {
        if (running == nullptr) {
            return;
        }
        const bool other = memory->newest().get() != &running->stretch();
        if (other || running->seconds() >= kLongestTake_s || running->ended()) {
            const double now_s = other ? memory->newest()->start_s()
                                       : running->stretch().time_of(running->stretch().heard());
            if (!running->ended()) {
                running->end_at(running->stretch().heard());
            }
            running = start(now_s, running_label);
        }
    }

    void pull() {
        for (Tape& tape : tapes) {
            const auto limit = static_cast<std::size_t>(kWaitingLimit_s * tape.stretch().rate_hz());
            if (tape.pull(limit) && running == &tape) {
                running = nullptr; // twenty minutes wait already: no more of it can be held
            }
        }
    }

    [[nodiscard]] Result<void> save() {
        Result<void> all;
        for (auto tape = tapes.begin(); tape != tapes.end();) {
            tape->set_session(options.session_id());
            Result<void> done = tape->save(folder);
            if (done && tape->complete()) {
                done = enter(*tape);
                if (done) {
                    tape = tapes.erase(tape);
                    continue;
                }
            }
            if (!done && all) {
                all = std::move(done);
            }
            ++tape;
        }
        return all;
    }

    [[nodiscard]] Result<void> enter(Tape& tape) {
        Journal* const journal = tape.journal();
        if (journal == nullptr) {
            return {}; // ended before it began
        }
        if (tape.head().session.id == 0) {
            return failure("The log has no session yet: takes wait beside it and are entered as "
                           "soon as it has.");
        }
        if (auto opened = open_book(); !opened) {
            return opened;
        }
        auto done = finish_take(*journal, *book, tape.head().session.id);
        if (done) {
            ++saved;
        }
        return done;
    }

    [[nodiscard]] Result<void> open_book() {
        if (!book) {
            auto opened = logbook::Logbook::open(options.log);
            if (!opened) {
                return tl::unexpected(opened.error());
            }
            book = std::move(*opened);
        }
        return {};
    }

    void look_after_what_is_there() {
        if (!open_book()) {
            return; // the log's own writer says why; takes are entered later
        }
        const Recovered recovered = finish_abandoned_takes(folder, *book);
        if (!recovered.problems.empty()) {
            notice = recovered.problems.front();
            return;
        }
        if (!recovered.takes.empty()) {
            notice = "What was recorded when the program ended last time is in the log: " +
                     std::to_string(recovered.takes.size()) +
                     (recovered.takes.size() == 1 ? " take." : " takes.");
        }
        if (const auto said = keep_within_budget(*book)) {
            notice += (notice.empty() || said->empty() ? "" : " ") + *said;
        }
    }

    /// The end of the session, and something could not be saved: journals are finished at the next start, what is only
    /// in memory goes to the temporary folder.
    void rescue() {
        std::string where;
        for (Tape& tape : tapes) {
            if (tape.save(folder)) {
                where = where.empty() ? " It is finished at the next start." : where;
                continue;
            }
            const auto path = tape.rescue(rescue_folder(folder));
            where = path ? " The take was saved as " + path->string() +
                               " instead; it comes back at the next start."
                         : " The take could not be saved anywhere.";
        }
        message += where;
    }
};

Recorder::Recorder(std::shared_ptr<const SoundMemory> memory, Options options)
    : inside_(std::make_unique<Inside>()) {
    inside_->memory = std::move(memory);
    inside_->folder = logbook::takes_folder(options.log);
    inside_->options = std::move(options);
    thread_ = std::thread([this] { work(); });
}

Recorder::~Recorder() {
    finish();
}

void Recorder::wish(Wish wish) {
    const std::scoped_lock lock(mutex_);
    wishes_.push_back(std::move(wish));
    changed_.notify_one();
}

void Recorder::begin(double from_s, const TakeLabel& label) {
    wish({Wish::Kind::begin, from_s, 0.0, label});
}

void Recorder::end(double at_s) {
    wish({Wish::Kind::end, 0.0, at_s, {}});
}

void Recorder::keep(double from_s, double to_s, const TakeLabel& label) {
    TakeLabel kept = label;
    kept.kept = true;
    wish({Wish::Kind::keep, from_s, to_s, std::move(kept)});
}

void Recorder::finish() {
    if (!thread_.joinable()) {
        return;
    }
    {
        const std::scoped_lock lock(mutex_);
        finishing_ = true;
        changed_.notify_one();
    }
    thread_.join();
}

RecorderStatus Recorder::status() const {
    const std::scoped_lock lock(mutex_);
    return status_;
}

void Recorder::work() {
    Inside& in = *inside_;
    bool looked = false;
    auto next_try = std::chrono::steady_clock::now();
    for (bool last = false; !last;) {
        std::vector<Wish> wishes;
        {
            std::unique_lock lock(mutex_);
            changed_.wait_for(lock, kRest, [&] { return finishing_ || !wishes_.empty(); });
            wishes.swap(wishes_);
            last = finishing_;
        }
        in.begin_late();
        for (const Wish& wish : wishes) {
            in.follow(wish);
        }
        if (last) {
            in.end_running(1e9);
        }
        in.turn_over();
        in.pull();
        const auto now = std::chrono::steady_clock::now();
        if (last || now >= next_try) {
            const Result<void> saved = in.save();
            in.message = saved ? std::string() : saved.error().message;
            next_try = saved ? now : now + kTryAgain;
            if (last && !in.tapes.empty()) {
                in.rescue();
            }
        }
        if (!looked && !last && in.options.input.empty() && in.options.session_id() != 0) {
            looked = true; // once the session's own writer has brought the log up to date
            in.look_after_what_is_there();
        }
        const auto stretch = in.memory->newest();
        const std::scoped_lock lock(mutex_);
        status_.recording = in.running != nullptr;
        status_.recorded_s = in.running != nullptr ? in.running->seconds() : 0.0;
        status_.saved = in.saved;
        status_.unsaved = static_cast<std::uint32_t>(std::count_if(
            in.tapes.begin(), in.tapes.end(), [](const Tape& tape) { return tape.complete(); }));
        status_.reaches_back_s =
            stretch ? static_cast<double>(stretch->heard() - stretch->oldest()) / stretch->rate_hz()
                    : 0.0;
        status_.message = in.message;
        status_.notice = in.notice;
    }
    in.book.reset();
}

} // namespace bellhand::takes
