#include "horn/tuning.h"
#include "part/read/interpret.h"

#include <algorithm>
#include <utility>

namespace bellhand::part {

namespace {

constexpr int kRest = kQuarter / 2; // shorter silences are no rest to change a crook in

bool contains(const std::vector<horn::Crook>& crooks, const horn::Crook& crook) {
    return std::find(crooks.begin(), crooks.end(), crook) != crooks.end();
}

std::string one_of(const std::vector<horn::Crook>& crooks) {
    std::string text;
    for (std::size_t i = 0; i < crooks.size(); ++i) {
        text += (i == 0                   ? ""
                 : i + 1 == crooks.size() ? " or "
                                          : ", ") +
                std::string(crooks[i].label);
    }
    return text;
}

std::string options_of(const std::vector<horn::Crook>& crooks, const std::string& bar) {
    std::string text;
    for (std::size_t i = 0; i < crooks.size(); ++i) {
        text += (i == 0 ? "" : " or ") + std::string("--crook ") + bar + crooks[i].id;
    }
    return text;
}

std::optional<horn::Crook> crook_of(int semitones) {
    const auto all = horn::all_crooks();
    return semitones <= 0 && semitones > -static_cast<int>(all.size())
               ? std::optional(all[static_cast<std::size_t>(-semitones)])
               : std::nullopt;
}

/// What words in the music ask for, and from where.
struct Asked {
    Place from; ///< the first note that it holds for
    Place said;
    std::string text;
    KeyName key;
};

/// The first attack at or after a place; with `after_rest`, the first after a rest there.
const Attack* attack_from(const std::vector<Attack>& attacks, Place at, bool after_rest) {
    for (std::size_t i = 0; i < attacks.size(); ++i) {
        if (attacks[i].at < at) {
            continue;
        }
        const bool rested =
            i == 0 || attacks[i - 1].start + attacks[i - 1].ticks + kRest <= attacks[i].start;
        if (!after_rest || rested) {
            return &attacks[i];
        }
    }
    return nullptr;
}

std::vector<Asked> asked_in_words(Part& part) {
    std::vector<Asked> asked;
    for (const Words& words : part.music.words) {
        const CrookWords read = read_crook_words(words.text);
        if (read.kind == CrookWords::Kind::none) {
            continue;
        }
        const std::string where = bar_words(part.music, words.at);
        if (read.kind == CrookWords::Kind::remark) {
            part.doubts.push_back("An editor's remark in " + where + ", \"" + words.text +
                                  "\", is told here and not obeyed.");
            continue;
        }
        const bool after_rest = read.kind == CrookWords::Kind::change;
        const Attack* const first = attack_from(part.attacks, words.at, after_rest);
        if (first == nullptr) {
            continue; // for a movement that is not here
        }
        if (!asked.empty() && !(asked.back().from < first->at)) {
            asked.pop_back(); // "in D" after "muta in D" says the same again, more exactly
        }
        asked.push_back({first->at, words.at, words.text, read.key});
    }
    return asked;
}

void add_change(Part& part, Place from, const horn::Crook& crook, std::string because) {
    if (!part.crooks.empty() && part.crooks.back().crook == crook) {
        return;
    }
    if (!part.crooks.empty() && part.crooks.back().from == from) {
        part.crooks.pop_back();
    }
    part.crooks.push_back({from, crook, std::move(because)});
}

const horn::Crook* crook_in_force(const Part& part, Place at) {
    const horn::Crook* now = nullptr;
    for (const CrookChange& change : part.crooks) {
        if (change.from <= at || now == nullptr) {
            now = &change.crook;
        }
    }
    return now;
}

void from_transpositions(Part& part) {
    for (const TransposeChange& change : part.music.transposes) {
        const auto crook = crook_of(change.semitones);
        if (crook) {
            const Place from = part.crooks.empty() ? Place{} : change.at;
            add_change(part, from, *crook, "the transposition in the file");
        } else {
            part.doubts.push_back("The file transposes by " + std::to_string(change.semitones) +
                                  " semitones in " + bar_words(part.music, change.at) +
                                  ", which no crook does; it was passed over.");
        }
    }
}

/// Heading and words that say something else than the crook that was taken.
void tell_contradictions(Part& part, const std::vector<Asked>& asked, const char* taken_from) {
    if (part.head.key && !part.crooks.empty()) {
        const auto named = crooks_named(*part.head.key);
        if (!contains(named, part.crooks.front().crook)) {
            part.doubts.push_back("The heading \"" + part.head.key_heading + "\" means " +
                                  one_of(named) + ", but " + taken_from + " means " +
                                  part.crooks.front().crook.label + ", which is followed; " +
                                  options_of(named, "") + " follows the heading.");
        }
    }
    for (const Asked& one : asked) {
        const auto named = crooks_named(one.key);
        const horn::Crook* const taken = crook_in_force(part, one.from);
        if (taken != nullptr && !contains(named, *taken)) {
            const std::string bar = bar_words(part.music, one.from).substr(4);
            part.doubts.push_back("In " + bar_words(part.music, one.said) + " stands \"" +
                                  one.text + "\", which means " + one_of(named) + ", but " +
                                  taken_from + " stays " + taken->label + ", which is followed; " +
                                  options_of(named, bar + "=") + " follows the words.");
        }
    }
}

/// One crook, or a question.
std::optional<horn::Crook>
settled(Part& part, const KeyName& key, const std::string& said, const std::string& bar) {
    const auto named = crooks_named(key);
    if (named.size() == 1 && !key.dis_unsure) {
        return named.front();
    }
    part.questions.push_back(
        key.dis_unsure
            ? said + " says \"Dis\", which in old German sources means E♭: if it does, answer " +
                  options_of(named, bar) + "."
            : said + " leaves open whether the crook is " + one_of(named) + ": answer " +
                  options_of(named, bar) + ".");
    return std::nullopt;
}

void from_words(Part& part, std::vector<Asked> asked) {
    const std::string in_heading = "The heading \"" + part.head.key_heading + "\"";
    const Place first = part.attacks.front().at;
    if (part.head.key) {
        if (const auto crook = settled(part, *part.head.key, in_heading, "")) {
            add_change(part, {}, *crook, "the heading \"" + part.head.key_heading + "\"");
        }
    } else if (!asked.empty() && asked.front().from == first) {
        asked.front().from = {};
    } else {
        part.questions.push_back(
            "Neither the name of the part nor its words say for which crook it is written: answer "
            "with --crook, such as --crook Eb.");
    }
    for (const Asked& one : asked) {
        const std::string where = bar_words(part.music, one.said);
        const bool beginning = one.from == Place{};
        const std::string bar = beginning ? "" : bar_words(part.music, one.from).substr(4) + "=";
        if (const auto crook = settled(part, one.key, "\"" + one.text + "\" in " + where, bar)) {
            add_change(part, one.from, *crook, "\"" + one.text + "\" in " + where);
        }
    }
    if (!part.questions.empty()) {
        part.crooks.clear();
    }
}

Result<void> from_player(Part& part, const std::vector<SaidCrook>& said) {
    for (const SaidCrook& one : said) {
        Place from;
        if (!one.bar.empty()) {
            const auto bar = bar_numbered(part.music, one.bar);
            if (!bar) {
                return usage_error("There is no bar " + one.bar + " in " + part.head.name +
                                   ": --crook takes a number that is printed there.");
            }
            from = {*bar, 0};
        }
        const auto same = std::find_if(
            part.crooks.begin(), part.crooks.end(), [&](const auto& c) { return c.from == from; });
        if (same != part.crooks.end()) {
            part.crooks.erase(same);
        }
        part.crooks.push_back({from, one.crook, "--crook"});
    }
    std::sort(part.crooks.begin(), part.crooks.end(), [](const auto& a, const auto& b) {
        return a.from < b.from;
    });
    return {};
}

bool says_beginning(const std::vector<SaidCrook>& said) {
    return std::any_of(
        said.begin(), said.end(), [](const SaidCrook& one) { return one.bar.empty(); });
}

} // namespace

std::optional<int> bar_numbered(const Music& music, std::string_view number) {
    const auto found = std::find_if(
        music.bars.begin(), music.bars.end(), [&](const Bar& bar) { return bar.number == number; });
    return found == music.bars.end() ? std::nullopt
                                     : std::optional(static_cast<int>(found - music.bars.begin()));
}

Result<void> find_crooks(Part& part, const ReadOptions& options) {
    const std::vector<Asked> asked = asked_in_words(part);
    from_transpositions(part);
    const bool stated = !part.crooks.empty();
    if (says_beginning(options.crooks)) {
        // Who names the crook of the whole part knows its changes too: they are named as well or there are none.
        for (const CrookChange& change : std::exchange(part.crooks, {})) {
            part.doubts.push_back(
                "The transposition in the file means " + std::string(change.crook.label) +
                " from " + bar_words(part.music, change.from) + ", but --crook is followed.");
        }
        const auto done = from_player(part, options.crooks);
        if (done) {
            tell_contradictions(part, asked, "--crook");
        }
        return done;
    }
    if (stated) {
        tell_contradictions(part, asked, "the transposition in the file");
        return from_player(part, options.crooks);
    }
    // Bars that the player answers for are not asked about again.
    std::vector<Asked> open;
    for (const Asked& one : asked) {
        const bool answered =
            std::any_of(options.crooks.begin(), options.crooks.end(), [&](const SaidCrook& said) {
                return bar_numbered(part.music, said.bar) == std::optional(one.from.bar);
            });
        if (!answered) {
            open.push_back(one);
        }
    }
    from_words(part, std::move(open));
    return part.questions.empty() ? from_player(part, options.crooks) : Result<void>{};
}

namespace {

/// Share of the notes that the usual way leaves open, as if the notes stood `shift` semitones higher.
double open_share(const Part& part, const std::vector<int>& shifts) {
    int open = 0;
    for (std::size_t i = 0; i < part.attacks.size(); ++i) {
        const horn::ChartEntry* const entry =
            horn::chart_entry(horn::usual_spelling(part.attacks[i].written.number + shifts[i]));
        const bool is_open = entry != nullptr && horn::tone_of(entry->usual()) == horn::Tone::open;
        open += is_open ? 1 : 0;
    }
    return open / static_cast<double>(part.attacks.size());
}

std::size_t crook_index(const Part& part, Place at) {
    std::size_t now = 0;
    while (now + 1 < part.crooks.size() && part.crooks[now + 1].from <= at) {
        ++now;
    }
    return now;
}

/// Natural-horn parts are mostly open notes: a part that becomes one only when its notes are read as sounding was
/// probably exported at sounding pitch.
bool probably_sounding(const Part& part) {
    constexpr double kFarMore = 0.25;
    constexpr std::size_t kEnough = 8;
    const bool silent = std::all_of(part.music.transposes.begin(),
                                    part.music.transposes.end(),
                                    [](const auto& t) { return t.semitones == 0; });
    if (!silent || part.attacks.size() < kEnough) {
        return false;
    }
    std::vector<int> as_sounding;
    for (const Attack& attack : part.attacks) {
        as_sounding.push_back(-part.crooks[crook_index(part, attack.at)].crook.transposition);
    }
    const std::vector<int> as_written(part.attacks.size(), 0);
    return open_share(part, as_sounding) > open_share(part, as_written) + kFarMore;
}

} // namespace

void settle_pitches(Part& part, const ReadOptions& options) {
    if (part.crooks.empty()) {
        return;
    }
    bool sounding = part.music.sounding_pitch;
    if (options.notes) {
        sounding = *options.notes == Notation::sounding;
    } else if (!sounding && probably_sounding(part)) {
        part.questions.push_back(
            "Read as written for the " + std::string(part.crooks.front().crook.label) +
            " crook most notes need the hand, read as they sound most are open: answer --notes "
            "sounding if the file stands at sounding pitch, or --notes written.");
    }
    for (Attack& attack : part.attacks) {
        attack.crook = crook_index(part, attack.at);
        const horn::Crook& crook = part.crooks[attack.crook].crook;
        if (sounding) {
            attack.sounding = attack.written;
            attack.written = horn::written_note(attack.sounding, crook);
        } else {
            attack.sounding = horn::sounding_note(attack.written, crook);
        }
    }
}

} // namespace bellhand::part
