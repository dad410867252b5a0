#include "words/cautions.h"

#include <array>

namespace bellhand::words {

namespace {

constexpr std::array kAll{
    Caution{"Lips",
            "Rest as long as you play, in blocks of at most 25 minutes. Stop when it hurts."},
    Caution{"Arm and hand",
            "An arm that carries and a hand in the bell tire unnoticed. Put the horn down often; "
            "stop at pain or "
            "numbness."},
    Caution{"Hearing",
            "A horn in a small room is loud enough to do harm. Take breaks, wear protection; rules "
            "for sound at work "
            "are local. The level shown is that of the microphone, not of the room."},
    Caution{"Headphones", "Begin at the lowest level."},
    Caution{"Advice",
            "Bellhand gives none on health. With complaints that stay, see a doctor or therapist "
            "licensed where you "
            "live, best one who knows musicians."},
};

constexpr std::array kShort{
    Caution{"Lips", "Rest as long as you play. Stop when it hurts."},
    Caution{"Arm and hand", "Put the horn down in every rest. Stop at pain or numbness."},
    Caution{"Hearing",
            "A horn in a small room can harm ears: breaks, protection, and the rules for sound "
            "that hold where you are."},
    Caution{"Complaints that stay",
            "See a doctor or therapist licensed where you live; Bellhand gives no advice on "
            "health."},
};

} // namespace

std::span<const Caution> all_cautions() noexcept {
    return kAll;
}

std::span<const Caution> short_cautions() noexcept {
    return kShort;
}

} // namespace bellhand::words
