#pragma once

#include "app/demo_part.h"
#include "audio/music_stand.h"
#include "horn/tuning.h"
#include "run/run.h"

#include <cstdint>
#include <memory>
#include <optional>
#include <string>

namespace bellhand::app {

/// One note and the hand for it, as a lesson asks for them.
struct AskedNote {
    horn::Note written;
    int partial = 0;
    horn::Hand hand = horn::Hand::open;

    friend bool operator==(const AskedNote&, const AskedNote&) = default;
};

/// The built-in player: plays its own tune (`demo_score`) when nobody asks for anything, the note that a lesson asks for
/// again and again, and what a run asks for when one is at work (`demo_part`), on its crook and pitch. Between exercises
/// and in pauses it is silent.
class DemoPlayer {
public:
    DemoPlayer(std::uint64_t seed, const horn::Tuning& tuning);

    /// Where the player's source reads from.
    [[nodiscard]] const std::shared_ptr<audio::MusicStand>& stand() const noexcept {
        return stand_;
    }
    /// To be called whenever something may have changed, in time with what is heard; null: no run is at work. `asked`: what
    /// a lesson asks for, where there is no run.
    void follow(const run::State* state,
                const horn::Tuning& tuning,
                double now_s,
                const std::optional<AskedNote>& asked = {});

    /// What is played of the exercise of now.
    [[nodiscard]] const DemoPart& part() const noexcept { return part_; }
    /// Goes up with every new part.
    [[nodiscard]] std::uint64_t parts() const noexcept { return parts_; }
    /// What is to be known of the player while it plays what it was asked for, one sentence; empty otherwise.
    [[nodiscard]] std::string sentence() const;

private:
    /// Which stretch of a run is played: another one asks for another part.
    struct Place {
        std::size_t block = 0;
        std::uint32_t part = 0;
        bool repeating = false;
        friend bool operator==(const Place&, const Place&) = default;
    };

    void play_alone(const horn::Tuning& tuning);
    void play_asked(const AskedNote& asked, const horn::Tuning& tuning);
    void rest();
    void wait_for_beat(const run::State& state, double now_s);
    void play(const run::State& state, double first_s);

    std::uint64_t seed_;
    std::shared_ptr<audio::MusicStand> stand_;
    std::optional<horn::Tuning> alone_on_; ///< no run is at work, and what is played is so tuned
    std::optional<AskedNote> asked_;       ///< it is this note; empty: its own tune
    std::optional<Place> playing_;
    std::optional<double> ready_s_; ///< since then a block waits for its first note
    int beats_to_go_ = 0;
    std::optional<int> planted_; ///< faults, in the block of now
    DemoPart part_;
    std::uint64_t parts_ = 0;
};

} // namespace bellhand::app
