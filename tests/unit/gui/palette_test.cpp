#include "gui/palette.h"

#include <initializer_list>

#include <doctest/doctest.h>

using namespace bellhand::gui;

TEST_SUITE("gui/palette") {
    TEST_CASE("contrast follows WCAG 2.1: black on white is 21, a colour on itself 1") {
        CHECK(contrast(rgb(0x000000), rgb(0xFFFFFF)) == doctest::Approx(21.0));
        CHECK(contrast(rgb(0x7A5A12), rgb(0x7A5A12)) == doctest::Approx(1.0));
        // #767676 on white is the well-known limit case of 4.54:1 (WebAIM, "Contrast and Color Accessibility").
        CHECK(contrast(rgb(0x767676), rgb(0xFFFFFF)) == doctest::Approx(4.54).epsilon(0.002));
    }

    TEST_CASE("all that is read has at least 4.5:1 on paper, sheet and band; what is read first "
              "has 7:1") {
        for (const Palette* palette : {&light_palette(), &dark_palette()}) {
            for (const Colour ground : {palette->paper, palette->sheet}) {
                CHECK(contrast(palette->ink, ground) >= 7.0);
                CHECK(contrast(palette->ink_soft, ground) >= 4.5);
                CHECK(contrast(palette->warning, ground) >= 4.5);
                CHECK(contrast(palette->brass, ground) >= 4.5);
                CHECK(contrast(palette->voice, ground) >= 7.0);
            }
            CHECK(contrast(palette->ink, palette->brass_soft) >= 7.0);
            CHECK(contrast(palette->voice, palette->brass_soft) >= 4.5); // the thread on its band
            // A chosen row: what is read second, and its number.
            CHECK(contrast(palette->ink_soft, palette->brass_soft) >= 4.5);
            CHECK(contrast(palette->brass, palette->brass_soft) >= 4.5);
        }
    }

    TEST_CASE("pale signs have at least 3:1 wherever they stand, and are seen to be paler") {
        // WCAG 2.1, success criterion 1.4.11: graphical objects.
        for (const Palette* palette : {&light_palette(), &dark_palette()}) {
            for (const Colour ground : {palette->paper, palette->sheet, palette->brass_soft}) {
                CHECK(contrast(palette->voice_pale, ground) >= 3.0);
                CHECK(contrast(palette->voice_pale, ground) <
                      0.6 * contrast(palette->voice, ground));
            }
        }
    }

    TEST_CASE("mixing and fading keep to their ends") {
        CHECK(mixed(rgb(0x102030), rgb(0xA0B0C0), 0.0F) == rgb(0x102030));
        CHECK(mixed(rgb(0x102030), rgb(0xA0B0C0), 1.0F) == rgb(0xA0B0C0));
        CHECK((faded(rgb(0x102030), 0.5F) >> 24U) == 128U);
    }
}
