#include "support/burst_player.h"
#include "support/signals.h"

#include <cmath>
#include <csignal>
#include <cstdint>
#include <cstdio>
#include <iterator>
#include <thread>

namespace bellhand::test {

namespace {

using Clock = std::chrono::steady_clock;
using namespace std::chrono_literals;

constexpr double kRateHz = 48000.0;
constexpr double kPitchesHz[] = {87.3, 130.8, 220.2, 349.5, 523.0};
constexpr double kPauseS = 0.6;

} // namespace

double burst_hz(std::size_t i) noexcept {
    return kPitchesHz[i % std::size(kPitchesHz)];
}

std::vector<Clock::time_point> play_bursts(const std::string& output, int count) {
    std::signal(SIGPIPE, SIG_IGN); // a player that ends early is an error of writing, not our end
    const std::string command =
        "paplay --raw --rate=48000 --channels=1 --format=s16le --latency-msec=20 --device='" +
        output + "'";
    std::FILE* player = popen(command.c_str(), "w");
    std::vector<Clock::time_point> written;
    if (player == nullptr) {
        return written;
    }
    std::setvbuf(player, nullptr, _IONBF, 0);
    Samples sound(static_cast<std::size_t>(2.0 * kRateHz), 0.0); // the server wakes up
    std::vector<std::size_t> starts;
    for (int i = 0; i < count; ++i) {
        const double f0_hz = burst_hz(static_cast<std::size_t>(i));
        Random random("burst " + std::to_string(i));
        ToneShape shape;
        shape.on_s = 0.0;
        shape.off_s = kBurstS - 0.05;
        shape.attack_s = 0.008;
        shape.f0_hz = [f0_hz](double) { return f0_hz; };
        shape.first = spectrum(Timbre::open, f0_hz, 12000.0, random);
        const auto tone = make_tone(shape, kBurstS + kPauseS, kRateHz, random);
        starts.push_back(sound.size());
        sound.insert(sound.end(), tone.samples.begin(), tone.samples.end());
    }
    constexpr std::size_t kChunk = 240; // 5 ms
    auto next = Clock::now();
    std::size_t burst = 0;
    for (std::size_t n = 0; n + kChunk <= sound.size(); n += kChunk) {
        std::int16_t chunk[kChunk];
        for (std::size_t k = 0; k < kChunk; ++k) {
            chunk[k] = static_cast<std::int16_t>(std::lround(sound[n + k] * 0.09 * 32767.0));
        }
        std::this_thread::sleep_until(next);
        if (burst < starts.size() && starts[burst] < n + kChunk) {
            // The tone begins inside this chunk; it would have been spoken by a player at that very moment.
            written.push_back(Clock::now() +
                              std::chrono::microseconds((starts[burst] - n) * 1000000 / 48000));
            ++burst;
        }
        std::fwrite(chunk, sizeof chunk[0], kChunk, player);
        next += 5ms;
    }
    pclose(player);
    return written;
}

} // namespace bellhand::test
