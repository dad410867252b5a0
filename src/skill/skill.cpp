#include "skill/skill.h"

#include <algorithm>
#include <bit>
#include <cmath>

namespace bellhand::skill {

namespace {

constexpr double kSecondsADay = 86400.0;
constexpr int kHistory = 32;
constexpr int kMiddleLowest = 60;  // C4
constexpr int kMiddleHighest = 79; // G5
constexpr int kTimeNumber = -1;    // no note
constexpr double kLeastShare = 0.75;
constexpr unsigned kFaultBits = 5;
constexpr int kFailures = 10; // five bits each: a figure of the log holds 53 exactly
constexpr std::uint64_t kFailuresMask = (std::uint64_t{1} << (kFaultBits * kFailures)) - 1;
constexpr std::uint64_t kFaultMask = (1U << kFaultBits) - 1;

double days_between(std::int64_t from_s, std::int64_t to_s) noexcept {
    return std::max(0.0, static_cast<double>(to_s - from_s) / kSecondsADay);
}

double remembered_after(const Skill& skill, double days) noexcept {
    return skill.tries == 0 ? 1.0 : std::exp2(-days / skill.half_life_days);
}

double closed_penalty(horn::Hand hand) noexcept {
    switch (hand) {
    case horn::Hand::open:
        return 0.0;
    case horn::Hand::quarter:
    case horn::Hand::half:
        return 0.10;
    case horn::Hand::three_quarters:
    case horn::Hand::full:
        break;
    }
    return 0.15;
}

bool has(const drill::Judgement& judgement, drill::Fault fault) {
    return std::find(judgement.faults.begin(), judgement.faults.end(), fault) !=
           judgement.faults.end();
}

bool is_of_time(drill::Fault fault) {
    using drill::Fault;
    return fault == Fault::early || fault == Fault::late || fault == Fault::too_short ||
           fault == Fault::too_long;
}

/// These keep a note from being reached; what comes after its attack is the note's own affair.
bool is_of_the_way(drill::Fault fault) {
    using drill::Fault;
    return fault <= Fault::wrong_hand || fault == Fault::attack_flat ||
           fault == Fault::attack_sharp;
}

template <typename Counts>
std::optional<drill::Fault> first_fault(const drill::Judgement& judgement, Counts counts) {
    const auto found = std::find_if(judgement.faults.begin(), judgement.faults.end(), counts);
    return found == judgement.faults.end() ? std::nullopt : std::optional(*found);
}

bool right_note(const drill::Judgement& judgement) {
    return judgement.played && !has(judgement, drill::Fault::wrong_partial) &&
           !has(judgement, drill::Fault::wrong_note);
}

std::string note_name(int number, horn::Hand hand) {
    const std::string name = horn::display_name(horn::usual_spelling(number));
    switch (hand) {
    case horn::Hand::open:
        return "open " + name;
    case horn::Hand::quarter:
        return "quarter-stopped " + name;
    case horn::Hand::half:
        return "half-stopped " + name;
    case horn::Hand::three_quarters:
        return "three-quarters stopped " + name;
    case horn::Hand::full:
        break;
    }
    return "stopped " + name;
}

} // namespace

std::array<double, 8> figures_of(const Skill& skill) noexcept {
    return {static_cast<double>(skill.tries),
            static_cast<double>(skill.good),
            static_cast<double>(skill.history),
            skill.half_life_days,
            skill.deviation_cents,
            skill.deviation_variance,
            static_cast<double>(skill.failed_by),
            0.0};
}

Skill skill_from(const Item& item,
                 const std::array<double, 8>& figures,
                 std::int64_t last_s) noexcept {
    const Skill usual;
    const auto whole = [](double figure) {
        return figure >= 0.0 && figure <= 4294967295.0 ? static_cast<std::uint32_t>(figure) : 0U;
    };
    const auto within = [](double figure, double lowest, double highest, double otherwise) {
        return std::isfinite(figure) ? std::clamp(figure, lowest, highest) : otherwise;
    };
    Skill skill;
    skill.item = item;
    skill.tries = whole(figures[0]);
    skill.good = std::min(whole(figures[1]), skill.tries);
    skill.history = whole(figures[2]);
    skill.half_life_days = within(figures[3], 0.01, 36500.0, usual.half_life_days);
    skill.deviation_cents = within(figures[4], -1200.0, 1200.0, usual.deviation_cents);
    skill.deviation_variance = within(figures[5], 0.0, 1e6, usual.deviation_variance);
    if (figures[6] >= 0.0 && figures[6] <= static_cast<double>(kFailuresMask)) {
        skill.failed_by = static_cast<std::uint64_t>(figures[6]);
    }
    skill.last_s = last_s;
    return skill;
}

double first_guess(const Item& item) noexcept {
    const int outside = std::max({0, kMiddleLowest - item.number, item.number - kMiddleHighest});
    double guess = 0.75 - closed_penalty(item.hand) - 0.02 * outside;
    if (item.from_number) {
        guess -= 0.05;
    }
    return std::clamp(guess, 0.3, 0.9);
}

Outlook outlook(const Skill& skill, std::int64_t now_s, const Constants& constants) noexcept {
    const double guess = first_guess(skill.item);
    double good = guess * constants.prior_tries;
    double all = constants.prior_tries;
    double weight = 1.0;
    const int kept = static_cast<int>(std::min<std::uint32_t>(skill.tries, kHistory));
    for (int i = 0; i < kept; ++i) {
        good += ((skill.history >> static_cast<unsigned>(i)) & 1U) != 0 ? weight : 0.0;
        all += weight;
        weight *= constants.recent;
    }
    Outlook out;
    out.as_practised = good / all;
    out.deviation = std::sqrt(out.as_practised * (1.0 - out.as_practised) / (all + 1.0));
    out.days_ago = skill.tries == 0 ? 0.0 : days_between(skill.last_s, now_s);
    out.remembered = remembered_after(skill, out.days_ago);
    out.now =
        out.as_practised * (constants.never_lost + (1.0 - constants.never_lost) * out.remembered);
    return out;
}

Outlook outlook(const Skills& skills,
                const Item& item,
                std::int64_t now_s,
                const Constants& constants) noexcept {
    if (const auto found = skills.find(item); found != skills.end()) {
        return outlook(found->second, now_s, constants);
    }
    Skill fresh;
    fresh.item = item;
    return outlook(fresh, now_s, constants);
}

void practise(Skill& skill,
              bool good,
              std::optional<double> held_cents,
              std::int64_t now_s,
              const Constants& constants) noexcept {
    const double days = skill.tries == 0 ? 0.0 : days_between(skill.last_s, now_s);
    const double remembered = remembered_after(skill, days);
    const double factor =
        good ? 1.0 + constants.growth * (1.0 - remembered) : 1.0 - constants.loss * remembered;
    skill.half_life_days = std::clamp(skill.half_life_days * factor,
                                      constants.shortest_half_life_days,
                                      constants.longest_half_life_days);
    skill.history = (skill.history << 1U) | (good ? 1U : 0U);
    ++skill.tries;
    skill.good += good ? 1U : 0U;
    skill.last_s = std::max(skill.last_s, now_s);

    skill.deviation_variance += constants.drift_cents2_per_day * days;
    if (held_cents && std::isfinite(*held_cents)) {
        const double noise = constants.one_note_cents * constants.one_note_cents;
        const double gain = skill.deviation_variance / (skill.deviation_variance + noise);
        skill.deviation_cents += gain * (*held_cents - skill.deviation_cents);
        skill.deviation_variance *= 1.0 - gain;
    }
}

std::optional<Item> item_of(const drill::Step& step, const horn::Crook& crook) noexcept {
    if (!step.written) {
        return std::nullopt;
    }
    const horn::ChartEntry* entry = horn::chart_entry(*step.written);
    if (entry == nullptr) {
        return std::nullopt;
    }
    Item item;
    item.transposition = crook.transposition;
    item.number = step.written->number;
    item.hand = entry->usual().hand;
    if (step.partial) {
        const auto way = std::find_if(entry->ways.begin(), entry->ways.end(), [&](const auto& w) {
            return w.partial == *step.partial;
        });
        if (way != entry->ways.end()) {
            item.hand = way->hand;
        }
    }
    item.hand = step.hand.value_or(item.hand);
    return item;
}

std::vector<Item>
items_of(const drill::Exercise& exercise, std::size_t step, const horn::Crook& crook) {
    std::vector<Item> items;
    if (step >= exercise.steps.size()) {
        return items;
    }
    const auto note = item_of(exercise.steps[step], crook);
    if (!note) {
        return items;
    }
    items.push_back(*note);
    if (step == 0) {
        return items;
    }
    const auto before = item_of(exercise.steps[step - 1], crook);
    if (before && (before->number != note->number || before->hand != note->hand)) {
        Item way = *note;
        way.from_number = before->number;
        way.from_hand = before->hand;
        items.push_back(way);
    }
    return items;
}

std::vector<Item> learn(Skills& skills,
                        const drill::Exercise& exercise,
                        const drill::Judgement& judgement,
                        const horn::Crook& crook,
                        std::int64_t now_s,
                        const Constants& constants) {
    if (judgement.extra || judgement.undecided()) {
        return {};
    }
    std::vector<Item> items = items_of(exercise, judgement.step, crook);
    if (!items.empty() && (judgement.timing_s || judgement.length_share)) {
        items.push_back(time_item());
    }
    for (const Item& item : items) {
        Skill& skill = skills[item];
        skill.item = item;
        const std::optional<drill::Fault> failed_by =
            is_time(item) ? first_fault(judgement, is_of_time)
            : item.from_number
                ? first_fault(judgement, is_of_the_way)
                : first_fault(judgement, [](auto each) { return !is_of_time(each); });
        const bool pitch_told =
            right_note(judgement) && judgement.note.pitch_known() && !is_time(item);
        const std::optional<double> held =
            pitch_told ? std::optional(judgement.held_cents) : std::nullopt;
        practise(skill, !failed_by, held, now_s, constants);
        if (failed_by) {
            remember_failure(skill, *failed_by);
        }
    }
    return items;
}

Item time_item() noexcept {
    Item item;
    item.transposition = 0;
    item.number = kTimeNumber;
    return item;
}

bool is_time(const Item& item) noexcept {
    return item.number == kTimeNumber;
}

void remember_failure(Skill& skill, drill::Fault fault) noexcept {
    skill.failed_by =
        ((skill.failed_by << kFaultBits) | (static_cast<std::uint64_t>(fault) + 1)) & kFailuresMask;
}

std::vector<drill::Fault> failures_of(const Skill& skill, int most) {
    std::vector<drill::Fault> failures;
    std::uint64_t left = skill.failed_by;
    for (int i = 0; i < std::min(most, kFailures) && left != 0; ++i, left >>= kFaultBits) {
        const std::uint64_t index = left & kFaultMask;
        if (index == 0 || index > drill::all_faults().size()) {
            break;
        }
        failures.push_back(drill::all_faults()[index - 1]);
    }
    return failures;
}

bool is_weak(const Skill& skill) noexcept {
    const Tally tally = recent_tally(skill, kTallied);
    return tally.of > 0 && tally.good < kLeastShare * tally.of;
}

std::string item_name(const Item& item) {
    if (is_time(item)) {
        return "keeping time";
    }
    const std::string name = note_name(item.number, item.hand);
    return item.from_number ? note_name(*item.from_number, item.from_hand) + " to " + name : name;
}

Tally recent_tally(const Skill& skill, int most) noexcept {
    Tally tally;
    tally.of = std::min({static_cast<int>(std::min<std::uint32_t>(skill.tries, kHistory)),
                         kHistory,
                         std::max(0, most)});
    const std::uint32_t mask =
        tally.of >= kHistory ? ~0U : (1U << static_cast<unsigned>(tally.of)) - 1U;
    tally.good = std::popcount(skill.history & mask);
    return tally;
}

} // namespace bellhand::skill
