#include "desk/model/bench.h"

#include "core/cents.h"
#include "desk/model/piece_choice.h"
#include "instrument/planner/missing.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace bellhand::desk {

namespace {

constexpr int kLowestPartial = 2;
constexpr int kHighestPartial = 16;
constexpr int kA4 = 69;

} // namespace

Result<Bench> Bench::open(const std::filesystem::path& profile) {
    auto loaded = instrument::load_profile(profile);
    if (!loaded) {
        return tl::unexpected(loaded.error());
    }
    auto lengths = instrument::settle_lengths(*loaded);
    if (!lengths) {
        return tl::unexpected(lengths.error());
    }
    Bench bench;
    bench.profile_ = std::move(*loaded);
    bench.lengths_ = std::move(*lengths);
    return bench;
}

void Bench::aim(const horn::Tuning& tuning) {
    if (aimed_ && tuning == tuning_) {
        return;
    }
    instrument::BuildRequest request;
    request.target = {tuning.crook, tuning.a4_hz, profile_.air};
    request.most_between = lengths_.most_pieces_between;
    if (aimed_) {
        request.from = stack_;
    }
    tuning_ = tuning;
    aimed_ = true;
    refusal_.clear();
    answer_ = instrument::ways_to_build(lengths_, request);
    missing_ = answer_.in_tune
                   ? std::string()
                   : instrument::in_words(
                         lengths_, tuning.crook, instrument::what_is_missing(lengths_, request));
    put(answer_.ways.empty() ? stack_ : answer_.ways.front().stack);
}

void Bench::put(const instrument::Stack& stack) {
    stack_ = stack;
    slide_ = instrument::set_slide(
        lengths_, instrument::pushed_in_m(lengths_, stack), length_for_m(tuning_.crook));
    assembly_ = instrument::assemble(lengths_, stack, slide_.pull_m, tuning_.a4_hz, profile_.air);
    warm();
    partials_.clear();
    for (int partial = kLowestPartial; partial <= kHighestPartial; ++partial) {
        const double from_a4 = cents_between(assembly_.f1_hz * partial, tuning_.a4_hz);
        const int semitones = static_cast<int>(std::lround(from_a4 / 100.0));
        partials_.push_back(
            {partial, horn::usual_spelling(kA4 + semitones), from_a4 - 100.0 * semitones});
    }
}

void Bench::set_room(double room_c) noexcept {
    constexpr double kColdest_c = 0.0;
    constexpr double kWarmest_c = 40.0;
    room_c_ = std::clamp(room_c, kColdest_c, kWarmest_c);
    warm();
}

void Bench::warm() noexcept {
    constexpr double kPlayed_min = 20.0;
    warm_up_ = instrument::warm_up(room_c_, room_c_, kPlayed_min);
    warm_slide_ = instrument::warm_slide(
        lengths_, stack_, {tuning_.crook, tuning_.a4_hz, profile_.air}, warm_up_);
}

double Bench::length_for_m(const horn::Crook& key) const noexcept {
    return instrument::target_length_m({key, tuning_.a4_hz, profile_.air});
}

int Bench::pieces() const noexcept {
    return pieces_of(lengths_);
}

const instrument::HornPiece& Bench::piece(int index) const noexcept {
    return piece_at(lengths_, index);
}

bool Bench::mounted(int index) const noexcept {
    return mounted_at(lengths_, stack_, index);
}

void Bench::choose(int piece) noexcept {
    chosen_ = std::clamp(piece, 0, std::max(0, pieces() - 1));
}

void Bench::toggle_chosen() {
    const instrument::Stack wanted = toggled(lengths_, stack_, chosen_);
    refusal_.clear();
    if (instrument::fits(lengths_, wanted)) {
        put(wanted);
    } else {
        refusal_ = why_it_does_not_fit(lengths_, wanted);
    }
}

int Bench::way() const noexcept {
    const auto place =
        std::find_if(answer_.ways.begin(), answer_.ways.end(), [this](const instrument::Way& one) {
            return one.stack == stack_;
        });
    return place == answer_.ways.end() ? -1 : static_cast<int>(place - answer_.ways.begin());
}

void Bench::take_way(int index) {
    if (answer_.ways.empty()) {
        return;
    }
    const int last = static_cast<int>(answer_.ways.size()) - 1;
    refusal_.clear();
    put(answer_.ways[static_cast<std::size_t>(std::clamp(index, 0, last))].stack);
}

} // namespace bellhand::desk
