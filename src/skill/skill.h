#pragma once

#include "drill/exercise.h"
#include "drill/judgement.h"
#include "horn/crook.h"
#include "horn/hand_chart.h"

#include <array>
#include <compare>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <tuple>
#include <vector>

namespace bellhand::skill {

/// What one can be good or bad at: a written note with its hand on one crook, or the way to it from another one. Keeping
/// time is an item of its own (`time_item`): a late note is no fault of the note and its hand.
struct Item {
    int transposition = -7; ///< of the crook
    int number = 60;        ///< written note, by number: how it is spelled does not matter
    horn::Hand hand = horn::Hand::open;
    std::optional<int> from_number; ///< set: the transition from there
    horn::Hand from_hand = horn::Hand::open;

    friend bool operator==(const Item&, const Item&) = default;
    friend bool operator<(const Item& a, const Item& b) {
        return std::tie(a.transposition, a.number, a.hand, a.from_number, a.from_hand) <
               std::tie(b.transposition, b.number, b.hand, b.from_number, b.from_hand);
    }
};

/// Keeping time, whatever is played.
[[nodiscard]] Item time_item() noexcept;
[[nodiscard]] bool is_time(const Item& item) noexcept;

/// What is known of one item. Everything that is predicted follows from these figures (`outlook`), so that they are all
/// the log has to keep.
struct Skill {
    Item item;
    std::uint32_t tries = 0;
    std::uint32_t good = 0;
    std::uint32_t history = 0;         ///< the last 32 tries, newest in bit 0, 1 = good
    double half_life_days = 1.0;       ///< of what is remembered of it while it is not played
    double deviation_cents = 0.0;      ///< of the held part: where the next one is expected
    double deviation_variance = 400.0; ///< of that expectation, cents squared
    std::int64_t last_s = 0;           ///< Unix time of the newest try
    std::uint64_t failed_by =
        0; ///< what failed in the newest failures, five bits each; `failures_of` reads it

    friend bool operator==(const Skill&, const Skill&) = default;
};

using Skills = std::map<Item, Skill>;

/// A skill's figures in a row of the log: tries, good, history, half-life, deviation, its variance, what failed, 0.
[[nodiscard]] std::array<double, 8> figures_of(const Skill& skill) noexcept;
/// The way back. Figures that no skill has (damaged, or of another version) are taken as the nearest possible ones.
[[nodiscard]] Skill
skill_from(const Item& item, const std::array<double, 8>& figures, std::int64_t last_s) noexcept;

/// Constants of the model: own choices, no published source; what they do is checked against simulated players.
struct Constants {
    double recent = 0.88;     ///< weight of each older try against the one after it
    double prior_tries = 2.0; ///< tries that the first guess counts for
    double shortest_half_life_days = 1.0;
    double longest_half_life_days = 120.0;
    double growth = 1.5;               ///< of the half-life, by a success when all was forgotten
    double loss = 0.25;                ///< of the half-life, by a failure when nothing was
    double never_lost = 0.5;           ///< share of a skill that stays, however long it rests
    double drift_cents2_per_day = 9.0; ///< how fast a player's usual deviation moves
    double one_note_cents = 8.0;       ///< scatter of single notes about it, standard deviation
};

/// What may be expected of an item at a moment.
struct Outlook {
    double as_practised = 0.5; ///< probability of a good one as of the last time it was played
    double deviation = 0.2;    ///< standard deviation of that probability
    double remembered = 1.0;   ///< 2^(-days / half-life)
    double now = 0.5;          ///< probability of a good one now
    double days_ago = 0.0;     ///< since it was played
};

/// First guess for an item that was never played: open notes of the middle register come easily, closed and high or very
/// low ones less so (common practice, no source).
[[nodiscard]] double first_guess(const Item& item) noexcept;

/// The mean and variance of a Beta distribution over the weighted history (a Bayesian success rate that forgets old
/// tries; compare Corbett and Anderson 1994, whose tracing of knowledge this simplifies), times what time has left of
/// it: half-life forgetting after Ebbinghaus 1885 in the form of Settles and Meeder 2016.
[[nodiscard]] Outlook
outlook(const Skill& skill, std::int64_t now_s, const Constants& constants = {}) noexcept;

/// The same for an item that may not be there yet.
[[nodiscard]] Outlook outlook(const Skills& skills,
                              const Item& item,
                              std::int64_t now_s,
                              const Constants& constants = {}) noexcept;

/// Remembers by what the newest try failed.
void remember_failure(Skill& skill, drill::Fault fault) noexcept;
/// What failed in the newest failures that are remembered (10), newest first, at most `most`.
[[nodiscard]] std::vector<drill::Fault> failures_of(const Skill& skill, int most);

/// One try. The half-life grows with a success, the more the more had been forgotten, and shrinks with a failure, the
/// more the better it should have been known (spacing effect, Pavlik and Anderson 2005). `held_cents`: deviation of the
/// held part, when the right note sounded; a Kalman filter of a random walk (Kalman 1960) follows it.
void practise(Skill& skill,
              bool good,
              std::optional<double> held_cents,
              std::int64_t now_s,
              const Constants& constants = {}) noexcept;

/// The note and hand that a step asks for, by the hand chart where the step leaves it open. Empty: a rest, or a note that no
/// horn plays.
[[nodiscard]] std::optional<Item> item_of(const drill::Step& step,
                                          const horn::Crook& crook) noexcept;

/// The items that a step trains: its note, and the transition from the step before it unless a rest lies between.
[[nodiscard]] std::vector<Item>
items_of(const drill::Exercise& exercise, std::size_t step, const horn::Crook& crook);

/// Counts a judgement for the note, for the transition that led to it, and for keeping time where that was judged. A note
/// fails by everything but its time; a transition by what keeps the note from being reached: another note, partial or
/// hand, its attack. Returns the items that changed, for the log. A judgement of a step that the exercise does not have, or
/// of a note too many, changes nothing.
std::vector<Item> learn(Skills& skills,
                        const drill::Exercise& exercise,
                        const drill::Judgement& judgement,
                        const horn::Crook& crook,
                        std::int64_t now_s,
                        const Constants& constants = {});

/// "stopped F4", "open G4", "half-stopped B4", "G4 to stopped A♭4".
[[nodiscard]] std::string item_name(const Item& item);

/// How many of the newest tries were good, counting at most `most` (32 at most).
struct Tally {
    int good = 0;
    int of = 0;
};
[[nodiscard]] Tally recent_tally(const Skill& skill, int most) noexcept;

/// Fewer than three in four of the newest ten tries were right. What a heading says follows from the figures beside it.
[[nodiscard]] bool is_weak(const Skill& skill) noexcept;
inline constexpr int kTallied = 10;

} // namespace bellhand::skill
