#include "run/run.h"

#include "run/run_inside.h"

namespace bellhand::run {

Result<Run>
Run::make(std::vector<skill::PlannedBlock> blocks, skill::Skills skills, Options options) {
    if (blocks.empty()) {
        return usage_error("There is nothing to practise in this plan.");
    }
    auto inside =
        std::make_unique<Inside>(std::move(blocks), std::move(skills), std::move(options));
    for (const skill::PlannedBlock& block : inside->blocks) {
        if (auto runner = inside->runner_for(block); !runner) {
            return tl::unexpected(runner.error());
        }
    }
    inside->set_up_block();
    return Run(std::move(inside));
}

Run::Run(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Run::~Run() = default;
Run::Run(Run&&) noexcept = default;
Run& Run::operator=(Run&&) noexcept = default;

void Run::hear(const trainer::Reading& reading) {
    if (inside_->listening() && reading.frame.time_s >= inside_->listen_from_s) {
        inside_->runner->hear(reading);
    }
}

void Run::finished(const trainer::PlayedNote& note) {
    if (inside_->listening() && note.start_s >= inside_->listen_from_s) {
        if (note.heard.heard) {
            inside_->horn.take(note.heard.horn, inside_->tuning);
            inside_->horn_doubted = note.heard.horn.doubted();
        }
        inside_->runner->finished(note);
        inside_->look();
    }
}

void Run::sounding(const trainer::PlayedNote& note) {
    if (inside_->listening() && note.start_s >= inside_->listen_from_s) {
        inside_->runner->sounding(note);
        inside_->look();
    }
}

void Run::beat(double time_s, bool heard) {
    if (inside_->listening()) {
        inside_->runner->beat(time_s, heard);
        inside_->look();
    }
}

void Run::advance(double time_s) {
    inside_->advance(time_s);
}

void Run::press(Key key) {
    inside_->press(key);
}

void Run::finish() {
    inside_->finish();
}

const State& Run::state() const noexcept {
    return inside_->state;
}

const horn::Tuning& Run::tuning() const noexcept {
    return inside_->tuning;
}

const audio::ReferenceSound& Run::sound() const noexcept {
    return inside_->sound;
}

const skill::Skills& Run::skills() const noexcept {
    return inside_->skills;
}

bool Run::next(Record& out) {
    if (inside_->records.empty()) {
        return false;
    }
    out = std::move(inside_->records.front());
    inside_->records.pop_front();
    return true;
}

bool Run::next(TakeWish& out) {
    if (inside_->takes.empty()) {
        return false;
    }
    out = std::move(inside_->takes.front());
    inside_->takes.pop_front();
    return true;
}

} // namespace bellhand::run
