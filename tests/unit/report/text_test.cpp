#include "report/text.h"

#include <doctest/doctest.h>

using namespace bellhand::report;

TEST_SUITE("report/text") {
    TEST_CASE("markup in other people's words is only words") {
        CHECK(escaped("<script>alert('a & \"b\"')</script>") ==
              "&lt;script&gt;alert(&#39;a &amp; &quot;b&quot;&#39;)&lt;/script&gt;");
        CHECK(escaped("B♭ ½") == "B♭ ½");
        CHECK(escaped(std::string("a\0b\x1b[31m\x7f\tc\nd", 13)) == "a b [31m  c\nd");
    }

    TEST_CASE("what is not UTF-8 is replaced, byte by byte") {
        // Source: Unicode Standard, table 3-7 (well-formed byte sequences): overlong forms, surrogates and what lies
        // above U+10FFFF are ill-formed.
        CHECK(escaped("\xff") == "\ufffd");
        CHECK(escaped("\xc0\xaf") == "\ufffd\ufffd");
        CHECK(escaped("\xed\xa0\x80") == "\ufffd\ufffd\ufffd");
        CHECK(escaped("\xf4\x90\x80\x80") == "\ufffd\ufffd\ufffd\ufffd");
        CHECK(escaped("a\xe2\x99") == "a\ufffd\ufffd");
        CHECK(escaped("\xf0\x9f\x93\xaf") == "\xf0\x9f\x93\xaf");
        CHECK(escaped("\xc2\x85x") == " x");
        CHECK(escaped("\xef\xbf\xbf") == "\ufffd");
    }

    TEST_CASE("figures as people read them") {
        CHECK(signed_text(2.14) == "+2.1");
        CHECK(signed_text(-0.36) == "\u22120.4");
        CHECK(signed_text(-0.04) == "0.0");
        CHECK(count_text(7) == "7");
        CHECK(count_text(1243) == "1\u202f243");
        CHECK(count_text(2000000) == "2\u202f000\u202f000");
        CHECK(percent_text(0.784) == "78\u202f%");
        CHECK(duration_text(48.4) == "48\u202fs");
        CHECK(duration_text(12.5 * 60.0) == "13\u202fmin");
        CHECK(duration_text(185.0 * 60.0) == "3\u202fh 05\u202fmin");
    }

    TEST_CASE("the clock counts minutes, then hours") {
        CHECK(clock_text(7.9) == "0:07");
        CHECK(clock_text(65.9) == "1:05");
        CHECK(clock_text(760.0) == "12:40");
        CHECK(clock_text(3723.0) == "1:02:03");
        CHECK(clock_text(-1.0) == "0:00");
    }
}
