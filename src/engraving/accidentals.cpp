#include "engraving/accidentals.h"

#include <algorithm>
#include <cstdlib>
#include <map>
#include <string_view>
#include <utility>

namespace bellhand::engraving {

namespace {

constexpr std::string_view kSharpOrder = "FCGDAEB";
constexpr int kMostSigns = 7;

class Memory {
public:
    explicit Memory(const Score& score) : score_(score) {}

    std::vector<std::optional<int>> printed() {
        std::vector<std::optional<int>> all;
        bool tied = false;
        for (const Event& event : score_.events) {
            turn_to(event.bar);
            std::optional<int> sign;
            if (event.head) {
                sign = sign_of(event, tied);
            }
            all.push_back(sign);
            tied = event.head && event.tie;
        }
        return all;
    }

private:
    using LineOrSpace = std::pair<char, int>;

    void turn_to(int bar) {
        while (bar_ < bar) {
            ++bar_;
            const auto& key = score_.bars[static_cast<std::size_t>(bar_)].key;
            before_ = std::move(here_);
            here_.clear();
            if (key) {
                key_ = *key;
                before_.clear();
            }
        }
    }

    std::optional<int> sign_of(const Event& event, bool tied) {
        const horn::StaffName& head = *event.head;
        const LineOrSpace where{head.letter, head.octave};
        const auto said = here_.find(where);
        const int holds = said != here_.end() ? said->second : in_key(head.letter, key_);
        if (tied) {
            // Prints nothing, and what it stood for is forgotten at the bar line.
            return event.accidental;
        }
        const auto earlier = before_.find(where);
        const bool reminder =
            said == here_.end() && earlier != before_.end() && earlier->second != head.sharps;
        std::optional<int> sign = event.accidental;
        if (head.sharps != holds || reminder) {
            sign = head.sharps;
        }
        if (sign) {
            here_[where] = head.sharps;
        }
        return sign;
    }

    const Score& score_;
    int bar_ = -1;
    int key_ = 0;
    std::map<LineOrSpace, int> here_; ///< what was printed in this bar
    std::map<LineOrSpace, int> before_;
};

} // namespace

int in_key(char letter, int fifths) noexcept {
    const auto place = static_cast<int>(kSharpOrder.find(letter));
    if (fifths > 0) {
        return place < fifths ? 1 : 0;
    }
    return kMostSigns - 1 - place < -fifths ? -1 : 0;
}

std::vector<int> key_steps(int fifths, Clef clef) {
    // In the treble clef; two steps lower in the bass clef.
    static constexpr int kSharps[] = {8, 5, 9, 6, 3, 7, 4};
    static constexpr int kFlats[] = {4, 7, 3, 6, 2, 5, 1};
    std::vector<int> steps;
    for (int i = 0; i < std::min(std::abs(fifths), kMostSigns); ++i) {
        steps.push_back((fifths > 0 ? kSharps[i] : kFlats[i]) - (clef == Clef::bass ? 2 : 0));
    }
    return steps;
}

std::vector<std::optional<int>> printed_accidentals(const Score& score) {
    return Memory(score).printed();
}

} // namespace bellhand::engraving
