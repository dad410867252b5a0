#include "homework/package.h"

#include "support/set_work.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::homework;

TEST_SUITE("homework/package") {
    TEST_CASE("an archive cut anywhere, or with any byte turned over, does no harm") {
        const std::string whole = Package(test::set_work(2)).bytes().value();
        REQUIRE(Package::parse(whole, "file"));
        for (std::size_t i = 0; i < whole.size(); i += 7) {
            CHECK_FALSE(Package::parse(whole.substr(0, i), "file"));
            std::string turned = whole;
            turned[i] = static_cast<char>(turned[i] ^ 0x20);
            const auto read = Package::parse(turned, "file");
            if (read) { // a byte that nobody needs, such as a version
                CHECK(homework_text(read->homework()) == homework_text(test::set_work(2)));
            }
        }
    }
}
