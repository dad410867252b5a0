#include "pitch/note_finder.h"

#include <cmath>

namespace bellhand::pitch {

namespace {

constexpr double kWindow_s = 0.0853;
constexpr double kLowest_hz = 60.0;
constexpr double kHighest_hz = 1680.0;

constexpr double kQuickWindow_s = 0.0427;
constexpr double kQuickLowest_hz = 110.0;
// Under these the lines are too wide to leave an old note out.
constexpr double kQuickAbove_hz = 150.0;
constexpr double kMainAbove_hz = 95.0;

constexpr double kDeepWindow_s = 0.2;
constexpr double kDeepLowest_hz = 26.0;
constexpr double kDeepHighest_hz = 420.0;
constexpr double kDeepBelow_hz = 85.0; // followed pitches under this are checked by the deep search
constexpr double kDeepRate_hz = 5000.0;

// To begin a note at once; to begin one that stays; to go on with one.
constexpr double kContrastClear = 40.0, kContrast = 9.0, kContrastOn = 3.0;
constexpr double kLinesClear = 0.8, kLines = 0.6, kLinesOn = 0.3;
constexpr double kPurityClear = 40.0, kPurity = 9.0, kPurityOn = 6.0, kPurityMoving = 1.5;
constexpr double kExplained = 0.14, kExplainedOn = 0.03;
constexpr double kRepeats = 0.93; // a pitch that moves blurs its lines but still repeats
constexpr double kFilled = 0.6;
// While an old note rings on, with its lines left out.
constexpr double kContrastAfter = 8.0, kLinesAfter = 0.6, kPurityAfter = 6.0, kExplainedAfter = 0.4;
constexpr int kFirstAfter = 4;
constexpr double kAfterQuick = 0.9, kAfterMain = 0.8; // share of a window that must have passed
// The deep search must not take a chord for a harmonic series with holes on a root that nobody plays.
constexpr double kDeepFilled = 0.8;
constexpr int kDeepFirst = 6;
constexpr int kDeepTeeth = 6;
constexpr double kDeepDense = 0.75;

// Low horn notes carry most of their energy from the fourth harmonic up (at 57 to 95 Hz at least 82 % in measured
// tones, at 98 to 106 Hz at least 24 %); mains hum carries it in the first three.
constexpr double kDarkBelow_hz = 92.0;
constexpr double kDark = 0.45;
constexpr double kHumDark = 0.22;
constexpr double kMains = 0.006; // how near to a multiple of the mains frequency counts

bool hum_like(const PitchCandidate& c) noexcept {
    if (c.f0_hz < kDarkBelow_hz)
        return c.bright < kDark;
    for (double mains : {100.0, 120.0, 150.0, 180.0}) {
        if (std::abs(c.f0_hz / mains - 1.0) < kMains)
            return c.bright < kHumDark && c.f0_hz < 130.0;
    }
    return false;
}

NoteFinder::Finding judge(const PitchCandidate& c, double repeats) noexcept {
    NoteFinder::Finding out;
    out.pitch = c;
    if (c.f0_hz <= 0.0 || hum_like(c))
        return out;
    out.horn = c.contrast > kContrast && c.lines > kLines && c.purity > kPurity &&
               c.explained > kExplained && c.filled > kFilled;
    out.clear =
        out.horn && c.contrast > kContrastClear && c.lines > kLinesClear && c.purity > kPurityClear;
    const double purity = repeats > kRepeats ? kPurityMoving : kPurityOn;
    out.maybe = out.horn || (c.contrast > kContrastOn && c.lines > kLinesOn && c.purity > purity &&
                             c.explained > kExplainedOn);
    return out;
}

NoteFinder::Finding judge_deep(const PitchCandidate& c, double repeats) noexcept {
    NoteFinder::Finding out = judge(c, repeats);
    if (c.filled < kDeepFilled || c.first > kDeepFirst || c.teeth < kDeepTeeth ||
        c.dense < kDeepDense)
        out.horn = out.clear = false;
    return out;
}

int deep_factor(double rate_hz) noexcept {
    return std::max(1, static_cast<int>(rate_hz / kDeepRate_hz));
}

} // namespace

NoteFinder::NoteFinder(double sample_rate_hz)
    : main_(sample_rate_hz, kWindow_s, kLowest_hz, kHighest_hz),
      quick_(sample_rate_hz, kQuickWindow_s, kQuickLowest_hz, kHighest_hz),
      low_pass_(deep_factor(sample_rate_hz)),
      deep_(sample_rate_hz / deep_factor(sample_rate_hz),
            kDeepWindow_s,
            kDeepLowest_hz,
            kDeepHighest_hz),
      deep_history_(static_cast<std::size_t>(deep_.window())) {}

std::size_t NoteFinder::reach() const noexcept {
    return static_cast<std::size_t>(main_.window());
}

void NoteFinder::hear(std::span<const float> x) noexcept {
    for (float v : x) {
        float y = 0.0F;
        if (low_pass_.push(v, y))
            deep_history_.append({&y, 1});
    }
}

void NoteFinder::forget() noexcept {
    low_pass_.reset();
    deep_history_.clear();
}

NoteFinder::Finding
NoteFinder::find(const History& history, const PitchPrior& prior, bool deep) noexcept {
    const Finding found = judge(
        main_.best(history.newest(static_cast<std::size_t>(main_.window())), 0.0, prior), 0.0);
    if (found.horn || !deep)
        return found;
    const Finding low = judge_deep(
        deep_.best(deep_history_.newest(static_cast<std::size_t>(deep_.window())), 0.0, prior),
        0.0);
    return low.horn && low.pitch.f0_hz < kDeepBelow_hz ? low : found;
}

NoteFinder::Finding NoteFinder::check(const History& history,
                                      double followed_hz,
                                      double repeats,
                                      bool established,
                                      const PitchPrior& prior) noexcept {
    const auto main_stretch = history.newest(static_cast<std::size_t>(main_.window()));
    if (followed_hz >= kDeepBelow_hz)
        return judge(main_.best(main_stretch, followed_hz, prior, 0.0, established), repeats);
    const auto deep_stretch = deep_history_.newest(static_cast<std::size_t>(deep_.window()));
    const Finding low =
        judge_deep(deep_.best(deep_stretch, followed_hz, prior, 0.0, established), repeats);
    if (low.horn)
        return low;
    const Finding found = judge(main_.best(main_stretch, 0.0, prior), 0.0);
    return found.horn ? found : low;
}

NoteFinder::Finding NoteFinder::find_after(const History& history,
                                           double old_hz,
                                           double age_s,
                                           bool odd,
                                           const PitchPrior& prior) noexcept {
    const bool early = odd || age_s < kAfterMain * kWindow_s;
    if (old_hz < kMainAbove_hz ||
        (early && (age_s < kAfterQuick * kQuickWindow_s || old_hz < kQuickAbove_hz)))
        return {};
    HarmonicSearch& search = early ? quick_ : main_;
    const PitchCandidate c =
        search.best(history.newest(static_cast<std::size_t>(search.window())), 0.0, prior, old_hz);
    Finding out;
    out.pitch = c;
    out.horn = c.f0_hz > 0.0 && c.contrast > kContrastAfter && c.lines > kLinesAfter &&
               c.purity > kPurityAfter && c.explained > kExplainedAfter && c.filled > kFilled &&
               c.first <= kFirstAfter && !hum_like(c);
    return out;
}

double NoteFinder::span_s(double followed_hz) noexcept {
    return followed_hz < kDeepBelow_hz ? kDeepWindow_s : kWindow_s;
}

} // namespace bellhand::pitch
