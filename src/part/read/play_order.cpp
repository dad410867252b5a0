#include "part/read/play_order.h"

#include "part/read/system_marks.h"

#include <algorithm>
#include <numeric>
#include <optional>
#include <string_view>

namespace bellhand::part {

namespace {

constexpr int kMostTimes = 100; ///< that anybody plays the same bars

/// The signs of all bars, with what stands there in words only.
std::vector<Signs> all_signs(const Music& music) {
    std::vector<Signs> signs;
    for (const Bar& bar : music.bars) {
        signs.push_back(bar.signs);
    }
    for (const Words& words : music.words) {
        const Jump jump = jump_of(words.text);
        Signs& here = signs[static_cast<std::size_t>(words.at.bar)];
        here.da_capo = here.da_capo || jump == Jump::da_capo;
        here.dal_segno = here.dal_segno || jump == Jump::dal_segno;
        here.fine = here.fine || jump == Jump::fine;
        here.to_coda = here.to_coda || jump == Jump::to_coda;
    }
    return signs;
}

class Walk {
public:
    explicit Walk(const Music& music) : signs_(all_signs(music)), weights_(music.bars.size(), 1) {
        for (const Note& note : music.notes) {
            weights_[static_cast<std::size_t>(note.at.bar)] += note.rest ? 0 : 1;
        }
    }

    /// Empty when the structure leads nowhere; `why` then says it.
    std::vector<int> bars(std::string& why) {
        std::size_t weight = 0;
        while (at_ < signs_.size() && why.empty()) {
            const Signs& here = signs_[at_];
            if (here.repeat_ends && (here.repeat_times < 1 || here.repeat_times > kMostTimes)) {
                why = "ask for " + std::to_string(here.repeat_times) + " times";
                break;
            }
            if (here.repeat_begins && at_ != start_) {
                start_ = at_;
                pass_ = 1;
            }
            if (!here.ending_begins.empty() && !takes_ending(here)) {
                skip_ending(why);
                continue;
            }
            if (!here.ending_begins.empty()) {
                ending_ = here.ending_begins;
            }
            bars_.push_back(static_cast<int>(at_));
            weight += weights_[at_];
            if (weight > kMostPlayedNotes + signs_.size()) {
                why = "would be longer than 20000 notes";
            }
            if (!go_on(here, why)) {
                break;
            }
        }
        return why.empty() ? bars_ : std::vector<int>{};
    }

private:
    bool takes_ending(const Signs& here) const {
        if (again_) { // the last time through
            return !ends_in_repeat(at_);
        }
        return std::find(here.ending_begins.begin(), here.ending_begins.end(), pass_) !=
               here.ending_begins.end();
    }

    std::size_t ending_end(std::size_t from) const {
        while (from < signs_.size() && !signs_[from].ending_ends) {
            ++from;
        }
        return from;
    }

    bool ends_in_repeat(std::size_t from) const {
        const std::size_t end = ending_end(from);
        return end < signs_.size() && signs_[end].repeat_ends;
    }

    void skip_ending(std::string& why) {
        const std::size_t end = ending_end(at_);
        if (end == signs_.size()) {
            why = "have an ending that does not end";
            return;
        }
        at_ = end + 1;
    }

    /// False at the end of the music.
    bool go_on(const Signs& here, std::string& why) {
        if (here.repeat_ends && !again_ && goes_back(here)) {
            at_ = start_;
            ++pass_;
            ending_.clear();
            return true;
        }
        if (here.ending_ends || here.repeat_ends) {
            ending_.clear();
            if (here.repeat_ends || !next_is_ending()) {
                start_ = at_ + 1;
                pass_ = 1;
            }
        }
        if (again_ && here.fine) {
            return false;
        }
        if (again_ && here.to_coda) {
            return jump_to(&Signs::coda, "lead to a coda that is not there", why);
        }
        if (!again_ && (here.da_capo || here.dal_segno)) {
            again_ = true;
            if (here.dal_segno) {
                return jump_to(&Signs::segno, "lead to a segno that is not there", why);
            }
            at_ = 0;
            return true;
        }
        ++at_;
        return true;
    }

    bool goes_back(const Signs& here) const {
        if (!ending_.empty() && next_is_ending()) {
            return pass_ <= *std::max_element(ending_.begin(), ending_.end());
        }
        return pass_ < here.repeat_times;
    }

    bool next_is_ending() const {
        return at_ + 1 < signs_.size() && !signs_[at_ + 1].ending_begins.empty();
    }

    bool jump_to(bool Signs::*sign, const char* missing, std::string& why) {
        const auto found = std::find_if(
            signs_.begin(), signs_.end(), [sign](const Signs& signs) { return signs.*sign; });
        if (found == signs_.end()) {
            why = missing;
            return false;
        }
        at_ = static_cast<std::size_t>(found - signs_.begin());
        return true;
    }

    std::vector<Signs> signs_;
    std::vector<std::size_t>
        weights_; ///< notes and one more of every bar: what a pass through it takes
    std::vector<int> bars_;
    std::size_t at_ = 0;
    std::size_t start_ = 0; ///< where the repeat begins
    int pass_ = 1;
    std::vector<int> ending_; ///< numbers of the ending that is being played
    bool again_ = false;      ///< after a D.C. or D.S.
};

} // namespace

PlayOrder play_order(const Music& music) {
    std::string why;
    PlayOrder order;
    order.bars = Walk(music).bars(why);
    if (!why.empty()) {
        order.doubt = "The repeats " + why + ": the part is played straight through.";
        order.bars.resize(music.bars.size());
        std::iota(order.bars.begin(), order.bars.end(), 0);
    }
    return order;
}

} // namespace bellhand::part
