#include "part/part.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::part;

namespace {

std::string number(std::uint32_t value, int bytes) {
    std::string text;
    for (int i = bytes - 1; i >= 0; --i) {
        text += static_cast<char>((value >> (8 * i)) & 0xFFU);
    }
    return text;
}

std::string chunk(const char* kind, const std::string& data) {
    return kind + number(static_cast<std::uint32_t>(data.size()), 4) + data;
}

std::string head(int format, int tracks, std::uint32_t division = 96) {
    return chunk("MThd",
                 number(static_cast<std::uint32_t>(format), 2) +
                     number(static_cast<std::uint32_t>(tracks), 2) + number(division, 2));
}

/// A delta time below 16384 and an event.
std::string event(std::uint32_t delta, const std::string& bytes) {
    std::string text;
    if (delta >= 128) {
        text += static_cast<char>(0x80U | (delta >> 7U));
    }
    return text + static_cast<char>(delta & 0x7FU) + bytes;
}

std::string on(int channel, int note) {
    return {static_cast<char>(0x90 + channel), static_cast<char>(note), 80};
}

std::string off(int channel, int note) {
    return {static_cast<char>(0x80 + channel), static_cast<char>(note), 0};
}

const std::string kEnd = event(0, std::string("\xFF\x2F\x00", 3));

/// Sounding F3 C4 F4 on a track named "Horn in F": written C4 G4 C5. Three-four at 90 a minute.
std::string call() {
    const std::string conductor = event(0, std::string("\xFF\x51\x03\x0A\x2C\x2A", 6)) +
                                  event(0, std::string("\xFF\x58\x04\x03\x02\x18\x08", 7)) + kEnd;
    std::string horn = event(0, std::string("\xFF\x03\x09", 3) + "Horn in F");
    horn += event(0, on(2, 53)) + event(96, off(2, 53));
    horn += event(0, on(2, 60)) + event(96, std::string{60, 0}); // running status, velocity 0
    horn += event(0, on(2, 65)) + event(192, off(2, 65)) + kEnd;
    return head(1, 2) + chunk("MTrk", conductor) + chunk("MTrk", horn);
}

} // namespace

TEST_SUITE("part/midi") {
    TEST_CASE("sounding notes in bars, with tempo and metre; the crook from the track's name") {
        const auto score = Score::open(call(), "file");
        REQUIRE(score);
        CHECK(score->format() == ScoreFormat::midi);
        REQUIRE(score->parts().size() == 1);
        CHECK(score->parts()[0].horn);
        const auto part = read_part(*score, 0);
        REQUIRE(part);
        CHECK(part->questions.empty());
        REQUIRE(part->attacks.size() == 3);
        CHECK(part->attacks[0].written.number == 60);
        CHECK(part->attacks[1].written.number == 67);
        CHECK(part->attacks[2].written.number == 72);
        CHECK(part->attacks[2].sounding.number == 65);
        CHECK(part->attacks[1].at == Place{0, kQuarter});
        CHECK(part->attacks[2].ticks == 2 * kQuarter); // over the bar line, tied
        CHECK(part->music.bars.size() == 2);
        CHECK(part->music.times.front().beats_sum == 3);
        CHECK(part->attacks[1].start_s == doctest::Approx(60.0 / 90.0).epsilon(0.001));
    }

    TEST_CASE("a name in ISO 8859-1 or broken UTF-8 is read") {
        const auto named = [](const std::string& name) {
            const std::string text =
                std::string("\xFF\x03") + static_cast<char>(name.size()) + name;
            const std::string track =
                event(0, text) + event(0, on(0, 53)) + event(96, off(0, 53)) + kEnd;
            const auto score = Score::open(head(0, 1) + chunk("MTrk", track), "file");
            REQUIRE(score);
            return score->parts()[0];
        };
        CHECK(named("H\xF6rner in Es").name == "Hörner in Es");
        CHECK(named("H\xF6rner in Es").horn);
        CHECK(named("Hörner in Es").name == "Hörner in Es");
        CHECK(named("Horn\xE0\x96\x91").name == "Hornà?"
                                                "?");
    }

    TEST_CASE("without a name that says it, the crook is asked for") {
        const std::string track = event(0, on(0, 53)) + event(96, off(0, 53)) + kEnd;
        const auto score = Score::open(head(0, 1) + chunk("MTrk", track), "file");
        REQUIRE(score);
        CHECK(read_part(*score, 0)->questions.size() == 1);
        ReadOptions options;
        options.crooks = {{"", *horn::parse_crook("Eb")}};
        const auto part = read_part(*score, 0, options);
        REQUIRE(part);
        CHECK(part->questions.empty());
        CHECK(part->attacks[0].written.number == 62);
    }

    TEST_CASE("what cannot be read is one sentence") {
        const std::string track = event(0, on(0, 53)) + event(96, off(0, 53)) + kEnd;
        for (const std::string& bad :
             {std::string("MThd"),
              head(2, 1) + chunk("MTrk", track),
              head(0, 1, 0xE728) + chunk("MTrk", track),
              head(0, 1, 0) + chunk("MTrk", track),
              head(0, 1) + "MTrk" + number(0xFFFFFFFF, 4) + track,
              head(0, 1) + chunk("MTrk", std::string("\x00\xFF\x03\x7F", 4)),
              head(0, 1) + chunk("MTrk", std::string("\x00\x40\x40", 3)),
              head(0, 1) + chunk("MTrk", std::string("\x81\x82\x83\x84\x85", 5)),
              head(0, 1) + chunk("MTrk", kEnd)}) {
            const auto score = Score::open(bad, "file");
            REQUIRE_FALSE(score);
            CHECK(score.error().message.rfind("file", 0) == 0);
            CHECK(score.error().message.back() == '.');
        }
    }

    TEST_CASE("cut anywhere or with any byte turned over it does no harm") {
        const std::string whole = call();
        for (std::size_t i = 0; i < whole.size(); ++i) {
            (void)Score::open(whole.substr(0, i), "file");
            for (const int flip : {0x01, 0x20, 0x80, 0xFF}) {
                std::string turned = whole;
                turned[i] = static_cast<char>(turned[i] ^ flip);
                const auto score = Score::open(turned, "file");
                for (std::size_t part = 0; score && part < score->parts().size(); ++part) {
                    (void)read_part(*score, part);
                }
            }
        }
    }
}
