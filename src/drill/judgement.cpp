#include "drill/judgement.h"

#include <algorithm>
#include <array>
#include <cstddef>

namespace bellhand::drill {

namespace {

struct Name {
    Fault fault;
    const char* id;
};

constexpr std::array<Name, 18> kNames{{
    {Fault::missed, "missed"},
    {Fault::wrong_partial, "wrong-partial"},
    {Fault::wrong_note, "wrong-note"},
    {Fault::wrong_hand, "wrong-hand"},
    {Fault::flat, "flat"},
    {Fault::sharp, "sharp"},
    {Fault::attack_flat, "attack-flat"},
    {Fault::attack_sharp, "attack-sharp"},
    {Fault::too_loud, "too-loud"},
    {Fault::too_soft, "too-soft"},
    {Fault::uneven_colour, "uneven-colour"},
    {Fault::unsteady, "unsteady"},
    {Fault::early, "early"},
    {Fault::late, "late"},
    {Fault::too_short, "too-short"},
    {Fault::too_long, "too-long"},
    {Fault::hairpin, "hairpin"},
    {Fault::manner, "manner"},
}};

constexpr std::array<Fault, kNames.size()> kFaults = [] {
    std::array<Fault, kNames.size()> faults{};
    for (std::size_t i = 0; i < kNames.size(); ++i) {
        faults[i] = kNames[i].fault;
    }
    return faults;
}();

// The table is read by position.
static_assert([] {
    for (std::size_t i = 0; i < kNames.size(); ++i) {
        if (static_cast<std::size_t>(kNames[i].fault) != i) {
            return false;
        }
    }
    return true;
}());

} // namespace

const char* fault_id(Fault fault) noexcept {
    return kNames[static_cast<std::size_t>(fault)].id;
}

std::optional<Fault> fault_from_id(std::string_view id) noexcept {
    const auto found = std::find_if(
        kNames.begin(), kNames.end(), [id](const Name& name) { return name.id == id; });
    return found == kNames.end() ? std::nullopt : std::optional(found->fault);
}

std::span<const Fault> all_faults() noexcept {
    return kFaults;
}

} // namespace bellhand::drill
