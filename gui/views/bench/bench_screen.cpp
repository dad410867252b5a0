#include "desk/model/bench.h"
#include "desk/model/phrases.h"
#include "gui/views/bench/bench_drawing.h"
#include "gui/views/surface.h"
#include "gui/views/views.h"
#include "words/verdict.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>
#include <string_view>

namespace bellhand::gui {

namespace {

std::string millimetres(double metres) {
    return std::to_string(std::lround(1000.0 * metres)) + " mm";
}

/// What a column is, cut when it is too long.
void draw_title(const Canvas& canvas, const Box& head, std::string_view words) {
    canvas.text_within(Face::remark,
                       canvas.cap(),
                       head.x0,
                       head.y0 + canvas.cap(),
                       head.width(),
                       canvas.colour.ink_soft,
                       words);
}

/// The drawer: every piece this player owns, the mounted ones marked.
void draw_drawer(const Canvas& canvas, desk::Desk& desk, desk::Bench& bench, Box box) {
    const float em = canvas.em;
    const Box head = box.take_top(2.0F * em);
    draw_title(canvas, head, bench.profile().name);
    const float height =
        std::min(2.0F * em, box.height() / static_cast<float>(std::max(1, bench.pieces())));
    const int visible = std::max(1, static_cast<int>(box.height() / std::max(1.5F * em, height)));
    const int first =
        std::clamp(bench.chosen() - visible / 2, 0, std::max(0, bench.pieces() - visible));
    for (int index = first; index < std::min(bench.pieces(), first + visible); ++index) {
        const Box row = box.take_top(std::max(1.5F * em, height));
        const std::string id = "piece " + std::to_string(index);
        if (desk.sheet() == desk::Sheet::none && hot_spot(id.c_str(), row)) {
            bench.choose(index);
            bench.toggle_chosen();
        }
        const bool mounted = bench.mounted(index);
        if (index == bench.chosen()) {
            canvas.fill({row.x0, row.y0, row.x1, row.y1}, canvas.colour.brass_soft, 0.2F * em);
        }
        const float y = row.middle_y();
        const float x = row.x0 + 1.0F * em;
        canvas.ring(x, y, 0.34F * em, canvas.colour.ink_soft, canvas.hair());
        if (mounted) {
            canvas.dot(x, y, 0.34F * em, canvas.colour.brass);
        }
        const instrument::HornPiece& piece = bench.piece(index);
        const float baseline = y + 0.5F * canvas.cap();
        const float length_x = row.x1 - 0.6F * em;
        canvas.text_within(mounted ? Face::strong : Face::text,
                           canvas.cap(),
                           row.x0 + 2.2F * em,
                           baseline,
                           row.width() - 7.4F * em,
                           canvas.colour.ink,
                           piece.name);
        canvas.text(Face::text,
                    canvas.small_cap(),
                    length_x,
                    baseline,
                    Align::right,
                    canvas.colour.ink_soft,
                    millimetres(piece.tape_m));
    }
}

/// Of every open partial what it sounds, and how far from equal temperament; in two blocks, for figures that are read from
/// where one stands with the horn.
void draw_partials(const Canvas& canvas, const desk::Bench& bench, Box box) {
    const float cap = std::max(1.12F * canvas.cap(), Canvas::kPlayed_px);
    const Box labels = box.take_left(5.0F * canvas.em);
    const float line = 1.6F * cap;
    const std::size_t half = (bench.partials().size() + 1) / 2;
    const float step = box.width() / static_cast<float>(std::max<std::size_t>(half, 1));
    for (std::size_t first = 0; first < bench.partials().size(); first += half) {
        const float top = box.y0 + cap + (first == 0 ? 0.0F : 3.35F * line);
        constexpr const char* kNames[] = {"partial", "sounds", "cents"};
        for (int row = 0; row < 3; ++row) {
            canvas.text(Face::remark,
                        canvas.cap(),
                        labels.x0,
                        top + static_cast<float>(row) * line,
                        Align::left,
                        canvas.colour.ink_soft,
                        kNames[row]);
        }
        for (std::size_t i = first; i < std::min(first + half, bench.partials().size()); ++i) {
            const desk::BenchPartial& partial = bench.partials()[i];
            const float middle = box.x0 + (static_cast<float>(i - first) + 0.5F) * step;
            canvas.text(Face::music,
                        cap,
                        middle,
                        top,
                        Align::middle,
                        canvas.colour.ink_soft,
                        std::to_string(partial.partial));
            canvas.note_name(
                partial.sounding, cap, middle, top + line, Align::middle, canvas.colour.ink);
            canvas.text(Face::text,
                        cap,
                        middle,
                        top + 2.0F * line,
                        Align::middle,
                        canvas.colour.ink,
                        desk::signed_cents(partial.cents));
        }
    }
}

/// What it sounds: the nearest key, the slide, every open partial.
void draw_result(const Canvas& canvas,
                 const desk::Bench& bench,
                 const horn::Crook& wanted,
                 Box box) {
    const float em = canvas.em;
    const instrument::Assembly& assembly = bench.assembly();
    const instrument::SlideSetting& slide = bench.slide();
    const float cap = 1.5F * canvas.cap();
    const Box head = box.take_top(3.6F * em);
    const float baseline = head.y0 + cap + 0.4F * em;
    std::string key;
    if (std::abs(slide.left_cents) <= instrument::kUsualTolerance_cents) {
        key = std::string("in ") + wanted.label;
    } else if (!assembly.near_keys.empty()) {
        key = std::string("near ") + assembly.near_keys.front().key.label;
    }
    float x =
        head.x0 +
        canvas.text(Face::music, cap, head.x0, baseline, Align::left, canvas.colour.ink, key) +
        1.2F * em;
    char words[128];
    std::snprintf(words,
                  sizeof words,
                  "slide out %ld mm; then %s of %s",
                  std::lround(1000.0 * slide.pull_m),
                  words::off_pitch(slide.left_cents).c_str(),
                  wanted.label);
    x += canvas.text(Face::text,
                     canvas.played_cap(),
                     x,
                     baseline,
                     Align::left,
                     canvas.colour.ink,
                     std::abs(slide.left_cents) < 0.5
                         ? "slide out " + millimetres(slide.pull_m) + ", then on pitch"
                         : words) +
         1.2F * em;
    std::snprintf(words, sizeof words, "known to ±%.0f cents", std::max(1.0, assembly.sd_cents));
    canvas.text_within(
        Face::text, canvas.small_cap(), x, baseline, head.x1 - x, canvas.colour.ink_soft, words);

    draw_partials(canvas, bench, box);
}

/// The planner's ways, best first.
void draw_ways(const Canvas& canvas, desk::Desk& desk, desk::Bench& bench, Box box) {
    const float em = canvas.em;
    const instrument::BuildAnswer& answer = bench.ways();
    const Box head = box.take_top(2.0F * em);
    const std::string title =
        answer.in_tune
            ? std::to_string(answer.found) +
                  (answer.found == 1 ? " way to build " : " ways to build ") +
                  desk.session().tuning().crook.label
            : std::string("nothing reaches ") + desk.session().tuning().crook.label + "; nearest";
    draw_title(canvas, head, title);
    if (!bench.missing().empty()) {
        box.y0 = canvas.paragraph(
                     Face::text, canvas.small_cap(), box, canvas.colour.ink, bench.missing()) +
                 0.8F * em;
    }
    const float height = 3.3F * em;
    const int count = static_cast<int>(answer.ways.size());
    const int visible = std::max(1, static_cast<int>(box.height() / height));
    const int first =
        std::clamp(std::max(0, bench.way()) - visible / 2, 0, std::max(0, count - visible));
    for (int index = first; index < std::min(count, first + visible); ++index) {
        const instrument::Way& way = answer.ways[static_cast<std::size_t>(index)];
        const Box row = box.take_top(height);
        const std::string id = "way " + std::to_string(index);
        if (desk.sheet() == desk::Sheet::none && hot_spot(id.c_str(), row)) {
            bench.take_way(index);
        }
        const bool chosen = index == bench.way();
        if (chosen) {
            canvas.fill(
                {row.x0, row.y0, row.x1, row.y1 - 0.2F * em}, canvas.colour.brass_soft, 0.2F * em);
        }
        const float inner = row.x0 + 0.7F * em;
        canvas.text_within(chosen ? Face::strong : Face::text,
                           0.92F * canvas.cap(),
                           inner,
                           row.y0 + 1.25F * em,
                           row.width() - 1.2F * em,
                           canvas.colour.ink,
                           instrument::describe(bench.lengths(), way.stack));
        char words[96];
        std::snprintf(words,
                      sizeof words,
                      "slide %ld mm, %s; reach %ld cm",
                      std::lround(1000.0 * way.slide.pull_m),
                      words::off_pitch(way.slide.left_cents).c_str(),
                      std::lround(100.0 * way.reach_m));
        canvas.text_within(Face::text,
                           canvas.small_cap(),
                           inner,
                           row.y0 + 2.55F * em,
                           row.width() - 1.2F * em,
                           canvas.colour.ink_soft,
                           words);
    }
}

/// The horn taken up cold, and after twenty minutes of playing.
void draw_warm_up(const Canvas& canvas, const desk::Bench& bench, const Box& line) {
    const instrument::WarmUp& warm = bench.warm_up();
    const instrument::WarmSlide& slide = bench.warm_slide();
    char words[192];
    std::snprintf(
        words,
        sizeof words,
        "taken up cold in a room of %.0f °C: slide %s; after twenty minutes about %.0f °C, "
        "%.0f ± %.0f cents higher: slide %s",
        bench.room_c(),
        millimetres(slide.now.pull_m).c_str(),
        warm.later_c,
        warm.rise_cents,
        2.0 * warm.rise_sd_cents,
        millimetres(slide.later.pull_m).c_str());
    canvas.paragraph(Face::text, canvas.small_cap(), line, canvas.colour.ink_soft, words);
}

} // namespace

void draw_bench_screen(const Canvas& page_canvas, desk::Desk& desk, const Box& window) {
    const Canvas canvas = page_canvas.fitted(window, 68.0F, 42.0F); // a page full of small print
    const float em = canvas.em;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    draw_frame_of_page(canvas, desk, rest, window);
    rest = rest.shrunk(0.0F, 1.4F * em);
    desk::Bench* bench = desk.pages().bench.bench();
    if (bench == nullptr) {
        canvas.text(Face::remark,
                    1.5F * canvas.cap(),
                    rest.x0,
                    rest.y0 + 3.0F * em,
                    Align::left,
                    canvas.colour.ink_soft,
                    "no horn on the bench");
        const Box place{
            rest.x0, rest.y0 + 4.5F * em, std::min(rest.x1, rest.x0 + 34.0F * em), rest.y1};
        canvas.paragraph(
            Face::text, canvas.cap(), place, canvas.colour.warning, desk.pages().bench.problem());
        return;
    }
    if (rest.width() > 42.0F * em) {
        draw_drawer(canvas, desk, *bench, rest.take_left(14.0F * em));
        rest.take_left(1.8F * em);
    }
    if (rest.width() > 44.0F * em) {
        draw_ways(canvas, desk, *bench, rest.take_right(18.5F * em));
        rest.take_right(1.8F * em);
    }
    const std::string& words =
        !bench->refusal().empty() ? bench->refusal() : bench->assembly().caution;
    const bool remark = !desk.pages().bench.problem().empty() || !words.empty();
    const Box note = rest.take_bottom(remark ? 2.6F * em : 0.0F);
    draw_warm_up(canvas, *bench, rest.take_bottom(3.2F * em));
    const Box result =
        rest.take_bottom(3.6F * em + 10.5F * std::max(1.12F * canvas.cap(), Canvas::kPlayed_px));
    const Box unrolled = rest.take_bottom(7.2F * em);
    draw_stack(canvas, *bench, rest);
    draw_unrolled(canvas, *bench, desk.session().tuning().crook, unrolled);
    draw_result(canvas, *bench, desk.session().tuning().crook, result);

    if (remark) {
        canvas.text_within(Face::text,
                           canvas.small_cap(),
                           note.x0,
                           note.y1 - 0.4F * em,
                           note.width(),
                           canvas.colour.warning,
                           desk.pages().bench.problem().empty() ? words
                                                                : desk.pages().bench.problem());
    }
}

} // namespace bellhand::gui
