// Printed parts: what stands on the page against what stands in the file.
#include "part/write/printed.h"

#include "part/write/printed_words.h"
#include "support/engraving_check.h"
#include "support/scores.h"

#include <algorithm>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::part;
using engraving::What;

namespace {

struct Printed {
    Part part;
    PrintedPart page;
};

Printed printed(const Score& score, std::size_t index, const ReadOptions& options = {}) {
    const auto part = read_part(score, index, options);
    REQUIRE(part);
    REQUIRE(part->questions.empty());
    const auto plan = plan_part(*part, {});
    REQUIRE(plan);
    return {*part, printed_part(*part, *plan, {score.title(), false})};
}

Printed printed_text(const std::string& heading, const std::string& bars) {
    const auto score = Score::open(test::score_text(heading, bars), "test");
    REQUIRE(score);
    return printed(*score, 0);
}

/// Every note is struck once on the page, in order, with a sign over it; the bars add up.
void check_page(const Printed& made) {
    const engraving::Score& score = made.page.score;
    std::size_t next = 0;
    int bars = 0;
    for (const engraving::Bar& bar : score.bars) {
        bars += std::max(1, bar.rests);
    }
    CHECK(bars == static_cast<int>(made.part.music.bars.size()));
    bool tied = false;
    std::vector<int> filled(score.bars.size(), 0);
    for (const engraving::Event& event : score.events) {
        filled[static_cast<std::size_t>(event.bar)] += event.ticks;
        if (!event.head) {
            continue;
        }
        if (!tied) {
            REQUIRE(next < made.part.attacks.size());
            const Attack& attack = made.part.attacks[next];
            CHECK(event.step == next);
            CHECK(made.page.bar_of[static_cast<std::size_t>(event.bar)] == attack.at.bar);
            CHECK(event.tick == attack.at.tick);
            CHECK_FALSE(event.signs.empty());
            ++next;
        } else {
            CHECK(event.signs.empty());
        }
        tied = event.tie;
    }
    CHECK(next == made.part.attacks.size());
    for (std::size_t i = 0; i < score.bars.size(); ++i) {
        if (score.bars[i].rests == 0) {
            CHECK(filled[i] == score.bars[i].ticks);
        }
    }
    engraving::PageStyle style;
    style.width = 105.0F;
    style.page_height = 154.0F;
    const engraving::Layout layout = lay_out(score, style);
    for (const std::string& clash : test::clashes(layout, style)) {
        FAIL_CHECK(clash);
    }
    std::size_t heads = 0;
    std::size_t heads_meant = 0;
    for (const engraving::Event& event : score.events) {
        heads_meant += event.head ? 1U : 0U;
    }
    for (const engraving::System& system : layout.systems) {
        for (const auto& sign : system.signs) {
            heads += sign.what == What::head ? 1 : 0;
        }
    }
    CHECK(heads == heads_meant);
}

} // namespace

TEST_SUITE("part/printed page") {
    TEST_CASE("twelve parts of six full scores, every note once and nothing on anything") {
        const auto folder = test::shared_folder("parts");
        if (folder.empty()) {
            MESSAGE("skipped: the shared scores are not here");
            return;
        }
        int parts = 0;
        for (const auto& entry : std::filesystem::directory_iterator(folder)) {
            if (entry.path().extension() != ".mxl") {
                continue;
            }
            const auto score = Score::load(entry.path().string());
            REQUIRE(score);
            for (std::size_t i = 0; i < score->parts().size(); ++i) {
                if (score->parts()[i].horn) {
                    CAPTURE(entry.path().filename().string());
                    CAPTURE(score->parts()[i].id);
                    check_page(printed(*score, i));
                    ++parts;
                }
            }
        }
        CHECK(parts == 12);
    }

    TEST_CASE("the program's own pieces, both players") {
        for (const char* name : {"evening_round", "the_ferryman", "two_at_the_gate"}) {
            const auto path =
                test::source_root() / "assets" / "parts" / (std::string(name) + ".musicxml");
            const auto score = Score::load(path.string());
            REQUIRE(score);
            for (const int player : {1, 2}) {
                CAPTURE(name);
                CAPTURE(player);
                ReadOptions options;
                options.player = player;
                check_page(printed(*score, 0, options));
            }
        }
    }

    TEST_CASE("empty bars are counted together, but not over what must be seen") {
        const Printed made = printed_text(
            "Horn in F",
            test::bars_text("C4 C4 C4 C4 | -:w | -:w | -:w | C4 C4 C4 C4 | -:w | C4 - - -"));
        std::vector<int> rests;
        for (const engraving::Bar& bar : made.page.score.bars) {
            rests.push_back(bar.rests);
        }
        CHECK(rests == std::vector<int>{0, 3, 0, 0, 0});
        CHECK(made.page.bar_of == std::vector<int>{0, 1, 4, 5, 6});
        check_page(made);
    }

    TEST_CASE(
        "cues stand small where the player is silent, without signs; the crook has its rest") {
        const auto bars = test::bars_text("C4 C4 C4 C4 | -:w | -:w | C4 C4 C4 C4");
        const std::string rest = "<rest measure=\"yes\"/>";
        const std::size_t second = bars.find("<measure number=\"2\"");
        const std::size_t third = bars.find("<measure number=\"3\"");
        REQUIRE(second < third);
        REQUIRE(third != std::string::npos);
        const std::string cue = "<measure number=\"2\"><note><cue/><pitch><step>G</step>"
                                "<octave>4</octave></pitch><duration>8</duration><voice>1</voice>"
                                "<type>whole</type></note></measure>";
        const Printed made =
            printed_text("Horn in F", bars.substr(0, second) + cue + bars.substr(third));
        CHECK(made.part.attacks.size() == 8);
        int cues = 0;
        for (const engraving::Event& event : made.page.score.events) {
            if (event.cue) {
                ++cues;
                CHECK(event.step == kNoAttack);
                CHECK(event.signs.empty());
                CHECK(event.head);
            }
        }
        CHECK(cues == 1);
        CHECK(made.page.score.bars.size() == 4);
    }

    TEST_CASE("a jump that stands in words and in signs is printed once") {
        const std::string words = "<direction><direction-type><words>D.S. al Coda</words>"
                                  "</direction-type><sound dalsegno=\"s\"/></direction>";
        const std::string only_sign = "<sound tocoda=\"c\"/>";
        const auto bars = test::bars_text("C4 C4 C4 C4 | C4 C4 C4 C4 | C4 C4 C4 C4");
        std::string with = bars;
        const std::string end = "</measure>";
        with.insert(with.find(end), only_sign);
        with.insert(with.find(end, with.find(end) + 1), words);
        const Printed made = printed_text("Horn in F", with);
        std::vector<std::string> jumps;
        for (const engraving::Text& text : made.page.score.texts) {
            if (text.kind == engraving::TextKind::navigation) {
                jumps.push_back(text.words);
            }
        }
        CHECK(jumps == std::vector<std::string>{"To Coda", "D.S. al Coda"});
    }

    TEST_CASE("a swell that the file puts over one note grows, then fades") {
        const auto wedge = [](const char* type, const char* number) {
            return std::string("<direction><direction-type><wedge type=\"") + type +
                   "\" number=\"" + number + "\"/></direction-type></direction>";
        };
        std::string bars = test::bars_text("C4:w | C4:w");
        bars.insert(bars.find("<note"), wedge("diminuendo", "1") + wedge("crescendo", "2"));
        bars.insert(bars.find("</measure>"), wedge("stop", "1") + wedge("stop", "2"));
        const Printed made = printed_text("Horn in F", bars);
        REQUIRE(made.page.score.hairpins.size() == 2);
        const auto& fades = made.page.score.hairpins[0];
        const auto& grows = made.page.score.hairpins[1];
        CHECK(grows.growing);
        CHECK(grows.tick == 0);
        CHECK(grows.to_tick == fades.tick);
        CHECK(fades.tick == 2 * kQuarter);
        CHECK(fades.to_tick == 4 * kQuarter);
    }

    TEST_CASE("a metronome figure stands behind the words of its tempo, or alone") {
        const std::string figure =
            "<direction><direction-type><metronome><beat-unit>half</beat-unit><per-minute>c. 66"
            "</per-minute></metronome></direction-type></direction>";
        const std::string words =
            "<direction><direction-type><words>Allegro</words></direction-type></direction>";
        for (const bool with_words : {false, true}) {
            std::string bars = test::bars_text("C4 G4 E4 C5");
            bars.insert(bars.find("<note>"), (with_words ? words : "") + figure);
            const Printed made = printed_text("Horn in D", bars);
            REQUIRE(made.page.score.texts.size() == 1);
            const engraving::Text& text = made.page.score.texts[0];
            CHECK(text.kind == engraving::TextKind::tempo);
            CHECK(text.words == (with_words ? "Allegro" : ""));
            REQUIRE(text.beat);
            CHECK(text.beat->halvings == 1);
            CHECK(text.per_minute == "c. 66");
            check_page(made);
        }
    }

    TEST_CASE("words are what they are") {
        using engraving::TextKind;
        CHECK(kind_of_words("Allegro vivace") == TextKind::tempo);
        CHECK(kind_of_words("Più lento") == TextKind::tempo);
        CHECK(kind_of_words("D.S. al Coda") == TextKind::navigation);
        CHECK(kind_of_words("dolce") == TextKind::expression);
        CHECK(kind_of_words("cresc.") == TextKind::expression);
        CHECK(kind_of_words("muta in D") == TextKind::words);
        CHECK(kind_of_words("A") == TextKind::rehearsal);
        CHECK(kind_of_words("a 2") == TextKind::words);
    }
}
