#include "core/number.h"

#include <clocale>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;

TEST_SUITE("numbers in text") {
    TEST_CASE("the whole text is the number, with a point, in any language") {
        const char* const before = std::setlocale(LC_ALL, nullptr);
        const std::string kept = before;
        std::setlocale(LC_ALL, "de_DE.UTF-8"); // where it is there
        CHECK(number_of("12.5") == 12.5);
        CHECK(number_of("-3") == -3.0);
        CHECK(number_of("1e-3") == 0.001);
        CHECK(number_of(".5") == 0.5);
        std::setlocale(LC_ALL, kept.c_str());
        for (const char* text :
             {"", " 1", "1 ", "+1", "1,5", "1.5mm", "nan", "inf", "0x10", "1e999", "--1", "."}) {
            CAPTURE(text);
            CHECK_FALSE(number_of(text));
        }
    }
}
