#include "bench/make_signals/drone.h"

#include "audio/reference_player.h"
#include "support/signals_disturb.h"
#include "support/signals_room.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace bellhand::test {

namespace {

/// The program's own player, sample by sample.
Samples played(const DronePlayed& drone, double length_s) {
    audio::ReferencePlayer player;
    player.prepare(kRateHz, 0);
    Samples out;
    std::array<float, 128> block{};
    while (static_cast<double>(out.size()) < length_s * kRateHz) {
        audio::ReferenceSound sound;
        if (static_cast<double>(out.size()) >= drone.start_s * kRateHz) {
            std::copy(drone.hz.begin(), drone.hz.end(), sound.drone_hz.begin());
            sound.colour = drone.horn_colour ? audio::ReferenceColour::horn
                                             : audio::ReferenceColour::soft_sawtooth;
        }
        player.want(sound);
        player.fill(block);
        out.insert(out.end(), block.begin(), block.end());
    }
    return out;
}

/// A small loudspeaker: no bass under `low_hz`, a few broad bumps, a trace of bending at the ends of its way.
Samples through_loudspeaker(Samples x, double low_hz, Random& random) {
    x = high_passed(x, low_hz, kRateHz, false);
    for (int bump = 0; bump < 3; ++bump) { // resonances: two-pole filters, +- some dB
        const double hz = random.between(250.0, 4000.0);
        const double share = random.between(-0.3, 0.5);
        const double r = std::exp(-std::numbers::pi * hz / 4.0 / kRateHz);
        const double a1 = 2.0 * r * std::cos(2.0 * std::numbers::pi * hz / kRateHz);
        double y1 = 0.0;
        double y2 = 0.0;
        for (double& sample : x) {
            const double y = (1.0 - r) * sample + a1 * y1 - r * r * y2;
            y2 = std::exchange(y1, y);
            sample += share * y;
        }
    }
    const double level = rms(x);
    for (double& sample : x) {
        sample += 0.003 * sample * sample / std::max(level, 1e-9);
    }
    return x;
}

/// What a second clock makes of a signal: sample i of the result is at i / (1 + drift) - delay of the first (sinc under
/// a cosine window over 48 samples).
Samples by_other_clock(const Samples& x, double drift, double delay_s, std::size_t length) {
    constexpr int kHalf = 24;
    Samples out(length, 0.0);
    for (std::size_t i = 0; i < length; ++i) {
        const double at = static_cast<double>(i) / (1.0 + drift) - delay_s * kRateHz;
        const auto middle = static_cast<long>(std::floor(at));
        double sum = 0.0;
        for (long k = middle - kHalf + 1; k <= middle + kHalf; ++k) {
            if (k < 0 || k >= static_cast<long>(x.size())) {
                continue;
            }
            const double u = std::numbers::pi * (at - static_cast<double>(k));
            const double sinc = std::abs(u) < 1e-9 ? 1.0 : std::sin(u) / u;
            sum += x[static_cast<std::size_t>(k)] * sinc * (0.5 + 0.5 * std::cos(u / kHalf));
        }
        out[i] = sum;
    }
    return out;
}

} // namespace

DroneRig::DroneRig(std::string seed) : seed_(std::move(seed)) {
    const std::array<Room, 3> rooms{{
        {{3.6, 2.9, 2.5}, {2.9, 0.6, 0.9}, {2.0, 1.7, 1.3}, 0.3},
        {{5.2, 4.1, 2.7}, {3.6, 1.6, 0.8}, {2.9, 2.4, 1.2}, 0.5},
        {{8.5, 6.8, 3.2}, {3.7, 3.9, 0.8}, {4.6, 3.0, 1.5}, 0.8},
    }};
    for (std::size_t i = 0; i < rooms.size(); ++i) {
        Random random(seed_ + "drone room " + std::to_string(i));
        rooms_.push_back(impulse_response(rooms[i], kRateHz, random));
    }
}

void DroneRig::prepend(Entry& entry, Samples& samples, std::vector<double>& truth) const {
    Random random(seed_ + "prelude " + entry.name);
    Samples before(static_cast<std::size_t>(kPrelude_s * kRateHz), 0.0);
    add_white(before, entry.kind == "lips" ? 45.0 : entry.snr_db, random);
    samples.insert(samples.begin(), before.begin(), before.end());
    truth.insert(truth.begin(), static_cast<std::size_t>(1000.0 * kPrelude_s), 0.0);
    entry.on_s += kPrelude_s;
    entry.off_s += kPrelude_s;
    if (entry.change_from_s > 0.0) {
        entry.change_from_s += kPrelude_s;
        entry.change_to_s += kPrelude_s;
    }
}

DronePlayed DroneRig::add_drone(const Entry& entry, Samples& samples) const {
    Random random(seed_ + "drone " + entry.name);
    DronePlayed drone;
    // Below the note by a unison, a fifth, an octave, a third (just, as one tunes to a drone); the player is up to 10
    // cents off, on one note in five not at all.
    constexpr std::array<double, 4> kBelow{1.0, 1.5, 2.0, 1.25};
    const double off_cents = random.uniform() < 0.2 ? 0.0 : random.between(-10.0, 10.0);
    double hz = entry.f0_hz / kBelow[random.below(4)] * std::exp2(off_cents / 1200.0);
    while (hz < 58.0) { // no loudspeaker at hand plays lower
        hz *= 2.0;
    }
    drone.hz = {hz};
    if (random.uniform() < 0.25) {
        drone.hz.push_back(hz * (random.uniform() < 0.5 ? 1.5 : std::exp2(7.0 / 12.0)));
    }
    drone.horn_colour = random.uniform() < 0.5;
    drone.drift = random.between(-120e-6, 120e-6);
    drone.delay_s = random.between(0.01, 0.2);
    const double length_s = static_cast<double>(samples.size()) / kRateHz;
    Samples heard = by_other_clock(
        through_loudspeaker(played(drone, length_s + 0.1), random.between(90.0, 220.0), random),
        drone.drift,
        drone.delay_s,
        samples.size());
    heard = convolved(heard, rooms_[random.below(rooms_.size())]);
    const auto from = static_cast<std::size_t>(1.2 * kRateHz);
    const double level = rms(std::span<const double>(heard).subspan(from));
    const double gain = from_db(-kBelow_db) / level;
    for (std::size_t i = 0; i < samples.size(); ++i) {
        samples[i] += gain * heard[i];
    }
    return drone;
}

} // namespace bellhand::test
