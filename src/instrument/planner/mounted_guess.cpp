// Which stack one open note betrays, and the words for it.
#include "core/cents.h"
#include "instrument/lengths.h"
#include "instrument/planner/change_drill.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

namespace bellhand::instrument {

namespace {

// Shares before anything is heard: common practice, no source.
constexpr double kRight = 0.7;        ///< against all mistakes together
constexpr double kAskedPartial = 0.9; ///< against all other partials together
constexpr int kLowestPartial = 2;
constexpr int kHighestPartial = 12;
constexpr double kOffset_cents = 6.0;
constexpr double kNothing_per_cent = 2e-6; ///< density of a note that nothing explains
constexpr double kWorthNaming = 0.1;
constexpr double kSure = 0.7;

std::string name(const HornLengths& horn, std::size_t between) {
    return horn.between[between].name;
}

std::string crook_name(const HornLengths& horn, int crook) {
    return crook < 0 ? "no crook" : horn.crooks[static_cast<std::size_t>(crook)].name;
}

class Guesses {
public:
    Guesses(const HornLengths& horn, const ChangeCall& call) : horn_(horn), call_(call) {
        add(call.right, call.slide_m, "");
        if (call.from && *call.from != call.right) {
            add(*call.from, call.slide_from_m, "nothing was changed");
        }
        if (call.from && std::fabs(call.slide_from_m - call.slide_m) > 5e-4) {
            char text[64];
            std::snprintf(
                text, sizeof text, "the slide still stands at %.0f mm", 1000.0 * call.slide_from_m);
            add(call.right, call.slide_from_m, text);
        }
        add_crooks();
        add_pieces();
    }

    [[nodiscard]] std::vector<MountedGuess>& all() { return all_; }

private:
    void add(const Stack& stack, double slide_m, std::string what) {
        const bool known = std::any_of(all_.begin(), all_.end(), [&](const MountedGuess& one) {
            return one.stack == stack && std::fabs(one.slide_m - slide_m) < 5e-4;
        });
        if (!known && (fits(horn_, stack) || stack == call_.right)) {
            all_.push_back({stack, slide_m, 4, 0.0, std::move(what)});
        }
    }

    void add_crooks() {
        for (int crook = 0; crook < static_cast<int>(horn_.crooks.size()); ++crook) {
            if (crook != call_.right.crook) {
                add({crook, call_.right.between},
                    call_.slide_m,
                    crook_name(horn_, crook) + " instead of " +
                        crook_name(horn_, call_.right.crook));
            }
        }
    }

    void add_pieces() {
        const PieceSet right = call_.right.between;
        const PieceSet before = call_.from ? call_.from->between : 0;
        for (std::size_t i = 0; i < horn_.between.size(); ++i) {
            const PieceSet one = PieceSet{1} << i;
            const bool belongs = (right & one) != 0;
            add({call_.right.crook, right ^ one},
                call_.slide_m,
                name(horn_, i) + (belongs               ? " is missing"
                                  : (before & one) != 0 ? " is still on"
                                                        : " is on too much"));
            for (std::size_t k = 0; belongs && k < horn_.between.size(); ++k) {
                const PieceSet other = PieceSet{1} << k;
                if ((right & other) == 0) {
                    add({call_.right.crook, (right & ~one) | other},
                        call_.slide_m,
                        name(horn_, k) + " instead of " + name(horn_, i));
                }
            }
        }
    }

    const HornLengths& horn_;
    const ChangeCall& call_;
    std::vector<MountedGuess> all_;
};

double normal(double x, double sd) {
    return std::exp(-0.5 * x * x / (sd * sd)) / (sd * std::sqrt(2.0 * std::numbers::pi));
}

/// Of a note beside a stack: how far off on a partial, and how far an honest one may be.
struct Sounding {
    double off_cents = 0.0;
    double sd_cents = 0.0;
};

Sounding sounding(const HornLengths& horn,
                  const ChangeCall& call,
                  const MountedGuess& guess,
                  const ShownNote& note,
                  int partial) {
    const double f1_hz =
        f1_of_length_hz(pushed_in_m(horn, guess.stack) + horn.slide_adds_m(guess.slide_m),
                        speed_of_sound_m_s(call.target.air));
    return {cents_between(note.f0_hz, partial * f1_hz),
            std::sqrt(std::pow(settled_sd_cents(horn, guess.stack), 2) +
                      kOffset_cents * kOffset_cents + note.sd_cents * note.sd_cents)};
}

void weigh(const HornLengths& horn,
           const ChangeCall& call,
           const ShownNote& note,
           double prior,
           MountedGuess& guess) {
    double best = -1.0;
    for (int partial = kLowestPartial; partial <= kHighestPartial; ++partial) {
        const bool asked = partial == note.partial;
        const double share =
            asked ? kAskedPartial : (1.0 - kAskedPartial) / (kHighestPartial - kLowestPartial);
        const Sounding heard = sounding(horn, call, guess, note, partial);
        const double weight = prior * share * normal(heard.off_cents, heard.sd_cents);
        guess.share += weight;
        if (weight > best) {
            best = weight;
            guess.partial = partial;
        }
    }
}

std::string whole(double value) {
    return std::to_string(std::lround(std::fabs(value)));
}

std::string timed(const ChangeCall& call, const ChangeResult& result) {
    char text[96];
    std::snprintf(text, sizeof text, " %.1f s", result.seconds);
    std::string out = text;
    if (call.estimate_s > 0.0) {
        std::snprintf(text, sizeof text, ", estimated %g s", call.estimate_s);
        out += text;
    }
    if (call.rest_s) {
        std::snprintf(text, sizeof text, "; the rest is %g s", *call.rest_s);
        out += text;
        out += result.seconds > *call.rest_s ? ": too late" : "";
    }
    return out + ".";
}

} // namespace

const char* stands_id(Stands stands) noexcept {
    switch (stands) {
    case Stands::in_key:
        return "in_key";
    case Stands::wrong:
        return "wrong";
    case Stands::unclear:
        break;
    }
    return "unclear";
}

std::string in_words(const HeardVerdict& heard) {
    const std::string off = whole(heard.off_cents) + " cents " +
                            (heard.off_cents > 0.0 ? "above" : "below") + " the key";
    switch (heard.stands) {
    case Stands::in_key:
        return "The horn stands in the key: " + off + ", one note tells it within " +
               whole(2.0 * heard.off_sd_cents) + ".";
    case Stands::wrong:
        break;
    case Stands::unclear:
        if (heard.guesses.empty()) {
            return "The note is " + off +
                   ", and no single wrong piece explains it: play it again, "
                   "open.";
        }
        break;
    }
    std::string text = heard.stands == Stands::wrong ? "Not in the key: the note is " + off + "."
                                                     : "Not sure: the note is " + off + ".";
    if (heard.guesses.empty()) {
        return text;
    }
    text += ' ';
    const bool several = heard.guesses.size() > 1;
    text += several ? "These sound alike: " : "";
    for (std::size_t i = 0; i < heard.guesses.size(); ++i) {
        const MountedGuess& guess = heard.guesses[i];
        text += (i > 0 ? "; or " : "") +
                (guess.what.empty() ? std::string("everything is right") : guess.what) +
                (several ? " (" + whole(100.0 * guess.share) + " %)" : "");
    }
    return text + ".";
}

HeardVerdict judge_heard(const HornLengths& horn, const ChangeCall& call, const ShownNote& note) {
    Guesses guesses(horn, call);
    auto& all = guesses.all();
    const Sounding right = sounding(horn, call, all.front(), note, note.partial);
    HeardVerdict verdict;
    verdict.off_cents = right.off_cents;
    verdict.off_sd_cents = right.sd_cents;
    const double mistake =
        (1.0 - kRight) / static_cast<double>(std::max<std::size_t>(1, all.size() - 1));
    double sum = kNothing_per_cent;
    for (std::size_t i = 0; i < all.size(); ++i) {
        weigh(horn, call, note, i == 0 ? kRight : mistake, all[i]);
        sum += all[i].share;
    }
    for (MountedGuess& guess : all) {
        guess.share /= sum;
    }
    const double in_key = all.front().share;
    std::stable_sort(all.begin(), all.end(), [](const MountedGuess& a, const MountedGuess& b) {
        return a.share > b.share;
    });
    for (const MountedGuess& guess : all) {
        if (guess.share >= kWorthNaming) {
            verdict.guesses.push_back(guess);
        }
    }
    const double nothing = kNothing_per_cent / sum;
    if (nothing > 0.5) {
        verdict.guesses.clear();
    } else if (in_key >= kSure) {
        verdict.stands = Stands::in_key;
    } else if (1.0 - in_key - nothing >= kSure) {
        verdict.stands = Stands::wrong;
    }
    return verdict;
}

std::string in_words(const HornLengths& horn, const ChangeCall& call, const ChangeResult& result) {
    std::string text;
    if (result.said_verdict) {
        const SaidVerdict& said = *result.said_verdict;
        char slide[48];
        if (said.right) {
            std::snprintf(slide, sizeof slide, ", slide %.0f mm out.", 1000.0 * said.slide.pull_m);
            text = "Right: " + describe(horn, *result.said) + slide;
        } else {
            text = "Wrong: " + describe(horn, *result.said) + " stays " +
                   whole(said.slide.left_cents) + " cents too " +
                   (said.slide.left_cents > 0.0 ? "high" : "low") + "; right is " +
                   describe(horn, call.right) + ".";
        }
    }
    if (result.heard) {
        text += (text.empty() ? "" : " ") + in_words(*result.heard);
    }
    return text + timed(call, result);
}

std::string summary_words(const ChangeDrill& drill) {
    double taken_s = 0.0;
    double estimate_s = 0.0;
    std::size_t right = 0;
    for (const ChangeResult& result : drill.results()) {
        right += result.right() ? 1U : 0U;
        const ChangeCall& call = drill.calls()[result.call];
        if (result.heard && call.estimate_s > 0.0) { // named pieces are not yet mounted ones
            taken_s += result.seconds;
            estimate_s += call.estimate_s;
        }
    }
    std::string text =
        std::to_string(right) + " of " + std::to_string(drill.results().size()) + " right.";
    if (estimate_s > 0.0) {
        char times[96];
        std::snprintf(times,
                      sizeof times,
                      " Your changes took %.1f times the estimate (change_times in the profile).",
                      taken_s / estimate_s);
        text += times;
    }
    return text;
}

} // namespace bellhand::instrument
