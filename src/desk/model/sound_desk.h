#pragma once

#include "app/settings.h"
#include "audio/reference_sound.h"
#include "horn/tuning.h"
#include "practice/practice.h"

#include <string>
#include <vector>

namespace bellhand::desk {

/// What the program itself is to sound, as rows that keys change: drone, reference note, metronome. Draws nothing.
class SoundDesk {
public:
    enum class Row {
        drone,
        note,
        chord,
        tuned,
        colour,
        level,
        reference,
        beats,
        tempo,
        bar,
        output,
        count
    };
    static constexpr int kRows = static_cast<int>(Row::count);

    explicit SoundDesk(const app::SoundSettings& settings) : settings_(settings) {}

    /// What Enter does on a row: switches, or sounds the reference note.
    void accept(Row row);
    /// One step back or forth on a row.
    void change(Row row, int step);
    /// A beat of the tempo that is tapped. `now_s`: any steady clock.
    void tap(double now_s);
    /// The drone's note becomes the root of the crook.
    void take_root() noexcept { written_ = kRoot; }
    void set_outputs(std::vector<std::string> names) { outputs_ = std::move(names); }

    /// What is to sound for today's horn.
    [[nodiscard]] audio::ReferenceSound wanted(const horn::Tuning& tuning) const;
    [[nodiscard]] bool anything() const noexcept { return drone_ || beating_; }
    /// The caution must be read first: the next Enter counts as read.
    [[nodiscard]] bool cautions() const noexcept { return cautioning_; }

    struct Words {
        std::string what;
        std::string how;
    };
    [[nodiscard]] Words words(Row row, const horn::Tuning& tuning) const;
    [[nodiscard]] const app::SoundSettings& settings() const noexcept { return settings_; }
    /// A new session's output has heard of no request yet.
    void begin_session() noexcept { requests_ = 0; }
    /// The output was changed since the last time this was asked.
    [[nodiscard]] bool take_output_change() noexcept;

private:
    static constexpr int kRoot = 60; ///< written C4
    [[nodiscard]] bool may_sound() noexcept;

    app::SoundSettings settings_;
    std::vector<std::string> outputs_; ///< names; the default one is offered besides
    bool output_changed_ = false;
    bool cautioning_ = false;
    bool drone_ = false;
    bool beating_ = false;
    int written_ = kRoot; ///< number of the drone's written note
    int chord_ = 0;
    bool just_ = true;
    audio::ReferenceColour colour_ = audio::ReferenceColour::soft_sawtooth;
    double tempo_ = 72.0;
    int in_bar_ = 4;
    std::uint32_t requests_ = 0;
    double tapped_s_ = -1e9;
};

} // namespace bellhand::desk
