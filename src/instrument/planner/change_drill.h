#pragma once

#include "instrument/planner/planner.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::instrument {

/// One change as it is called: "E flat!".
struct ChangeCall {
    std::string number; ///< of the set list; empty in a quiz
    Target target;
    Stack right;               ///< what stands in the key: the plan's stack, or the best one
    double slide_m = 0.0;      ///< where the slide then stands
    std::optional<Stack> from; ///< on the horn before; empty: nothing is known
    double slide_from_m = 0.0;
    std::optional<double> rest_s;
    double estimate_s = 0.0; ///< what the profile's times say; 0 when coming from nowhere
};

/// Tonight's changes in order: every number of the plan that can be built.
[[nodiscard]] std::vector<ChangeCall> rehearsal_of(const Plan& plan);

/// So many keys at random, no key twice in a row, each from the stack before. Keys that this horn cannot build are not
/// asked. The same seed asks the same.
[[nodiscard]] std::vector<ChangeCall> quiz_of(
    const HornLengths& horn, double a4_hz, const AirInHorn& air, int questions, std::uint64_t seed);

/// What the player says is mounted, judged.
struct SaidVerdict {
    bool right =
        false; ///< within tolerance somewhere on the slide, as far as the lengths are known
    SlideSetting slide; ///< where it has to stand then; `left_cents` when it is not right
    Change mend;        ///< from what was said to what is right
};
[[nodiscard]] SaidVerdict judge_said(const HornLengths& horn,
                                     const ChangeCall& call,
                                     const Stack& said,
                                     double tolerance_cents = kUsualTolerance_cents);

/// One open note, played to show what is mounted.
struct ShownNote {
    double f0_hz = 0.0;
    double sd_cents = 1.0;
    int partial = 4; ///< that was asked for; another one is thought of too
};

/// What may be on the horn.
struct MountedGuess {
    Stack stack;
    double slide_m = 0.0;
    int partial = 4;    ///< that was played, if this is mounted
    double share = 0.0; ///< probability among everything thought of
    std::string
        what; ///< "coupler 1 is still on", "coupler 2 instead of coupler 3"; empty: everything is right
};

enum class Stands {
    in_key,  ///< the horn stands in the key called, as far as one note can tell
    wrong,   ///< another stack explains the note; `guesses` name it, several when they sound alike
    unclear, ///< nothing thought of explains it, or right and wrong explain it alike
};

/// "in_key", "wrong", "unclear": files.
[[nodiscard]] const char* stands_id(Stands stands) noexcept;

struct HeardVerdict {
    Stands stands = Stands::unclear;
    double off_cents =
        0.0; ///< note minus what the right stack should sound on the partial asked for
    double off_sd_cents = 0.0;         ///< how far a right stack may be off: lengths, partial, aim
    std::vector<MountedGuess> guesses; ///< worth naming, likeliest first
};

/// Names the piece that is wrong by the size of the error. Thought of: the right stack; one piece forgotten, left on, or
/// taken for another; another crook; the change not made; the slide not moved; each with any partial, the one asked for
/// first. Weighed by Bayes' rule with the deviations of the settled lengths, six cents for the partial's own offset and
/// the note's. Pieces nearer to each other than that sound alike, and all of them are named.
[[nodiscard]] HeardVerdict
judge_heard(const HornLengths& horn, const ChangeCall& call, const ShownNote& note);

/// "Not in the key: the note is 98 cents below the key. tone is missing."
[[nodiscard]] std::string in_words(const HeardVerdict& heard);

/// One change as it went.
struct ChangeResult {
    std::size_t call = 0;
    double seconds = 0.0;
    std::optional<Stack> said;
    std::optional<SaidVerdict> said_verdict;
    std::optional<HeardVerdict> heard;

    [[nodiscard]] bool right() const {
        return heard ? heard->stands == Stands::in_key : said_verdict && said_verdict->right;
    }
};

/// The drill from call to call. Times are seconds of any clock that does not run backwards; the drill owns no clock, no
/// microphone and no screen.
class ChangeDrill {
public:
    enum class Phase {
        ready,  ///< nothing is called yet
        called, ///< the clock runs
        judged, ///< the result can be shown
        over,
    };

    /// `own`: the pieces are the player's. Of a box that is not, no piece is named for what one hears; only how far off it is.
    ChangeDrill(HornLengths horn, std::vector<ChangeCall> calls, bool own = true);

    [[nodiscard]] Phase phase() const noexcept { return phase_; }
    [[nodiscard]] const HornLengths& horn() const noexcept { return horn_; }
    [[nodiscard]] const std::vector<ChangeCall>& calls() const noexcept { return calls_; }
    /// What is called, or was called last. Only while something was called.
    [[nodiscard]] const ChangeCall& call() const { return calls_.at(at_); }
    [[nodiscard]] const std::vector<ChangeResult>& results() const noexcept { return results_; }
    /// Of the call that is judged; null when it was passed over.
    [[nodiscard]] const ChangeResult* last_result() const noexcept;
    [[nodiscard]] std::size_t calls_left() const noexcept;
    /// What is worth repeating: wrong, not sure, longer than the rest, or passed over, as far as the drill came.
    [[nodiscard]] std::vector<ChangeCall> to_practise() const;
    /// What that note says of the call, without counting it.
    [[nodiscard]] HeardVerdict judge(const ShownNote& note) const;

    /// Calls the next key, or ends the drill after the last. Only when ready or judged.
    void next(double now_s);
    /// The pieces are said (or clicked). Only while called.
    void say(const Stack& said, double now_s);
    /// An open note was played, begun at this time. While called or judged; it takes the place of an earlier one.
    void show(const ShownNote& note, double begun_s);
    /// The call is passed over without a result. Only while called.
    void skip();
    /// Takes back what came of the call that is judged, and calls it anew.
    void call_again(double now_s);

private:
    HornLengths horn_;
    std::vector<ChangeCall> calls_;
    bool own_ = true;
    std::vector<ChangeResult> results_;
    std::size_t at_ = 0;
    double called_s_ = 0.0;
    Phase phase_ = Phase::ready;
};

/// "Right: G crook + tone, slide 12 mm out. 9.4 s, estimated 9 s; the rest is 18 s."
[[nodiscard]] std::string
in_words(const HornLengths& horn, const ChangeCall& call, const ChangeResult& result);

/// "6 of 8 right. Your changes took 1.3 times the estimate (change_times in the profile)."
[[nodiscard]] std::string summary_words(const ChangeDrill& drill);

} // namespace bellhand::instrument
