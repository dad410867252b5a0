#include "datafile/archive.h"

#include <utility>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::datafile;

namespace {

std::string packed(const std::vector<ArchiveEntry>& entries) {
    return archive_bytes(entries).value();
}

/// Bytes that do not pack.
std::string noise(std::size_t count) {
    std::string bytes(count, '\0');
    std::uint32_t state = 1;
    for (char& byte : bytes) {
        state = state * 1664525U + 1013904223U; // Numerical Recipes, Press et al. (1992), 7.1
        byte = static_cast<char>(state >> 24U);
    }
    return bytes;
}

bool opens(const std::vector<ArchiveEntry>& entries, const ArchiveLimits& limits) {
    const auto archive = Archive::open(packed(entries), "file", limits);
    if (!archive) {
        CHECK(archive.error().message.rfind("file", 0) == 0);
        CHECK(archive.error().message.back() == '.');
    }
    return archive.has_value();
}

} // namespace

TEST_SUITE("datafile/archive") {
    TEST_CASE("what is packed comes out again, the same bytes for the same files") {
        const std::vector<ArchiveEntry> entries{{"a.json", std::string(3000, 'x'), true},
                                                {"take-01.flac", noise(3000), false}};
        CHECK(packed(entries) == packed(entries));
        const auto archive = Archive::open(packed(entries), "file");
        REQUIRE(archive);
        CHECK(archive->names() == std::vector<std::string>{"a.json", "take-01.flac"});
        CHECK(archive->read("a.json", 3000).value() == entries[0].bytes);
        CHECK(archive->read("take-01.flac", 3000).value() == entries[1].bytes);
        CHECK(archive->read_start("take-01.flac", 10).value() == entries[1].bytes.substr(0, 10));
        CHECK_FALSE(archive->read("a.json", 2999));
        CHECK_FALSE(archive->read("b.json", 3000));
    }

    TEST_CASE("both sides of every limit") {
        ArchiveLimits limits;
        limits.most_entries = 2;
        limits.largest_entry_bytes = 1000;
        limits.largest_sum_bytes = 1500;
        CHECK(opens({{"a", noise(1000), false}, {"b", noise(500), false}}, limits));
        CHECK_FALSE(opens({{"a", noise(1000), false}, {"b", noise(501), false}}, limits));
        CHECK_FALSE(opens({{"a", noise(1001), false}}, limits));
        CHECK_FALSE(opens({{"a", "1", false}, {"b", "2", false}, {"c", "3", false}}, limits));
        limits = {};
        // A thousand to one is a bomb; thirty to one is text.
        CHECK_FALSE(opens({{"a", std::string(5'000'000, ' '), true}}, limits));
        std::string text;
        for (int i = 0; i < 2000; ++i) {
            text += "{\"step\":" + std::to_string(i) + ",\"asked\":\"C4\"}\n";
        }
        CHECK(opens({{"a", text, true}}, limits));
    }

    TEST_CASE("names that are more than a name are refused") {
        for (const char* const name :
             {"../a", "/a", "a/b", "A.json", ".hidden", "a b", "a\\b", "\x1b[31m"}) {
            CAPTURE(name);
            CHECK_FALSE(opens({{name, "x", false}}, {}));
        }
        CHECK_FALSE(opens({{std::string(61, 'a'), "x", false}}, {}));
        CHECK(opens({{std::string(60, 'a'), "x", false}}, {}));
    }

    TEST_CASE("links and other special files are refused") {
        const std::string plain = packed({{"a", "x", false}});
        // The mode stands in the upper half of the external attributes, 38 bytes into the central directory's entry
        // (APPNOTE.TXT 6.3, 4.3.12); ordinary file, link, folder, device by the types of POSIX.
        const std::size_t entry = plain.find("PK\x01\x02");
        REQUIRE(entry != std::string::npos);
        for (const auto& [mode, taken] : {std::pair{0100644, true},
                                          std::pair{0120777, false},
                                          std::pair{0040755, false},
                                          std::pair{0020644, false}}) {
            std::string changed = plain;
            changed[entry + 40] = static_cast<char>(mode & 0xFF);
            changed[entry + 41] = static_cast<char>(mode >> 8);
            CHECK(Archive::open(changed, "file").has_value() == taken);
        }
    }

    TEST_CASE("an encrypted entry is called encrypted") {
        // Bit 0 of the general purpose flag, 6 bytes into the local header and 8 into the central one (APPNOTE.TXT 6.3, 4.4.4).
        std::string changed = packed({{"a", "x", false}});
        changed[changed.find("PK\x03\x04") + 6] |= 1;
        changed[changed.find("PK\x01\x02") + 8] |= 1;
        const auto archive = Archive::open(changed, "file");
        REQUIRE_FALSE(archive);
        CHECK(archive.error().message.find("encrypted") != std::string::npos);
    }

    TEST_CASE("with folders: names below their own folder only, folders themselves passed over") {
        ArchiveLimits limits;
        limits.folders = true;
        for (const char* const name : {"META-INF/container.xml", "Score one.xml", "a/..b/c"}) {
            CAPTURE(name);
            CHECK(opens({{name, "x", false}}, limits));
        }
        for (const char* const name : {"../a", "/a", "a/../../b", "a/..", "a\\b", "c:/a", "a\nb"}) {
            CAPTURE(name);
            CHECK_FALSE(opens({{name, "x", false}}, limits));
        }
        const auto archive = Archive::open(
            packed({{"META-INF/", "", false}, {"a.xml", "x", false}}), "file", limits);
        REQUIRE(archive);
        CHECK(archive->names() == std::vector<std::string>{"a.xml"});
        CHECK(archive->read("a.xml", 1).value() == "x");
    }
}
