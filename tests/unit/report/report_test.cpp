#include "report/report.h"

#include "report/charts.h"
#include "support/practised_week.h"
#include "support/temporary_folder.h"

#include <algorithm>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

std::string
page_of(const std::string& words, progress::Range range, const std::string& player = "") {
    const test::TemporaryFolder folder;
    auto log = logbook::Logbook::open(folder / "log.sqlite").value();
    test::practise_a_week(*log, words);
    return report::html_page(report::gather(*log, range, test::kPractisedSunday, player).value());
}

bool has(const std::string& page, const std::string& what) {
    return page.find(what) != std::string::npos;
}

std::size_t count(const std::string& page, const std::string& what) {
    std::size_t found = 0;
    for (std::size_t at = page.find(what); at != std::string::npos; at = page.find(what, at + 1)) {
        ++found;
    }
    return found;
}

/// Every tag that opens closes, in order; attributes are quoted. Enough to tell a page that was broken by its text.
bool balanced(const std::string& page) {
    std::vector<std::string> open;
    for (std::size_t at = page.find('<'); at != std::string::npos; at = page.find('<', at + 1)) {
        const std::size_t end = page.find('>', at);
        if (end == std::string::npos) {
            return false;
        }
        const std::string tag = page.substr(at + 1, end - at - 1);
        if (tag.front() == '!' || tag.back() == '/') {
            continue;
        }
        if (tag.front() == '/') {
            if (open.empty() || open.back() != tag.substr(1)) {
                return false;
            }
            open.pop_back();
            continue;
        }
        if (std::count(tag.begin(), tag.end(), '"') % 2 != 0) {
            return false;
        }
        open.push_back(tag.substr(0, tag.find(' ')));
    }
    return open.empty();
}

} // namespace

TEST_SUITE("report/page") {
    TEST_CASE("a week's page tells all that a teacher asks for") {
        const std::string page = page_of("", progress::Range::week, "A. Student");
        CHECK(balanced(page));
        CHECK(has(page, "A. Student, 23 Feb 2026 to 1 Mar 2026"));
        CHECK(has(page, "Open and stopped pairs"));
        CHECK(has(page, "The half-stopped B was flat"));
        CHECK(has(page, "(broken off)"));
        CHECK(has(page, "Note map, crook F"));
        CHECK(has(page, "Note map, crook E♭"));
        CHECK_FALSE(has(page, "Note map, crook D")); // before the week
        CHECK_FALSE(has(page, "Note map, crook G")); // in the bin
        CHECK(has(page, "Median deviation and spread over time"));
        CHECK(has(page, "Hardest transitions"));
        CHECK(has(page, "Minutes played, rest taken and rest advised"));
        CHECK(has(page, "licensed"));
        CHECK(has(page, "Directive 2003/10/EC"));
        CHECK(has(page, "20260227-152000-1.flac"));
        CHECK(has(page, "Teacher at 0:12, 28 Feb 2026"));
        CHECK(has(page, "A4 = 430 Hz, vallotti"));
    }

    TEST_CASE("the faults are exactly those that were put in") {
        const std::string page = page_of("", progress::Range::week);
        const std::size_t begin = page.find("Faults found");
        const std::string part = page.substr(begin, page.find("</section>", begin) - begin);
        CHECK(count(part, "<td>flat</td>") == 1); // B4, in the one exercise that had it
        CHECK(count(part, "<td>late</td>") >= 1); // D5
        CHECK(count(part, "<tr><td>") ==
              count(part, "<td>flat</td>") + count(part, "<td>late</td>"));
        CHECK(count(part, "<td>B4 ") == count(part, "<td>flat</td>"));
        CHECK(count(part, "<td>D5 ") == count(part, "<td>late</td>"));
    }

    TEST_CASE("a page needs nothing from outside and runs nothing") {
        const std::string page = page_of("", progress::Range::all);
        for (const char* what : {"<script",
                                 "<link",
                                 "<img",
                                 "<iframe",
                                 "href=",
                                 "src=",
                                 "url(",
                                 "@import",
                                 "onload"}) {
            CAPTURE(what);
            CHECK_FALSE(has(page, what));
        }
        // Names of XML's vocabularies, which nothing fetches, are the only addresses.
        CHECK(count(page, "http") == count(page, "http-equiv") +
                                         count(page, "\"http://www.w3.org/2000/svg\"") +
                                         count(page, "\"http://www.w3.org/1999/xhtml\""));
    }

    TEST_CASE("charts have a title and a description of their own") {
        const std::string page = page_of("", progress::Range::week);
        const std::size_t charts = count(page, "<svg ");
        CHECK(charts == 4);
        CHECK(count(page, "role=\"img\"") == charts);
        CHECK(count(page, "<title id=") == charts);
        CHECK(count(page, "<desc id=") == charts);
        for (const char* id : {"map1-t", "map2-t", "trend-t", "minutes-t"}) {
            CHECK(count(page, "id=\"" + std::string(id) + "\"") == 1);
        }
    }

    TEST_CASE("text from others cannot break the page") {
        for (const char* words : {"</td></table><script>x()</script>",
                                  "\" onload=\"x()",
                                  "<!--",
                                  "&#60;b&#62;",
                                  "]]>",
                                  "\xff\xfe\x00",
                                  "\xe2\x80\xae"}) {
            CAPTURE(words);
            const std::string page = page_of(words, progress::Range::week, words);
            CHECK(balanced(page));
            CHECK_FALSE(has(page, "<script"));
            CHECK_FALSE(has(page, "<!--"));
            CHECK_FALSE(has(page, "\" onload"));
        }
    }

    TEST_CASE("a day without practice and an empty log give a page that says so") {
        const test::TemporaryFolder folder;
        auto log = logbook::Logbook::open(folder / "log.sqlite").value();
        for (const auto range :
             {progress::Range::day, progress::Range::week, progress::Range::all}) {
            const std::string page =
                report::html_page(report::gather(*log, range, test::kPractisedSunday, "").value());
            CHECK(balanced(page));
            CHECK(has(page, "Nothing in this period."));
            CHECK(has(page, "No exercise was judged"));
        }
    }

    TEST_CASE("scales of cents hold what they show in round steps") {
        CHECK(report::scale_cents(0.0) == 20.0);
        CHECK(report::scale_cents(19.5) == 30.0);
        CHECK(report::scale_cents(25.0) == 30.0);
        CHECK(report::scale_cents(500.0) == 60.0);
    }
}
