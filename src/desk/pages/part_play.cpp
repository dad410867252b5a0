// How a part is played from its page: from a bar, round and round, slower, the bars that went worst.
#include "desk/pages/part_page.h"
#include "desk/store/shelf.h"

#include <algorithm>
#include <memory>
#include <utility>

namespace bellhand::desk {

namespace {

constexpr int kWritten = 100; // per cent of the written tempo
constexpr int kSlowest = 30;
constexpr int kFastest = 130;
constexpr int kSpeedStep = 10;

} // namespace

KeyLine PartPage::play_line() {
    return on(Key::enter, play_words(), [this] { play(); });
}

KeyTable PartPage::play_keys() {
    const bool begins_here = loop_ && loop_->first == part_->attacks[cursor_].at.bar;
    KeyTable table{on('[',
                      begins_here ? "no longer round and round" : "go round from this bar",
                      [this] { begin_loop(); }),
                   on(']', "go round up to this bar", [this] { end_loop(); }),
                   on('!', "my worst bars", [this] { play_worst(); })};
    if (part_->tempo_said && speed_percent_ > kSlowest) {
        table.push_back(on(',', "slower", [this] { change_speed(-kSpeedStep); }));
    }
    if (part_->tempo_said && speed_percent_ < kFastest) {
        table.push_back(on('.', "faster", [this] { change_speed(kSpeedStep); }));
    }
    return table;
}

std::string PartPage::loop_words() const {
    return loop_->first == loop_->last
               ? "bar " + number_of(loop_->first)
               : "bars " + number_of(loop_->first) + " to " + number_of(loop_->last);
}

std::string PartPage::play_words() const {
    std::string words = loop_ ? "play " + loop_words() + " round and round" : "play from this bar";
    if (speed_percent_ != kWritten) {
        words += " at " + std::to_string(speed_percent_) + " % of the tempo";
    }
    return words;
}

void PartPage::play() {
    run::PartStretch stretch;
    const int here = part_->attacks[cursor_].at.bar;
    stretch.bars =
        loop_.value_or(drill::PartBars{0, static_cast<int>(part_->music.bars.size()) - 1});
    stretch.loop = loop_.has_value();
    if (!loop_ && here > part_->attacks.front().at.bar) {
        stretch.from = here;
    }
    stretch.speed = speed_percent_ / static_cast<double>(kWritten);
    begin(run::part_blocks(*part_, plan_, stretch));
}

void PartPage::play_worst() {
    const auto results = shelf_.bars_of(*part_, plan_);
    if (!results) {
        tell({}, results.error().message);
        return;
    }
    begin(
        run::worst_blocks(*part_, plan_, *results, speed_percent_ / static_cast<double>(kWritten)));
}

void PartPage::begin(Result<run::PartBlocks> blocks) {
    if (!blocks) {
        tell({}, blocks.error().message);
        return;
    }
    auto played = std::make_shared<PlayedPart>();
    played->key = static_cast<std::uint64_t>(version_);
    played->printed = printed_;
    played->attack_of = std::move(blocks->attack_of);
    tell({});
    wishes_.run = RunWish{std::move(blocks->blocks), std::nullopt, std::move(played)};
}

void PartPage::begin_loop() {
    const int here = part_->attacks[cursor_].at.bar;
    if (loop_ && loop_->first == here) {
        loop_.reset();
        tell("The part is played to its end again.");
        return;
    }
    loop_ = drill::PartBars{here, loop_ ? std::max(here, loop_->last) : here};
    tell("Round and round: " + loop_words() + ".");
}

void PartPage::end_loop() {
    const int here = part_->attacks[cursor_].at.bar;
    loop_ = drill::PartBars{loop_ ? std::min(here, loop_->first) : here, here};
    tell("Round and round: " + loop_words() + ".");
}

void PartPage::change_speed(int by_percent) {
    speed_percent_ = std::clamp(speed_percent_ + by_percent, kSlowest, kFastest);
    tell("Played at " + std::to_string(speed_percent_) + " % of the written tempo.");
}

} // namespace bellhand::desk
