#include "instrument/planner/candidates.h"

#include <doctest/doctest.h>

using namespace bellhand::instrument;

TEST_SUITE("instrument/candidates") {
    TEST_CASE(
        "an evening's pieces are counted once each, and a number that nothing serves has none") {
        Candidates all;
        all.of_target = {{Candidate{{0, 0b001}}, Candidate{{1, 0b011}}}, {Candidate{{1, 0b100}}}};
        all.target_of_step = {0, 1, 0, -1};
        CHECK(different_pieces(all, {{0, 0, 0, -1}, {}}) == 4); // crooks 0 and 1, two between
        CHECK(different_pieces(all, {{1, 0, 1, -1}, {}}) == 4); // one crook, three between
        CHECK(different_pieces(all, {{-1, -1, -1, -1}, {}}) == 0);
    }
}
