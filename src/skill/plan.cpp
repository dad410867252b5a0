#include "skill/plan.h"

#include "horn/compass.h"
#include "skill/focus.h"
#include "skill/reason.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <set>

namespace bellhand::skill {

namespace {

constexpr double kSecondsAMinute = 60.0;
constexpr double kSlowPlayer = 1.25; // time for homework, against its length at the tempo
constexpr double kSecondsADay = 86400.0;
constexpr double kLateDays = 60.0;       // a crook not played for longer is not "of late"
constexpr std::size_t kItemsInBlock = 3; // more would be a tour, not practice
constexpr std::size_t kFreshADay = 2;
constexpr std::size_t kFreshAtFirst = 4; // as long as nothing was ever played
constexpr int kRegister = 7;             // semitones: what goes together in one block
constexpr double kSecure = 0.6;          // expected success that allows the next note
constexpr double kUnknownCounts = 0.5;   // of the standard deviation
constexpr double kTransitionCounts =
    0.85; // a bad note spoils all ways to it: look at the note first
constexpr std::uint32_t kTransitionTries = 4;
constexpr double kFreshCounts = 0.8;
constexpr double kWorthIt = 0.12;                 // companions that need less are left in peace
constexpr int kFirstNumbers[] = {60, 64, 67, 72}; // open partials 4, 5, 6, 8

Item note_item(const horn::Crook& crook, int number, horn::Hand hand) {
    Item item;
    item.transposition = crook.transposition;
    item.number = number;
    item.hand = hand;
    return item;
}

bool tried(const Skills& skills, const Item& item) {
    const auto found = skills.find(item);
    return found != skills.end() && found->second.tries > 0;
}

/// A transition is worth an exercise of its own once it was seen to fail; there are too many to look at each of them.
bool known_as_weak(const Skill& skill) {
    return skill.tries >= kTransitionTries && is_weak(skill);
}

horn::Crook crook_of(int transposition) {
    for (const horn::Crook& crook : horn::all_crooks()) {
        if (crook.transposition == transposition) {
            return crook;
        }
    }
    return {};
}

Reason reason_for(const Skills& skills, const Item& item) {
    if (!tried(skills, item)) {
        return Reason::fresh;
    }
    return is_weak(skills.at(item)) ? Reason::weak : Reason::due;
}

/// How playing and resting share the time: `count` stretches of `play_s` with rests as long between them.
struct Shape {
    int count = 1;
    double play_s = 0.0;
};

Shape shape_of(const PlanWishes& wishes) {
    const double all_s = std::clamp(wishes.minutes, 1.0, 240.0) * kSecondsAMinute;
    const double longest_s =
        std::clamp(wishes.block_minutes, 0.5, kLongestBlockMinutes) * kSecondsAMinute;
    Shape shape;
    shape.count = std::max(1, static_cast<int>(std::ceil((all_s / longest_s + 1.0) / 2.0)));
    shape.play_s = all_s / (2.0 * shape.count - 1.0);
    return shape;
}

std::vector<horn::Crook> crooks_for(const Skills& skills, const PlanWishes& wishes) {
    if (!wishes.crooks.empty()) {
        return wishes.crooks;
    }
    std::set<int> late;
    for (const auto& [item, skill] : skills) {
        if (!is_time(item) &&
            static_cast<double>(wishes.now_s - skill.last_s) < kLateDays * kSecondsADay) {
            late.insert(item.transposition);
        }
    }
    std::vector<horn::Crook> crooks;
    for (const int transposition : late) {
        crooks.push_back(crook_of(transposition));
    }
    return crooks.empty() ? std::vector{wishes.usual} : crooks;
}

struct Wanted {
    Item item;
    double need = 0.0;
};

/// Everything that could be practised, most needed first.
std::vector<Wanted>
wanted_items(const Skills& skills, const std::vector<horn::Crook>& crooks, std::int64_t now_s) {
    std::vector<Wanted> wanted;
    for (const horn::Crook& crook : crooks) {
        for (const Item& item :
             candidates(skills, crook, now_s, skills.empty() ? kFreshAtFirst : kFreshADay)) {
            wanted.push_back({item, need(skills, item, now_s)});
        }
    }
    if (tried(skills, time_item())) {
        wanted.push_back({time_item(), need(skills, time_item(), now_s)});
    }
    std::stable_sort(wanted.begin(), wanted.end(), [](const Wanted& a, const Wanted& b) {
        return a.need > b.need;
    });
    return wanted;
}

bool go_together(const Item& a, const Item& b) {
    return !is_time(a) && !is_time(b) && a.transposition == b.transposition &&
           std::abs(a.number - b.number) <= kRegister &&
           (!b.from_number || std::abs(a.number - *b.from_number) <= kRegister);
}

/// Takes the most needed item and what goes with it out of `wanted`.
std::vector<Item> take_group(std::vector<Wanted>& wanted) {
    std::vector<Item> group;
    for (auto at = wanted.begin(); at != wanted.end() && group.size() < kItemsInBlock;) {
        if (group.empty() || (at->need >= kWorthIt && go_together(group.front(), at->item))) {
            group.push_back(at->item);
            at = wanted.erase(at);
        } else {
            ++at;
        }
    }
    return group;
}

/// As often as fits, at least once.
void fill(PlannedBlock& block, double play_s) {
    const double once_s = length_s(block.exercise);
    block.exercise.repetitions =
        once_s > 0.0 ? std::max(1, static_cast<int>(std::lround(play_s / once_s))) : 1;
    block.play_s = play_s;
}

PlannedBlock warm_up_block(const horn::Crook& crook) {
    PlannedBlock block;
    block.reason = Reason::warm_up;
    block.exercise = warm_up(crook);
    block.crook = crook;
    block.why = "warm-up: long soft notes before anything that is hard";
    return block;
}

PlannedBlock
homework_block(const SetWork& work, const horn::Crook& otherwise, double usual_block_s) {
    PlannedBlock block;
    block.reason = Reason::homework;
    block.exercise = work.exercise;
    block.crook = work.crook                     ? *work.crook
                  : work.exercise.crooks.empty() ? otherwise
                                                 : crook_of(work.exercise.crooks.front());
    block.a4_hz = work.a4_hz;
    block.temperament = work.temperament;
    block.footing = work.footing;
    block.tolerance_factor = work.tolerance_factor;
    block.homework = work.homework;
    block.homework_part = work.task;
    const double once_s = kSlowPlayer * length_s(work.exercise);
    if (work.minutes) {
        fill(block, *work.minutes * kSecondsAMinute);
    } else if (work.repetitions || work.once_through) {
        const int fitting = std::max(1, static_cast<int>(usual_block_s / std::max(once_s, 1.0)));
        const int wished = work.repetitions.value_or(fitting);
        block.exercise.repetitions = work.once_through ? std::min(wished, work.times_left) : wished;
        block.play_s =
            std::min(kLongestBlockMinutes * kSecondsAMinute, once_s * block.exercise.repetitions);
    }
    block.whole_passes = work.once_through;
    block.why = "set as homework: \"" + work.exercise.title + "\", " + work.progress +
                (work.due_on.empty() ? "" : ", due on " + work.due_on);
    return block;
}

std::optional<PlannedBlock> focus_block(const Skills& skills,
                                        std::vector<Wanted>& wanted,
                                        const horn::Crook& otherwise,
                                        std::int64_t now_s) {
    const std::vector<Item> items = take_group(wanted);
    if (items.empty()) {
        return std::nullopt;
    }
    PlannedBlock block;
    block.reason = reason_for(skills, items.front());
    const bool time = is_time(items.front());
    block.crook = time ? otherwise : crook_of(items.front().transposition);
    block.exercise = time ? time_exercise(block.crook) : focus_exercise(items, block.crook);
    block.items = items;
    block.why =
        reason_sentence(skills, items.front(), block.reason, now_s) + with_companions(items);
    return block;
}

std::vector<SetWork> most_urgent_first(std::vector<SetWork> homework) {
    std::erase_if(homework, [](const SetWork& work) {
        return work.times_left <= 0 || work.exercise.steps.empty();
    });
    std::stable_sort(homework.begin(), homework.end(), [](const SetWork& a, const SetWork& b) {
        constexpr double kSomeDay = 1e9;
        return a.days_left.value_or(kSomeDay) < b.days_left.value_or(kSomeDay);
    });
    return homework;
}

} // namespace

const char* reason_id(Reason reason) noexcept {
    switch (reason) {
    case Reason::warm_up:
        return "warm-up";
    case Reason::homework:
        return "homework";
    case Reason::weak:
        return "weak";
    case Reason::due:
        return "due";
    case Reason::fresh:
        break;
    }
    return "new";
}

std::vector<std::string> cautions() {
    // Blocks of 25 minutes, rest as long as you play, stop on pain: common practice, no source.
    return {"Rest as long as you play, in blocks of at most 25 minutes, and stop when anything "
            "hurts: pain, numbness or weakness that stays belongs to a doctor or therapist who is "
            "licensed to treat it, best one who knows musicians.",
            "A horn at close quarters and headphones set too loud can harm your hearing: turn the "
            "volume down before the first sound, and follow the rules for noise where you live "
            "(in the European Union Directive 2003/10/EC)."};
}

double need(const Skills& skills, const Item& item, std::int64_t now_s) {
    const Outlook expected = outlook(skills, item, now_s);
    double need = 1.0 - expected.now + kUnknownCounts * expected.deviation;
    if (!tried(skills, item)) {
        need *= kFreshCounts;
    }
    return item.from_number ? kTransitionCounts * need : need;
}

std::vector<Item>
candidates(const Skills& skills, const horn::Crook& crook, std::int64_t now_s, std::size_t fresh) {
    std::vector<Item> items;
    std::set<int> secure;
    for (const auto& [item, skill] : skills) {
        if (item.transposition != crook.transposition || skill.tries == 0 || is_time(item)) {
            continue;
        }
        if (!item.from_number || known_as_weak(skill)) {
            items.push_back(item);
        }
        if (!item.from_number && outlook(skill, now_s).now >= kSecure) {
            secure.insert(item.number);
        }
    }
    const horn::Compass compass = horn::usual_compass(crook);
    const auto next_to_secure = [&secure](int number) {
        return std::any_of(secure.begin(), secure.end(), [number](int known) {
            return std::abs(known - number) <= 2;
        });
    };
    std::size_t added = 0;
    const auto add_fresh = [&](int number) {
        const horn::ChartEntry* entry = horn::chart_entry(horn::usual_spelling(number));
        if (entry == nullptr || added >= fresh) {
            return;
        }
        const horn::HandWay& way = entry->usual();
        const Item item = note_item(crook, number, way.hand);
        if (!way.poor && !way.lip && way.partial >= compass.lowest_partial &&
            way.partial <= compass.highest_partial && !tried(skills, item)) {
            items.push_back(item);
            ++added;
        }
    };
    for (const int number : kFirstNumbers) {
        add_fresh(number);
    }
    for (const horn::ChartEntry& entry : horn::hand_chart()) {
        if (next_to_secure(entry.written.number)) {
            add_fresh(entry.written.number);
        }
    }
    return items;
}

horn::Tuning tuning_of(const PlannedBlock& block, const horn::Tuning& of_the_day) {
    horn::Tuning tuning = of_the_day;
    tuning.crook = block.crook;
    tuning.a4_hz = block.a4_hz.value_or(of_the_day.a4_hz);
    if (block.temperament) {
        tuning.temperament = *block.temperament;
        tuning.footing = block.footing;
    }
    return tuning;
}

DayPlan plan_day(const Skills& skills, const PlanWishes& wishes) {
    const Shape shape = shape_of(wishes);
    const std::vector<horn::Crook> crooks = crooks_for(skills, wishes);
    std::vector<Wanted> wanted = wanted_items(skills, crooks, wishes.now_s);

    std::vector<PlannedBlock> focus;
    std::vector<PlannedBlock> set;
    const int warm = shape.count >= 3 ? 1 : 0;
    const int rest = shape.count - warm;
    for (const SetWork& work : most_urgent_first(wishes.homework)) {
        if (static_cast<int>(set.size()) < (rest + 1) / 2) {
            set.push_back(homework_block(work, crooks.front(), shape.play_s));
        }
    }
    while (static_cast<int>(set.size() + focus.size()) < rest) {
        auto block = focus_block(skills, wanted, crooks.front(), wishes.now_s);
        if (!block) {
            break;
        }
        focus.push_back(std::move(*block));
    }
    // A short list is gone through again: better than one long stretch on it.
    for (std::size_t i = 0; !focus.empty() && static_cast<int>(set.size() + focus.size()) < rest;
         ++i) {
        focus.push_back(focus[i]);
    }
    // A crook is put in once, not back and forth.
    std::stable_sort(focus.begin(), focus.end(), [](const PlannedBlock& a, const PlannedBlock& b) {
        return a.crook.transposition > b.crook.transposition;
    });

    DayPlan plan;
    if (warm == 1) {
        plan.blocks.push_back(warm_up_block(focus.empty() ? crooks.front() : focus.front().crook));
    }
    std::move(set.begin(), set.end(), std::back_inserter(plan.blocks));
    std::move(focus.begin(), focus.end(), std::back_inserter(plan.blocks));
    for (PlannedBlock& block : plan.blocks) {
        if (block.play_s <= 0.0) {
            fill(block, shape.play_s);
        }
        block.rest_s = block.play_s;
        plan.play_s += block.play_s;
        plan.rest_s += &block == &plan.blocks.back() ? 0.0 : block.rest_s;
    }
    plan.cautions = cautions();
    return plan;
}

std::vector<PlannedBlock> homework_blocks(const std::vector<SetWork>& homework,
                                          const horn::Crook& usual) {
    std::vector<PlannedBlock> blocks;
    for (const SetWork& work : most_urgent_first(homework)) {
        PlannedBlock block =
            homework_block(work, usual, PlanWishes{}.block_minutes * kSecondsAMinute);
        if (block.play_s <= 0.0) {
            fill(block, PlanWishes{}.block_minutes * kSecondsAMinute);
        }
        block.rest_s = block.play_s;
        blocks.push_back(std::move(block));
    }
    return blocks;
}

} // namespace bellhand::skill
