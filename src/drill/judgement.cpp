#include "drill/judgement.h"

#include <array>
#include <utility>

namespace bellhand::drill {

namespace {

constexpr std::array kIds{
    std::pair{Fault::missed, "missed"},
    std::pair{Fault::wrong_partial, "wrong-partial"},
    std::pair{Fault::wrong_note, "wrong-note"},
    std::pair{Fault::wrong_hand, "wrong-hand"},
    std::pair{Fault::flat, "flat"},
    std::pair{Fault::sharp, "sharp"},
    std::pair{Fault::attack_flat, "attack-flat"},
    std::pair{Fault::attack_sharp, "attack-sharp"},
    std::pair{Fault::too_loud, "too-loud"},
    std::pair{Fault::too_soft, "too-soft"},
    std::pair{Fault::uneven_colour, "uneven-colour"},
    std::pair{Fault::unsteady, "unsteady"},
    std::pair{Fault::early, "early"},
    std::pair{Fault::late, "late"},
    std::pair{Fault::too_short, "too-short"},
    std::pair{Fault::too_long, "too-long"},
    std::pair{Fault::hairpin, "hairpin"},
};

} // namespace

const char* fault_id(Fault fault) noexcept {
    for (const auto& [known, id] : kIds) {
        if (known == fault) {
            return id;
        }
    }
    return "";
}

std::optional<Fault> fault_from_id(std::string_view id) noexcept {
    for (const auto& [fault, known] : kIds) {
        if (id == known) {
            return fault;
        }
    }
    return std::nullopt;
}

} // namespace bellhand::drill
