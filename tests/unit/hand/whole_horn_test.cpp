// A horn that lies off as a whole: the ear moves with it, but only once it knows by how much.
#include "core/cents.h"
#include "hand/hand_ear.h"
#include "support/modelled_player.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

class Listener {
public:
    Listener() {
        ear_.set_horn(
            horn::hand_response(tuning_), hand::modelled_trust(), horn::fundamental_hz(tuning_));
    }

    /// An open note of half a second on the partial, the whole horn so many cents off.
    hand::NoteHand open_note(int partial, double off_cents) {
        const double onto_series =
            -player_.response().open_cents[static_cast<std::size_t>(partial - 1)];
        const auto tone =
            player_.play(partial, 0.0, onto_series + off_cents, test::Blown::middling, {});
        const double start_s = time_s_;
        for (int i = 0; i < 94; ++i) {
            time_s_ += 256.0 / 48000.0;
            auto frame = test::frame_of(tone, time_s_, -28.0);
            frame.onset = i == 0;
            (void)ear_.hear(frame);
        }
        return ear_.note({start_s,
                          time_s_ - start_s,
                          tone.f0_hz,
                          0.0,
                          tone.f0_hz * ratio_of_cents(-off_cents),
                          8.0,
                          horn::nearest_written(partial)});
    }
    [[nodiscard]] double moved_cents() const { return ear_.reference().offset_cents; }

private:
    horn::Tuning tuning_;
    test::ModelledPlayer player_{tuning_, {}};
    hand::HandEar ear_;
    double time_s_ = 0.0;
};

} // namespace

TEST_SUITE("hand/whole_horn") {
    TEST_CASE("the ear moves with a horn that is off only when it knows that to 6 cents") {
        for (const double off_cents : {-22.0, 18.0}) {
            CAPTURE(off_cents);
            Listener listener;
            for (int round = 0; round < 3; ++round) {
                for (const int partial : {8, 6, 5, 4, 10, 9, 12}) {
                    const double before = listener.moved_cents();
                    const hand::NoteHand note = listener.open_note(partial, off_cents);
                    const double moved = std::fabs(listener.moved_cents() - before);
                    CHECK((moved < 1.0 || note.horn.offset_sd_cents <= 6.0));
                }
            }
            CHECK(std::fabs(listener.moved_cents() - off_cents) < 8.0);
        }
    }

    TEST_CASE("the ear stays where it is with a horn that is where it was set") {
        Listener listener;
        for (const int partial : {8, 6, 5, 4, 10, 9, 12, 8, 6, 5, 4}) {
            (void)listener.open_note(partial, 0.0);
        }
        CHECK(std::fabs(listener.moved_cents()) < 8.0);
    }
}
