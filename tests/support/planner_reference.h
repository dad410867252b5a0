#pragma once

#include "instrument/planner/planner.h"

#include <array>
#include <optional>
#include <random>
#include <string>
#include <vector>

// What the planner's answers are held against: horns and evenings drawn at random, and every subset of pieces, every place
// of the slide and every sequence of stacks looked at. No lattice, no shared code beyond the plain structs.
namespace bellhand::test {

inline constexpr instrument::AirInHorn kPlannerAir{20.0, 0.5};

[[nodiscard]] instrument::HornPiece
piece(instrument::PieceKind kind, const std::string& name, double acoustic_m, double reach_m);

/// A horn drawn at random: some equal pieces, some terminal crooks, times that are no round numbers.
[[nodiscard]] instrument::HornLengths
random_horn(std::mt19937& random, int crooks, int couplers, int bits);

[[nodiscard]] instrument::SetList random_list(std::mt19937& random, std::size_t numbers);

/// How far a stack stays from the target with the slide where it is best, in cents; high is positive.
[[nodiscard]] double cents_left(const instrument::HornLengths& horn,
                                const instrument::Stack& stack,
                                const instrument::Target& target);

/// Every stack of at most `most` pieces between crook and horn that comes within the tolerance.
[[nodiscard]] std::vector<instrument::Stack> all_in_tune(const instrument::HornLengths& horn,
                                                         const instrument::Target& target,
                                                         double tolerance_cents,
                                                         int most);

/// What a plan is worth: the strict order of wishes, all in whole units.
using Worth = std::array<long, 6>;

/// Tries every sequence of stacks, each with every sequence of marks (cheapest mark by mark, for all wishes add up).
/// Empty when there are more than `most_sequences` of stacks.
[[nodiscard]] std::optional<Worth>
best_of_all_sequences(instrument::Choose choose,
                      const instrument::HornLengths& horn,
                      const instrument::SetList& list,
                      const instrument::PlanRequest& request,
                      double most_sequences,
                      const std::vector<int>& allowed_marks = {});

[[nodiscard]] Worth worth_of(const instrument::Plan& plan,
                             const instrument::HornLengths& horn,
                             const instrument::SetList& list,
                             const instrument::PlanRequest& request);

} // namespace bellhand::test
