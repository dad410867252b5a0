// What people type for crooks, notes, temperaments and keys: any bytes end in a value that can be written and read
// again, or in one sentence.
#include "horn/crook.h"
#include "horn/note.h"
#include "horn/scale.h"
#include "horn/temperament.h"

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace bellhand;

namespace {

void expect(bool holds) {
    if (!holds) {
        std::abort();
    }
}

template <typename Value>
void expect_sentence(const Result<Value>& result) {
    expect(result || (result.error().kind == ErrorKind::usage && !result.error().message.empty()));
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    const auto note = horn::parse_note(text);
    expect_sentence(note);
    if (note) {
        expect(*horn::parse_note(horn::ascii_name(*note)) == *note);
        expect(*horn::parse_note(horn::display_name(*note)) == *note);
    }
    const auto crook = horn::parse_crook(text);
    expect_sentence(crook);
    if (crook) {
        expect(*horn::parse_crook(crook->id) == *crook);
    }
    const auto temperament = horn::parse_temperament(text);
    expect_sentence(temperament);
    const auto scale = horn::parse_scale(text);
    expect_sentence(scale);
    if (scale) {
        expect(!horn::count_scale(*scale).empty());
    }
    return 0;
}
