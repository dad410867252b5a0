#pragma once

#include "audio/reference_player.h"
#include "practice/own_sound.h"

#include <memory>
#include <span>
#include <string>

namespace bellhand::test {

/// The part of a practice session that takes the program's own tones away, over a recording that is not live: the
/// output's player runs along as it ran when the signal was made.
class OwnTones {
public:
    /// Null when there is no such file: nothing was played.
    [[nodiscard]] static std::unique_ptr<OwnTones> read(const std::string& played_csv);

    /// Takes the tones out of the next samples of the microphone (at most one block).
    void remove(std::span<float> samples, double sample_rate_hz, bool horn_sounds);
    [[nodiscard]] bleed::Report report() const { return own_.bleed(); }

private:
    void play_until(double clock_s);

    double start_s_ = 0.0;
    double drift_ = 0.0;
    audio::ReferenceSound sound_;
    audio::ReferencePlayer player_;
    practice::OwnSound own_;
    std::uint64_t written_ = 0;
    std::uint64_t captured_ = 0;
};

} // namespace bellhand::test
