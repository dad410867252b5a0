#pragma once

#include "run/run.h"

#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace bellhand::terminal {

/// Makes the published answer of an event (a JSON object in one line), which happened in this tuning.
using EventAnswer =
    std::function<std::string(const horn::Tuning& tuning, const std::string& event)>;

/// What happened in a run, as lines for people or as JSON objects, one a line. JSON: every event has "at_s" and
/// "event": "asked" (the notes that are asked now: at the beginning of a block, on a new crook, and when bars are asked
/// again), "step" (one judgement), "remark" (a sentence on the playing as a whole), "rest", "summary", "finished".
class RunLines {
public:
    /// Without `as_answer` for people.
    RunLines(EventAnswer as_answer, bool utf8)
        : as_answer_(std::move(as_answer)), json_(static_cast<bool>(as_answer_)), utf8_(utf8) {}
    /// What is new since the last call.
    [[nodiscard]] std::vector<std::string>
    tell(double now_s, const run::State& state, const horn::Tuning& tuning);

private:
    void tell_summaries(std::vector<std::string>& lines, double now_s, const run::State& state);
    void tell_remarks(std::vector<std::string>& lines, double now_s, const run::State& state);
    void tell_steps(std::vector<std::string>& lines, double now_s, const run::State& state);
    void tell_asked(std::vector<std::string>& lines,
                    double now_s,
                    const run::State& state,
                    const horn::Tuning& tuning);

    EventAnswer as_answer_;
    bool json_;
    bool utf8_;
    std::optional<run::Stage> stage_;
    std::size_t block_ = 0;
    bool repeating_ = false;
    std::uint32_t part_ = 0;
    std::size_t summaries_ = 0;
    std::size_t told_ = 0;
    std::size_t remarks_ = 0;
};

} // namespace bellhand::terminal
