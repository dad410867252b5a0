#include "words/horn.h"

#include <string>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

hand::HornFit fit_to(const char* crook, double a4_hz, hand::HornVerdict verdict) {
    hand::HornFit fit;
    fit.verdict = verdict;
    fit.best.f1_hz = horn::fundamental_hz({*horn::parse_crook(crook), a4_hz});
    return fit;
}

} // namespace

TEST_SUITE("words/horn") {
    TEST_CASE(
        "a better horn is named at the pitch that is set, with its other names and what to type") {
        const horn::Tuning set;
        const auto fit = fit_to("Eb", 440.0, hand::HornVerdict::other);
        const words::HornRemark remark = words::horn_remark(fit, set);
        CHECK(
            remark.text ==
            "These notes fit a horn in E♭ better than one in F (the same tube is E at A4 = 415).");
        REQUIRE(remark.offer);
        CHECK(words::horn_options(*remark.offer, set) == "--crook Eb");
    }

    TEST_CASE("where another pitch brings the crook home, both are offered") {
        const horn::Tuning set;
        const auto fit = fit_to("Eb", 430.0, hand::HornVerdict::other);
        const std::string words = words::horn_remark_to_type(fit, set);
        CHECK(words.find("a horn in E♭ at A4 = 430 better") != std::string::npos);
        CHECK(words.find("--crook Eb --a4 430") != std::string::npos);
    }

    TEST_CASE("a whole horn that is off is said once, with pitch and slide") {
        const horn::Tuning set;
        auto fit = fit_to("F", 443.0, hand::HornVerdict::fits);
        CHECK(words::horn_remark(fit, set).text.empty());
        fit.offset_cents = 11.8;
        fit.offset_matters = true;
        CHECK(words::horn_remark(fit, set).text ==
              "Everything 12 cents sharp: A4 = 443, or the tuning slide 13 mm out.");
        fit.offset_cents = -12.0;
        CHECK(words::horn_remark(fit, set).text ==
              "Everything 12 cents flat: A4 = 437, or the tuning slide 13 mm in.");
        fit.offset_cents = -39.8; // further than a slide goes
        CHECK(words::horn_remark(fit, set).text == "Everything 40 cents flat: A4 = 430.");
    }

    TEST_CASE("between two horns a note is named that decides") {
        const horn::Tuning set{*horn::parse_crook("Eb"), 440.0};
        auto fit = fit_to("Bb-alto", 440.0, hand::HornVerdict::either);
        fit.rival.f1_hz = 0.5 * fit.best.f1_hz;
        fit.best.share = 0.6;
        fit.rival.share = 0.3;
        fit.deciding_partial = 5;
        fit.deciding_f1_hz = fit.rival.f1_hz;
        const words::HornRemark remark = words::horn_remark(fit, set);
        CHECK(remark.text ==
              "These notes fit a horn in B♭ alto and one in B♭ basso. An open E4 on B♭ basso would "
              "decide: "
              "B♭ alto has no open note there. Until then nothing is said of hand and lips.");
        CHECK_FALSE(remark.offer);
        // Where both together are not most of what may be, it does not claim that there are only two.
        fit.best.share = 0.4;
        CHECK(words::horn_remark(fit, set).text ==
              "These notes fit several horns: one in B♭ alto and one in B♭ basso among them. An "
              "open E4 on "
              "B♭ basso would tell these two apart: B♭ alto has no open note there. Until then "
              "nothing is said of hand and lips.");
    }

    TEST_CASE("the remark stands still while it says nearly the same") {
        words::HornWatch watch;
        const horn::Tuning set;
        CHECK_FALSE(watch.take({}, set));
        auto fit = fit_to("Eb", 440.0, hand::HornVerdict::other);
        CHECK(watch.take(fit, set));
        fit.best.f1_hz *= 1.001;
        CHECK_FALSE(watch.take(fit, set));
        CHECK(watch.take(fit_to("D", 440.0, hand::HornVerdict::other), set));
        watch.forget();
        CHECK(watch.remark().text.empty());
    }
}
