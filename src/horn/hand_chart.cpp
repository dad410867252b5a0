#include "horn/hand_chart.h"

#include "core/cents.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace bellhand::horn {

namespace {

constexpr int kSeriesRoot = 36; // written C2 = partial 1

constexpr const char* kTaught =
    "from memory (the teaching after Dauprat, Domnich, Duvernoy and Gallay)";
constexpr const char* kTaughtAndWidor =
    "from memory (the teaching after Dauprat, Domnich, Duvernoy and Gallay); the same sign in "
    "Widor, Initiation musicale, p. 34";
constexpr const char* kWidor = "Widor, Initiation musicale, p. 34";
constexpr const char* kPracticePage = "Performing technique, naturalhorn.com/z8perf_tech.html";
constexpr const char* kOpenSeries = "the harmonic series: an open partial";
constexpr const char* kResonance =
    "computed: a full stop sounds about a semitone above the partial below";
constexpr const char* kFromMemory = "from memory";

// What the hand does, as the data below name it.
struct Manner {
    Hand from;
    Hand to;
    bool hand_out = false;
    bool lip = false;
    bool poor = false;
};

constexpr Manner kOpen{Hand::open, Hand::open};
constexpr Manner kHandOut{Hand::open, Hand::open, true};
constexpr Manner kHandOutLip{Hand::open, Hand::open, true, true};
constexpr Manner kLip{Hand::open, Hand::open, false, true};
constexpr Manner kQuarter{Hand::quarter, Hand::quarter};
constexpr Manner kQuarterToHalf{Hand::quarter, Hand::half};
constexpr Manner kHalf{Hand::half, Hand::half};
constexpr Manner kHalfToThree{Hand::half, Hand::three_quarters};
constexpr Manner kThree{Hand::three_quarters, Hand::three_quarters};
constexpr Manner kThreeLip{Hand::three_quarters, Hand::three_quarters, false, true};
constexpr Manner kThreeToFull{Hand::three_quarters, Hand::full};
constexpr Manner kFull{Hand::full, Hand::full};
constexpr Manner kFullPoor{Hand::full, Hand::full, false, false, true};
constexpr Manner kFactitious{Hand::open, Hand::half, false, true, true};
constexpr Manner kLippedStop{Hand::three_quarters, Hand::full, false, true, true};
constexpr Manner kHandOutLipPoor{Hand::open, Hand::open, true, true, true};

// One way a row; a note's first row is the usual one. Rising, so that a note's rows lie together.
struct Row {
    int written;
    int partial;
    Manner manner;
    const char* source;
};

constexpr std::array kRows{
    Row{36, 1, kOpen, kFromMemory},               // C2
    Row{43, 2, kLip, kTaught},                    // G2
    Row{44, 2, kFactitious, kTaught},             // Ab2
    Row{45, 2, kFactitious, kTaught},             // A2
    Row{46, 2, kFactitious, kTaught},             // Bb2
    Row{47, 2, kFactitious, kTaught},             // B2
    Row{47, 2, kHalfToThree, kTaught},            //
    Row{48, 2, kOpen, kOpenSeries},               // C3
    Row{49, 3, kFullPoor, kTaught},               // C#3
    Row{50, 3, kLippedStop, kTaught},             // D3
    Row{51, 3, kLippedStop, kTaught},             // Eb3
    Row{52, 3, kLippedStop, kTaught},             // E3
    Row{53, 3, kThreeLip, kTaught},               // F3
    Row{53, 3, kLip, kPracticePage},              //
    Row{54, 3, kHalf, kTaughtAndWidor},           // F#3
    Row{54, 3, kLip, kPracticePage},              //
    Row{55, 3, kOpen, kOpenSeries},               // G3
    Row{56, 4, kFull, kTaughtAndWidor},           // Ab3
    Row{56, 3, kHandOutLipPoor, kPracticePage},   //
    Row{57, 4, kThreeToFull, kTaughtAndWidor},    // A3
    Row{58, 4, kThree, kTaught},                  // Bb3
    Row{58, 4, kFull, kWidor},                    //
    Row{59, 4, kHalf, kTaughtAndWidor},           // B3
    Row{60, 4, kOpen, kOpenSeries},               // C4
    Row{61, 5, kFull, kTaught},                   // C#4
    Row{62, 5, kThree, kTaught},                  // D4
    Row{62, 5, kFull, kWidor},                    //
    Row{63, 5, kHalf, kTaughtAndWidor},           // Eb4
    Row{64, 5, kOpen, kOpenSeries},               // E4
    Row{65, 6, kThreeToFull, kTaughtAndWidor},    // F4
    Row{66, 6, kHalf, kTaughtAndWidor},           // F#4
    Row{67, 6, kOpen, kOpenSeries},               // G4
    Row{68, 7, kThreeToFull, kTaughtAndWidor},    // Ab4
    Row{69, 7, kHalf, kTaughtAndWidor},           // A4
    Row{70, 7, kHandOut, kTaughtAndWidor},        // Bb4
    Row{71, 8, kHalf, kTaughtAndWidor},           // B4
    Row{72, 8, kOpen, kOpenSeries},               // C5
    Row{73, 9, kHalfToThree, kTaughtAndWidor},    // C#5
    Row{73, 8, kFull, kResonance},                //
    Row{74, 9, kOpen, kOpenSeries},               // D5
    Row{75, 10, kHalf, kTaughtAndWidor},          // Eb5
    Row{75, 9, kFull, kResonance},                //
    Row{76, 10, kOpen, kOpenSeries},              // E5
    Row{77, 11, kQuarterToHalf, kTaughtAndWidor}, // F5
    Row{77, 10, kFull, kResonance},               //
    Row{78, 12, kHalf, kTaughtAndWidor},          // F#5
    Row{78, 11, kHandOut, kPracticePage},         //
    Row{79, 12, kOpen, kOpenSeries},              // G5
    Row{80, 13, kQuarter, kTaught},               // Ab5
    Row{80, 12, kFull, kResonance},               //
    Row{81, 13, kHandOutLip, kTaught},            // A5
    Row{81, 14, kQuarterToHalf, kTaught},         //
    Row{82, 14, kHandOut, kTaught},               // Bb5
    Row{82, 15, kHalf, kTaught},                  //
    Row{83, 15, kOpen, kOpenSeries},              // B5
    Row{83, 16, kHalf, kTaught},                  //
    Row{84, 16, kOpen, kOpenSeries},              // C6
    Row{85, 17, kOpen, kOpenSeries},              // C#6
    Row{86, 18, kOpen, kOpenSeries},              // D6
    Row{87, 19, kOpen, kOpenSeries},              // Eb6
    Row{88, 20, kOpen, kOpenSeries},              // E6
    Row{89, 21, kLip, kOpenSeries},               // F6
    Row{90, 23, kLip, kOpenSeries},               // F#6
    Row{90, 22, kLip, kOpenSeries},               //
    Row{91, 24, kOpen, kOpenSeries},              // G6
};

constexpr int kRemarked = 36; // below: index = written - kRemarked

constexpr std::array<const char*, 56> kRemarks = [] {
    std::array<const char*, 56> remarks{};
    remarks.fill("");
    const auto set = [&remarks](int written, const char* remark) {
        remarks[static_cast<std::size_t>(written - kRemarked)] = remark;
    };
    set(36, "Pedal note: the tube has no true resonance there; rarely used.");
    set(43, "Factitious: lipped down from C3, second horn only; classical scores use it.");
    set(44, "Factitious, poor.");
    set(45, "Factitious, poor.");
    set(46, "Factitious, poor.");
    set(47, "Factitious, poor.");
    set(49, "Poor: avoid.");
    set(50, "Poor, rarely written.");
    set(51, "Poor, rarely written.");
    set(52, "Poor, rarely written.");
    set(53, "The lips help the hand; some play it open and lipped.");
    set(56, "The same resonance as a full stop above partial 3.");
    set(57, "The hardest note of the low octave.");
    set(58, "Some use the full stop.");
    set(61, "The same resonance as a full stop above partial 4.");
    set(62, "More closed than F, A and B of this octave.");
    set(65, "The same resonance as a full stop above partial 5.");
    set(68, "The same resonance as a full stop above partial 6.");
    set(69, "A full stop above partial 6 lies a semitone too low for it.");
    set(70, "Partial 7 is low: draw the hand out.");
    set(77, "Partial 11 lies half-way between F and F sharp.");
    set(80, "Partial 13 lies between A flat and A.");
    set(81, "Partial 13 is low for A: hand out, and the lips lift it.");
    set(82, "Partial 14 is low: draw the hand out.");
    set(84, "The top for most players.");
    set(88, "Extreme, on long crooks.");
    set(91, "Extreme of the old high parts.");
    return remarks;
}();

// Stays where it is built: the entries point into the ways.
struct Chart {
    std::array<HandWay, kRows.size()> ways{};
    std::array<ChartEntry, 50> entries{}; // C2, and G2 to G6

    Chart() noexcept {
        for (std::size_t row = 0; row < kRows.size(); ++row) {
            const auto& [written, partial, manner, source] = kRows[row];
            const double shift = shift_from_partial_cents(usual_spelling(written), partial);
            ways[row] = {partial,
                         manner.from,
                         manner.to,
                         shift,
                         manner.hand_out,
                         manner.lip,
                         manner.poor,
                         source};
        }
        std::size_t row = 0;
        for (ChartEntry& entry : entries) {
            const int written = kRows[row].written;
            const std::size_t first = row;
            while (row < kRows.size() && kRows[row].written == written) {
                ++row;
            }
            entry = {usual_spelling(written),
                     std::span<const HandWay>(ways).subspan(first, row - first),
                     kRemarks[static_cast<std::size_t>(written - kRemarked)]};
        }
    }

    Chart(const Chart&) = delete;
    Chart& operator=(const Chart&) = delete;
};

NoteReading
reading(Note written, const ChartEntry& entry, double f0_hz, const Tuning& tuning) noexcept {
    const double goal_hz = target_hz(written, tuning);
    return {
        written, entry.usual().partial, entry.usual().hand, goal_hz, cents_between(f0_hz, goal_hz)};
}

/// The entry of a written note, or of the next above it that the chart has: between C2 and G2 a note has a name and a
/// pitch, though no usual way to play it. Null outside the chart.
const ChartEntry* entry_from(int number) noexcept {
    const auto entries = hand_chart();
    const auto found =
        std::lower_bound(entries.begin(), entries.end(), number, [](const ChartEntry& e, int n) {
            return e.written.number < n;
        });
    const bool inside = found != entries.end() && number >= entries.front().written.number;
    return inside ? &*found : nullptr;
}

bool is_frequency(double hz) noexcept {
    return std::isfinite(hz) && hz > 0.0;
}

} // namespace

const char* hand_id(Hand hand) noexcept {
    constexpr std::array kIds{"open", "quarter", "half", "three-quarters", "full"};
    return kIds[static_cast<std::size_t>(hand)];
}

std::optional<Hand> hand_of(std::string_view id) noexcept {
    for (const Hand hand : kHands) {
        if (id == hand_id(hand)) {
            return hand;
        }
    }
    return std::nullopt;
}

const char* hand_sign(Hand hand) noexcept {
    constexpr std::array kSigns{"o", "¼", "½", "¾", "+"};
    return kSigns[static_cast<std::size_t>(hand)];
}

const char* hand_label(Hand hand) noexcept {
    constexpr std::array kLabels{"open", "quarter", "half", "three-quarters", "full stop"};
    return kLabels[static_cast<std::size_t>(hand)];
}

double shift_from_partial_cents(Note written, int partial) noexcept {
    return 100.0 * (written.number - kSeriesRoot) -
           cents_between(static_cast<double>(partial), 1.0);
}

double partial_hz(int partial, const Tuning& tuning) noexcept {
    return partial * fundamental_hz(tuning);
}

Note nearest_written(int partial) noexcept {
    const double steps = 12.0 * std::log2(static_cast<double>(partial));
    return usual_spelling(kSeriesRoot + static_cast<int>(std::lround(steps)));
}

std::span<const ChartEntry> hand_chart() noexcept {
    static const Chart kChart;
    return kChart.entries;
}

const ChartEntry* chart_entry(Note written) noexcept {
    const auto entries = hand_chart();
    const auto found = std::lower_bound(
        entries.begin(), entries.end(), written.number, [](const ChartEntry& e, int number) {
            return e.written.number < number;
        });
    return found != entries.end() && found->written.number == written.number ? &*found : nullptr;
}

std::optional<NoteReading>
read_pitch(double f0_hz, const Tuning& tuning, std::optional<Note> staying_on) noexcept {
    constexpr double kFurthestCents = 100.0;
    constexpr double kBeyondMiddleCents =
        6.0; // above the jitter of a held note, below a tuning error that matters
    if (!is_frequency(f0_hz)) {
        return std::nullopt;
    }
    const double steps_above_a4 = 12.0 * std::log2(f0_hz / tuning.a4_hz);
    if (!(std::fabs(steps_above_a4) < 120.0)) {
        return std::nullopt;
    }
    constexpr int kA4Number = 69;
    const int near =
        kA4Number + static_cast<int>(std::lround(steps_above_a4)) - tuning.crook.transposition;
    std::optional<NoteReading> best;
    // No temperament moves a note by more than a semitone, so the nearest lies within two steps.
    for (int number = near - 2; number <= near + 2; ++number) {
        const Note written = usual_spelling(number);
        const ChartEntry* entry = entry_from(number);
        if (entry == nullptr) {
            continue;
        }
        const NoteReading here = reading(written, *entry, f0_hz, tuning);
        if (!best || std::fabs(here.deviation_cents) < std::fabs(best->deviation_cents)) {
            best = here;
        }
    }
    if (staying_on && best && best->written.number != staying_on->number) {
        const auto there = read_against(f0_hz, tuning, *staying_on);
        // Moving x cents beyond the middle makes one distance x longer and the other x shorter.
        if (there && std::fabs(there->deviation_cents) <=
                         std::fabs(best->deviation_cents) + 2.0 * kBeyondMiddleCents) {
            best = there;
        }
    }
    if (!best || std::fabs(best->deviation_cents) > kFurthestCents) {
        return std::nullopt;
    }
    return best;
}

std::optional<NoteReading>
read_against(double f0_hz, const Tuning& tuning, Note expected) noexcept {
    const ChartEntry* entry = chart_entry(expected);
    if (entry == nullptr || !is_frequency(f0_hz)) {
        return std::nullopt;
    }
    return reading(expected, *entry, f0_hz, tuning);
}

} // namespace bellhand::horn
