#include "run/run.h"

#include "run/run_inside.h"

namespace bellhand::practice {

Result<Lesson>
Lesson::make(std::vector<skill::PlannedBlock> blocks, skill::Skills skills, LessonOptions options) {
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
    return Lesson(std::move(inside));
}

Lesson::Lesson(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Lesson::~Lesson() = default;
Lesson::Lesson(Lesson&&) noexcept = default;
Lesson& Lesson::operator=(Lesson&&) noexcept = default;

void Lesson::hear(const trainer::Reading& reading) {
    if (inside_->listening() && reading.frame.time_s >= inside_->listen_from_s) {
        inside_->runner->hear(reading);
    }
}

void Lesson::finished(const trainer::PlayedNote& note) {
    if (inside_->listening() && note.start_s >= inside_->listen_from_s) {
        inside_->runner->finished(note);
        inside_->look();
    }
}

void Lesson::sounding(const trainer::PlayedNote& note) {
    if (inside_->listening() && note.start_s >= inside_->listen_from_s) {
        inside_->runner->sounding(note);
        inside_->look();
    }
}

void Lesson::beat(double time_s) {
    if (inside_->listening()) {
        inside_->runner->beat(time_s);
        inside_->look();
    }
}

void Lesson::advance(double time_s) {
    inside_->advance(time_s);
}

void Lesson::press(LessonKey key) {
    inside_->press(key);
}

void Lesson::finish() {
    inside_->finish();
}

const LessonState& Lesson::state() const noexcept {
    return inside_->state;
}

const horn::Tuning& Lesson::tuning() const noexcept {
    return inside_->tuning;
}

const audio::ReferenceSound& Lesson::sound() const noexcept {
    return inside_->sound;
}

const skill::Skills& Lesson::skills() const noexcept {
    return inside_->skills;
}

bool Lesson::next(LessonRecord& out) {
    if (inside_->records.empty()) {
        return false;
    }
    out = std::move(inside_->records.front());
    inside_->records.pop_front();
    return true;
}

bool Lesson::next(TakeWish& out) {
    if (inside_->takes.empty()) {
        return false;
    }
    out = std::move(inside_->takes.front());
    inside_->takes.pop_front();
    return true;
}

} // namespace bellhand::practice
