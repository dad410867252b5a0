#include "homework/flac_head.h"

#include <string>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

/// "fLaC" and the stream information as RFC 9639 lays it out (sections 6 and 8.2).
std::string head_of(std::uint64_t rate_hz, int channels, int bits, std::uint64_t samples) {
    std::string bytes = "fLaC";
    const auto put = [&](std::uint64_t value, int count) {
        for (int i = count - 1; i >= 0; --i) {
            bytes += static_cast<char>((value >> (8 * i)) & 0xFFU);
        }
    };
    put(0x80, 1); // the last block of its kind, type 0
    put(34, 3);
    put(4096, 2);
    put(4096, 2);
    put(0, 3);
    put(0, 3);
    // 20 bits of rate, 3 of channels - 1, 5 of bits - 1, 36 of samples
    put((rate_hz << 44U) | (static_cast<std::uint64_t>(channels - 1) << 41U) |
            (static_cast<std::uint64_t>(bits - 1) << 36U) | samples,
        8);
    put(0, 8);
    put(0, 8);
    return bytes;
}

bool taken(const std::string& bytes) {
    const auto head = homework::read_flac_head(bytes, "take 1");
    if (!head) {
        CHECK(head.error().message.rfind("take 1 ", 0) == 0);
    }
    return head.has_value();
}

} // namespace

TEST_SUITE("homework/flac_head") {
    TEST_CASE("what the file says of itself is read bit by bit") {
        const auto head = homework::read_flac_head(head_of(44100, 2, 24, 70'000'000), "take 1");
        REQUIRE(head);
        CHECK(head->rate_hz == 44100);
        CHECK(head->channels == 2);
        CHECK(head->bits == 24);
        CHECK(head->samples == 70'000'000);
        // More than 32 bits hold.
        CHECK(homework::read_flac_head(head_of(192'000, 1, 16, 576'000'000), "take 1")->samples ==
              576'000'000);
    }

    TEST_CASE("both sides of every limit of a take") {
        CHECK(taken(head_of(48000, 1, 16, 48000)));
        CHECK_FALSE(taken(head_of(48000, 3, 16, 48000)));
        CHECK(taken(head_of(8000, 2, 16, 8000)));
        CHECK_FALSE(taken(head_of(7999, 2, 16, 8000)));
        CHECK(taken(head_of(192'000, 2, 16, 8000)));
        CHECK_FALSE(taken(head_of(192'001, 2, 16, 8000)));
        for (const int bits : {8, 12, 15, 17, 20, 23, 25, 32}) {
            CAPTURE(bits);
            CHECK_FALSE(taken(head_of(48000, 1, bits, 48000)));
        }
        CHECK(taken(head_of(48000, 1, 24, 48000 * 3000)));
        CHECK_FALSE(taken(head_of(48000, 1, 24, 48000 * 3000 + 1)));
        CHECK_FALSE(taken(head_of(48000, 1, 24, 0)));
    }

    TEST_CASE("what is no FLAC, or cut short, is refused") {
        const std::string whole = head_of(48000, 1, 16, 48000);
        CHECK(taken(whole));
        CHECK_FALSE(taken(whole.substr(0, whole.size() - 1)));
        CHECK_FALSE(taken("RIFF" + whole.substr(4)));
        std::string other = whole;
        other[4] = 4; // another kind of block
        CHECK_FALSE(taken(other));
        other = whole;
        other[7] = 35;
        CHECK_FALSE(taken(other));
    }
}
