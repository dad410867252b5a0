#pragma once

#include "audio/output.h"
#include "audio/source.h"
#include "bleed/tone_remover.h"
#include "practice/click_finder.h"
#include "practice/heard_beat.h"
#include "practice/stream_clock.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

namespace bellhand::practice {

/// What the program itself sounds in a session, followed on the analysis thread: taken out of the captured sound, and
/// where each beat lies in it. Apart from the moment at which a new microphone stream begins nothing here allocates.
class OwnSound {
public:
    OwnSound();

    /// Where the output writes what it plays.
    [[nodiscard]] audio::PlayedRing& played() noexcept { return played_; }

    /// What the drivers of output and microphone report between air and program; used until the way is measured.
    void set_reported_latency(double round_trip_s) noexcept { reported_s_ = round_trip_s; }

    /// Takes what was played since the last call.
    void follow() noexcept;
    /// A beat that was written to the output.
    void add_beat(const audio::Beat& beat) noexcept;
    /// A block of the microphone that begins at `start_s` of the session: takes our tones out of it. `horn_sounds`: as
    /// the analysis said last.
    void hear(audio::Block& block, double start_s, bool horn_sounds);
    [[nodiscard]] bleed::Report bleed() const noexcept;
    /// Blocks of what was played that never arrived here.
    [[nodiscard]] std::uint64_t lost_blocks() const noexcept { return lost_blocks_; }
    /// From our sample to the captured one: measured by clicks, else as reported.
    [[nodiscard]] double round_trip_s() const noexcept {
        return clicks_.known() ? clicks_.way_s() : reported_s_;
    }
    [[nodiscard]] bool round_trip_measured() const noexcept { return clicks_.known(); }
    /// The limiter worked on what is sounding now: its peaks are no pure tones any more.
    [[nodiscard]] bool limited() const noexcept { return limited_; }
    /// Takes the oldest beat whose place is known and not yet taken.
    [[nodiscard]] bool next_beat(HeardBeat& beat) noexcept;

private:
    static constexpr std::size_t kWaiting = 32;
    static constexpr std::size_t kPast =
        1024; ///< blocks played that are remembered: 2.7 s at 48 kHz

    [[nodiscard]] bool begin_stream(const audio::Block& block);
    [[nodiscard]] const audio::PlayedBlock& past(std::size_t back) const noexcept {
        return past_[(newest_ + kPast - back) % kPast];
    }
    [[nodiscard]] bleed::Voices voices_over(const audio::Block& block,
                                            double start_s) const noexcept;
    void tell_spectra(const bleed::Voices& voices) noexcept;
    [[nodiscard]] const audio::PlayedBlock* playing_at(double output_sample) const noexcept;
    /// Output sample that is due in the captured sound at `session_s`.
    [[nodiscard]] double output_sample_at(double session_s) const noexcept;

    audio::PlayedRing played_;
    StreamClock output_clock_;
    StreamClock session_clock_;
    std::uint32_t output_stream_ = 0;
    std::uint32_t heard_stream_ = 0;
    double output_rate_hz_ = 0.0;
    double reported_s_ = 0.0;
    ClickFinder clicks_;

    std::vector<audio::PlayedBlock> past_;
    std::size_t newest_ = 0;
    std::size_t past_count_ = 0;
    std::uint32_t underruns_ = 0;
    std::uint64_t lost_blocks_ = 0;
    bool limited_ = false;

    std::unique_ptr<bleed::ToneRemover> remover_;
    double heard_rate_hz_ = 0.0;
    std::uint64_t next_heard_ = 0;
    std::array<double, bleed::kVoices> told_hz_{}; ///< pitches whose spectra the remover knows

    std::array<audio::Beat, kWaiting>
        waiting_{}; ///< a ring; the oldest is forgotten when it is full
    std::size_t first_waiting_ = 0;
    std::size_t waiting_count_ = 0;
};

} // namespace bellhand::practice
