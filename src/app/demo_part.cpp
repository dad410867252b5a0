#include "app/demo_part.h"

#include "audio/exact_math.h"
#include "audio/tone_pieces.h"
#include "core/cents.h"
#include "horn/hand_response.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace bellhand::app {

namespace {

using drill::Asked;
using drill::Hairpin;
using drill::Manner;

constexpr double kTongue_s = 0.06;       // of silence before a tongued note
constexpr double kBreath_s = 0.6;        // where bars do not follow each other
constexpr double kFreeQuarter_s = 0.75;  // where nothing sets a tempo
constexpr double kFreeNote_s = 2.0;      // of a note as long as the player likes
constexpr double kFreeClosing_s = 5.0;   // the same of a slow closing
constexpr double kOnePitch_cents = 60.0; // slurred notes that near would be one
constexpr double kSwell_db = 9.0;
constexpr double kTrillNote_s = 0.09;
constexpr double kPiece_s = 0.06;      // of a tone that changes while it is held
constexpr double kRightShare = 0.35;   // of the tolerance: what is to be right is surely right
constexpr double kBeyond_cents = 10.0; // of the tolerance: what is to be wrong is surely wrong
constexpr double kTooOpen = 0.2;       // of the closure
constexpr double kLeastFault_s = 0.3;  // a shorter note is over before its fault is heard
constexpr double kAfter_s = 1.0;

double swell_at(Hairpin hairpin, double through) {
    switch (hairpin) {
    case Hairpin::growing:
        return through;
    case Hairpin::fading:
        return 1.0 - through;
    case Hairpin::growing_and_fading:
        return 1.0 - std::fabs(2.0 * through - 1.0);
    case Hairpin::none:
        break;
    }
    return 0.0;
}

class Player {
public:
    explicit Player(const DemoTask& task)
        : task_(task),
          asked_(*task.asked),
          chance_(task.seed),
          quarter_s_(task.exercise->quarters_per_minute > 0.0
                         ? 60.0 / task.exercise->quarters_per_minute
                         : kFreeQuarter_s),
          now_s_(task.first_s) {}

    DemoPart play() {
        if (task_.faults) {
            choose_faults();
        }
        for (int pass = 0; pass < task_.passes; ++pass) {
            play_through(pass);
        }
        out_.sound.seed = task_.seed;
        out_.sound.jitter_cents = 1.0;
        out_.sound.length_s = now_s_ + kAfter_s;
        return std::move(out_);
    }

private:
    struct Planted {
        int pass = 0;
        std::size_t at = 0;
        PlantedFault fault = PlantedFault::none;
    };

    [[nodiscard]] double written_s(const Asked& asked) const {
        if (asked.quarters > 0.0) {
            return asked.quarters * quarter_s_;
        }
        return asked.manner == Manner::slow_closing ? kFreeClosing_s : kFreeNote_s;
    }

    [[nodiscard]] std::size_t first_of(int pass) const {
        const auto first = std::find_if(asked_.begin(), asked_.end(), [&](const Asked& asked) {
            return pass > 0 || asked.step >= task_.from_step;
        });
        return static_cast<std::size_t>(first - asked_.begin());
    }

    [[nodiscard]] bool bears_fault(const Asked& asked) const {
        return asked.manner == Manner::plain && written_s(asked) >= kLeastFault_s;
    }

    /// Any of the notes that may be wrong in that pass, by chance; one with the hand in the bell if so wished.
    std::optional<std::size_t> choose(int pass, bool by_hand) {
        std::vector<std::size_t> fit;
        for (std::size_t at = first_of(pass); at < asked_.size(); ++at) {
            const bool taken = std::any_of(planted_.begin(), planted_.end(), [&](const auto& one) {
                return one.pass == pass && one.at == at;
            });
            const bool hand = asked_[at].hand != horn::Hand::open;
            if (bears_fault(asked_[at]) && !taken && (hand || !by_hand)) {
                fit.push_back(at);
            }
        }
        if (fit.empty()) {
            return std::nullopt;
        }
        const auto any =
            static_cast<std::size_t>(chance_.uniform() * static_cast<double>(fit.size()));
        return fit[std::min(any, fit.size() - 1)];
    }

    void choose_faults() {
        for (int pass = 0; pass < task_.passes && planted_.size() < 2; ++pass) {
            if (planted_.empty()) {
                if (const auto by_hand = choose(pass, true)) {
                    planted_.push_back({pass, *by_hand, PlantedFault::hand_too_open});
                } else if (const auto any = choose(pass, false)) {
                    planted_.push_back({pass, *any, PlantedFault::sharp});
                }
            }
            if (planted_.size() == 1) {
                if (const auto any = choose(pass, false)) {
                    planted_.push_back({pass, *any, PlantedFault::flat});
                }
            }
        }
        out_.planted = static_cast<int>(planted_.size());
    }

    [[nodiscard]] PlantedFault fault_of(int pass, std::size_t at) const {
        for (const Planted& one : planted_) {
            if (one.pass == pass && one.at == at) {
                return one.fault;
            }
        }
        return PlantedFault::none;
    }

    void play_through(int pass) {
        const std::size_t first = first_of(pass);
        for (std::size_t at = first; at < asked_.size(); ++at) {
            if (at > first) {
                now_s_ += gap_before(at);
            } else if (pass > 0) {
                now_s_ += gap_between_passes();
            }
            play_note(pass, at);
        }
    }

    /// What is written between two notes; a breath where other notes stand between them.
    [[nodiscard]] double gap_before(std::size_t at) const {
        const Asked& before = asked_[at - 1];
        for (std::uint32_t step = before.step + 1; step < asked_[at].step; ++step) {
            if (task_.exercise->steps[step].written) {
                return kBreath_s;
            }
        }
        const double rest = asked_[at].at_quarters - before.at_quarters - before.quarters;
        return std::max(0.0, rest) * quarter_s_;
    }

    /// Rests behind the last note and before the first belong to the time through.
    [[nodiscard]] double gap_between_passes() const {
        const std::vector<drill::Step>& steps = task_.exercise->steps;
        double quarters = 0.0;
        for (std::size_t step = asked_.back().step + 1; step < steps.size(); ++step) {
            quarters += drill::quarters_of(*task_.exercise, steps[step]);
        }
        for (std::size_t step = 0; step < asked_.front().step; ++step) {
            quarters +=
                steps[step].written ? 0.0 : drill::quarters_of(*task_.exercise, steps[step]);
        }
        return quarters * quarter_s_;
    }

    void play_note(int pass, std::size_t at) {
        const Asked& asked = asked_[at];
        DemoStep played;
        played.step = asked.step;
        played.pass = pass;
        played.fault = fault_of(pass, at);
        audio::ToneSpec tone;
        tone.f0_hz = asked.target_hz * ratio_of_cents(off_cents(asked, played.fault));
        tone.closure = horn::closure_of(asked.hand);
        if (played.fault == PlantedFault::hand_too_open) {
            tone.closure -= kTooOpen;
        }
        tone.level_dbfs = -21.0 + std::clamp(0.7 * chance_.normal(), -1.2, 1.2);
        tone.slurred = asked.slurred && joins(tone.f0_hz);
        const double tongue_s = tone.slurred ? 0.0 : kTongue_s;
        tone.attack_cents = tone.slurred ? 0.0 : std::clamp(5.0 * chance_.normal(), -12.0, 12.0);
        tone.start_s = now_s_ + tongue_s;
        tone.duration_s = std::max(0.08, written_s(asked) - tongue_s);
        played.start_s = tone.start_s;
        played.duration_s = tone.duration_s;
        now_s_ = tone.start_s + tone.duration_s;
        add_tone(asked, tone);
        out_.steps.push_back(played);
    }

    double off_cents(const Asked& asked, PlantedFault fault) {
        const double most = kRightShare * asked.tolerance_cents;
        const double chance =
            std::clamp((1.5 + 1.5 * horn::closure_of(asked.hand)) * chance_.normal(), -most, most);
        const double beyond = asked.tolerance_cents + kBeyond_cents;
        switch (fault) {
        case PlantedFault::flat:
            return -beyond;
        case PlantedFault::sharp:
        case PlantedFault::hand_too_open:
            return beyond;
        case PlantedFault::none:
            break;
        }
        return chance;
    }

    /// The tone before ends where this one begins, on another pitch.
    [[nodiscard]] bool joins(double f0_hz) const {
        if (out_.sound.tones.empty()) {
            return false;
        }
        const audio::ToneSpec& before = out_.sound.tones.back();
        return now_s_ - before.start_s - before.duration_s < 0.01 &&
               std::fabs(cents_between(f0_hz, before.f0_hz)) > kOnePitch_cents;
    }

    void add_tone(const Asked& asked, const audio::ToneSpec& tone) {
        audio::SynthScore& score = out_.sound;
        if (asked.manner == Manner::slow_closing && asked.other_hz) {
            const double way_cents = cents_between(*asked.other_hz, asked.target_hz);
            audio::add_in_pieces(
                score, tone, kPiece_s, [&](audio::ToneSpec& piece, int, double through) {
                    piece.f0_hz = tone.f0_hz * ratio_of_cents(through * way_cents);
                    piece.closure = through;
                });
        } else if (asked.manner != Manner::plain && asked.other_hz) {
            const double step = *asked.other_hz / asked.target_hz;
            audio::add_in_pieces(
                score, tone, kTrillNote_s, [&](audio::ToneSpec& piece, int index, double) {
                    piece.f0_hz = tone.f0_hz * (index % 2 == 0 ? 1.0 : step);
                });
        } else if (asked.hairpin != Hairpin::none) {
            audio::add_in_pieces(
                score, tone, kPiece_s, [&](audio::ToneSpec& piece, int, double through) {
                    piece.level_dbfs += kSwell_db * (swell_at(asked.hairpin, through) - 0.5);
                });
        } else {
            score.tones.push_back(tone);
        }
    }

    const DemoTask& task_;
    const std::vector<Asked>& asked_;
    audio::exact::Random chance_;
    double quarter_s_;
    double now_s_;
    std::vector<Planted> planted_;
    DemoPart out_;
};

} // namespace

DemoPart demo_part(const DemoTask& task) {
    return Player(task).play();
}

} // namespace bellhand::app
