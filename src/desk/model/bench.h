#pragma once

#include "core/result.h"
#include "horn/tuning.h"
#include "instrument/planner/assembly.h"
#include "instrument/planner/warm_up.h"
#include "instrument/profile.h"

#include <filesystem>
#include <string>
#include <vector>

namespace bellhand::desk {

/// One open partial of what is put together.
struct BenchPartial {
    int partial = 2;
    horn::Note sounding; ///< nearest sounding note
    double cents = 0.0;  ///< from that note in equal temperament at today's pitch
};

/// A player's horn on the bench: pieces are put together by hand or by the planner, for one key at one pitch.
class Bench {
public:
    /// Errors: those of the profile.
    [[nodiscard]] static Result<Bench> open(const std::filesystem::path& profile);

    /// Asks the planner anew when key or pitch have changed, and puts its best way together. May take a second for a
    /// very large horn.
    void aim(const horn::Tuning& tuning);

    /// Moves the choice among the pieces: crooks first, then couplers, then bits.
    void choose(int piece) noexcept;
    [[nodiscard]] int chosen() const noexcept { return chosen_; }
    [[nodiscard]] int pieces() const noexcept;
    [[nodiscard]] const instrument::HornPiece& piece(int index) const noexcept;
    [[nodiscard]] bool mounted(int index) const noexcept;
    /// Puts the chosen piece on or takes it off; a crook replaces the one that is on. What cannot be mounted together
    /// is refused: `refusal` says why.
    void toggle_chosen();
    [[nodiscard]] const std::string& refusal() const noexcept { return refusal_; }

    /// The planner's ways to build the key, best first, and which of them lies on the bench (-1: put together by hand).
    [[nodiscard]] const instrument::BuildAnswer& ways() const noexcept { return answer_; }
    [[nodiscard]] int way() const noexcept;
    void take_way(int index);

    [[nodiscard]] const instrument::Profile& profile() const noexcept { return profile_; }
    [[nodiscard]] const instrument::HornLengths& lengths() const noexcept { return lengths_; }
    [[nodiscard]] const instrument::Assembly& assembly() const noexcept { return assembly_; }
    [[nodiscard]] const instrument::Stack& stack() const noexcept { return stack_; }
    /// How the slide brings it to the key, and what is left.
    [[nodiscard]] const instrument::SlideSetting& slide() const noexcept { return slide_; }
    /// What would reach the key when nothing does: how much tube is too much or lacking, and the piece to have made. Empty
    /// otherwise.
    [[nodiscard]] const std::string& missing() const noexcept { return missing_; }
    /// The horn taken up cold in this room, now and after twenty minutes of playing, with the slide for either.
    [[nodiscard]] double room_c() const noexcept { return room_c_; }
    void set_room(double room_c) noexcept;
    [[nodiscard]] const instrument::WarmUp& warm_up() const noexcept { return warm_up_; }
    [[nodiscard]] const instrument::WarmSlide& warm_slide() const noexcept { return warm_slide_; }
    /// Acoustic length that sounds a key today, in metres.
    [[nodiscard]] double length_for_m(const horn::Crook& key) const noexcept;
    /// Partials 2 to 16 as they sound now.
    [[nodiscard]] const std::vector<BenchPartial>& partials() const noexcept { return partials_; }

private:
    void put(const instrument::Stack& stack);
    void warm() noexcept;

    instrument::Profile profile_;
    instrument::HornLengths lengths_;
    horn::Tuning tuning_;
    bool aimed_ = false;
    instrument::BuildAnswer answer_;
    instrument::Stack stack_;
    instrument::SlideSetting slide_;
    instrument::Assembly assembly_;
    std::vector<BenchPartial> partials_;
    int chosen_ = 0;
    std::string refusal_;
    std::string missing_;
    double room_c_ = 20.0;
    instrument::WarmUp warm_up_;
    instrument::WarmSlide warm_slide_;
};

} // namespace bellhand::desk
