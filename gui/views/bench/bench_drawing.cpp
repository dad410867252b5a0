#include "gui/views/bench/bench_drawing.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>
#include <vector>

#include <imgui.h>

namespace bellhand::gui {

namespace {

constexpr float kPi = 3.14159265F;

/// A coil of tube seen from the side, as many turns as its length makes at this width.
void draw_coil(const Canvas& canvas,
               float x0,
               float x1,
               float middle_y,
               float tape_px,
               float bore_px,
               Colour ink) {
    const float reach = std::max(bore_px, x1 - x0);
    constexpr float kUsualDiameter =
        2.4F; // of a coil, in widths of its room; only a picture's choice
    const float wished = std::max(reach, std::min(kUsualDiameter * reach, 7.0F * canvas.em));
    const float turns = std::max(1.0F, std::round(tape_px / (kPi * wished)));
    const float radius = std::max(0.5F * bore_px, 0.5F * tape_px / (kPi * turns));
    if (tape_px <= 1.15F * reach) { // straight
        canvas.fill(
            {x0, middle_y - 0.5F * bore_px, x1, middle_y + 0.5F * bore_px}, ink, 0.2F * bore_px);
        return;
    }
    constexpr int kSteps = 48;
    std::vector<ImVec2> path;
    const float pitch = (reach - bore_px) / turns;
    const float lean = 0.30F * pitch; // turns the wave into the loops of a spring
    const int count = static_cast<int>(turns) * kSteps;
    for (int i = 0; i <= count; ++i) {
        const float share = static_cast<float>(i) / static_cast<float>(count);
        const float angle = 2.0F * kPi * turns * share;
        path.emplace_back(x0 + 0.5F * bore_px + share * (reach - bore_px) + lean * std::sin(angle),
                          middle_y - radius + radius * std::cos(angle));
    }
    canvas.list.AddPolyline(path.data(), static_cast<int>(path.size()), ink, 0, bore_px);
}

/// The body: mouthpipe socket at the left, hoop, bell to the right. Outline only; its inner windings are not the point.
void draw_body(
    const Canvas& canvas, float socket_x, float middle_y, float px_per_m, float bore_px) {
    const float hoop = 0.155F * px_per_m;
    const float bell = 0.14F * px_per_m;
    const Colour ink = canvas.colour.ink_soft;
    const float centre_x = socket_x + 0.05F * px_per_m + hoop;
    canvas.fill({socket_x, middle_y - 0.5F * bore_px, centre_x, middle_y + 0.5F * bore_px}, ink);
    canvas.ring(centre_x, middle_y - hoop, hoop, ink, bore_px);
    canvas.ring(centre_x, middle_y - hoop, hoop - 1.3F * bore_px, ink, 0.8F * bore_px);
    // The bell: narrow at the hoop, flaring to its rim.
    constexpr int kSlices = 24;
    const float from_x = centre_x;
    const float to_x = centre_x + hoop + 0.30F * px_per_m;
    std::vector<ImVec2> upper;
    std::vector<ImVec2> lower;
    for (int i = 0; i <= kSlices; ++i) {
        const float share = static_cast<float>(i) / kSlices;
        const float x = from_x + share * (to_x - from_x);
        const float radius = 0.5F * bore_px + (bell - 0.5F * bore_px) * std::pow(share, 5.0F) +
                             0.02F * px_per_m * share;
        upper.emplace_back(x, middle_y - radius);
        lower.emplace_back(x, middle_y + radius);
    }
    const float thin = std::max(1.5F, 0.12F * canvas.em);
    canvas.list.AddPolyline(upper.data(), static_cast<int>(upper.size()), ink, 0, thin);
    canvas.list.AddPolyline(lower.data(), static_cast<int>(lower.size()), ink, 0, thin);
    canvas.line(upper.back().x, upper.back().y, lower.back().x, lower.back().y, ink, thin);
}

} // namespace

void draw_stack(const Canvas& canvas, const desk::Bench& bench, Box box) {
    const instrument::Assembly& assembly = bench.assembly();
    constexpr double kBodyWide_m = 0.70;
    constexpr double kMouthpiece_m = 0.07;
    const double wide_m = kBodyWide_m + std::max(0.35, assembly.reach_m + 0.06) + kMouthpiece_m;
    const float px_per_m = std::min(box.width() / static_cast<float>(wide_m), box.height() / 0.56F);
    const float bore_px =
        std::max(3.0F, 2.0F * static_cast<float>(bench.profile().bore_radius_m) * px_per_m);
    const float socket_x = box.x1 - static_cast<float>(kBodyWide_m) * px_per_m;
    constexpr float kUp_m = 0.33F;   // hoop above the mouthpipe
    constexpr float kDown_m = 0.15F; // bell below it
    const float spare = box.height() - 1.6F * canvas.em - (kUp_m + kDown_m) * px_per_m;
    const float middle_y = box.y0 + kUp_m * px_per_m + std::max(0.0F, 0.5F * spare);
    draw_body(canvas, socket_x, middle_y, px_per_m, bore_px);
    float end_x = socket_x;
    for (const instrument::PlacedPiece& piece : assembly.pieces) {
        const float x1 = socket_x - static_cast<float>(piece.from_m) * px_per_m;
        const float x0 = socket_x - static_cast<float>(piece.to_m) * px_per_m;
        const bool crook = piece.kind == instrument::PieceKind::master_crook ||
                           piece.kind == instrument::PieceKind::terminal_crook;
        draw_coil(canvas,
                  x0,
                  x1,
                  middle_y,
                  static_cast<float>(piece.tape_m) * px_per_m,
                  bore_px,
                  crook ? canvas.colour.ink : canvas.colour.brass);
        canvas.fill({x1 - 0.5F * canvas.hair(),
                     middle_y - bore_px,
                     x1 + 0.5F * canvas.hair(),
                     middle_y + bore_px},
                    canvas.colour.ink);
        end_x = std::min(end_x, x0);
    }
    // Mouthpiece: a funnel.
    const float mouth = static_cast<float>(kMouthpiece_m) * px_per_m;
    canvas.list.AddTriangleFilled(ImVec2(end_x, middle_y),
                                  ImVec2(end_x - mouth, middle_y - 0.012F * px_per_m),
                                  ImVec2(end_x - mouth, middle_y + 0.012F * px_per_m),
                                  canvas.colour.ink);

    // A measure of ten centimetres.
    const float ten = 0.1F * px_per_m;
    const float y = box.y1 - 0.3F * canvas.em;
    canvas.level_line(box.x0, box.x0 + ten, y, canvas.colour.ink_soft, canvas.hair());
    canvas.line(box.x0,
                y - 0.3F * canvas.em,
                box.x0,
                y + 0.3F * canvas.em,
                canvas.colour.ink_soft,
                canvas.hair());
    canvas.line(box.x0 + ten,
                y - 0.3F * canvas.em,
                box.x0 + ten,
                y + 0.3F * canvas.em,
                canvas.colour.ink_soft,
                canvas.hair());
    std::string words = "10 cm; mouthpiece " +
                        std::to_string(std::lround(100.0 * assembly.reach_m)) + " cm from the body";
    if (assembly.reach_estimated) {
        words += " (partly estimated)";
    }
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       box.x0 + ten + 0.8F * canvas.em,
                       y + 0.5F * canvas.small_cap(),
                       box.x1 - box.x0 - ten - canvas.em,
                       canvas.colour.ink_soft,
                       words);
}

void draw_unrolled(const Canvas& canvas,
                   const desk::Bench& bench,
                   const horn::Crook& wanted,
                   Box box) {
    const float em = canvas.em;
    const auto crooks = horn::all_crooks();
    const double longest_m =
        std::max(bench.assembly().acoustic_m, bench.length_for_m(crooks.back())) * 1.01;
    const double from_m = bench.lengths().body_m * 0.93; // all the body would be a long empty bar
    const auto x_of = [&](double metres) {
        return box.x0 + static_cast<float>((metres - from_m) / (longest_m - from_m)) * box.width();
    };
    const float y = box.y0 + 2.6F * em;
    const float tall = 0.55F * em;
    double at_m = bench.lengths().body_m + bench.lengths().slide_adds_m(bench.slide().pull_m);
    const auto name_over = [&](float x0, float x1, const std::string& name) {
        if (canvas.width(Face::text, canvas.small_cap(), name) < x1 - x0) {
            canvas.text(Face::text,
                        canvas.small_cap(),
                        0.5F * (x0 + x1),
                        y - tall - 0.5F * em,
                        Align::middle,
                        canvas.colour.ink_soft,
                        name);
        }
    };
    canvas.fill({box.x0, y - tall, x_of(at_m), y + tall}, canvas.colour.rule);
    for (const float slash : {0.35F, 0.75F}) { // most of the body is left out
        const float x = box.x0 + slash * em;
        canvas.line(x - 0.2F * em,
                    y + 1.4F * tall,
                    x + 0.2F * em,
                    y - 1.4F * tall,
                    canvas.colour.paper,
                    0.16F * em);
    }
    const auto add = [&](const instrument::HornPiece& piece, Colour ink) {
        const float x0 = x_of(at_m);
        at_m += piece.acoustic_m;
        canvas.fill({x0 + canvas.hair(), y - tall, x_of(at_m), y + tall}, ink);
        name_over(x0, x_of(at_m) - 0.6F * em, piece.name);
    };
    const auto crook_count = static_cast<int>(bench.lengths().crooks.size());
    for (int index = crook_count; index < bench.pieces(); ++index) {
        if (bench.mounted(index)) {
            add(bench.piece(index), canvas.colour.brass);
        }
    }
    for (int index = 0; index < crook_count; ++index) {
        if (bench.mounted(index)) {
            add(bench.piece(index), canvas.colour.ink_soft);
        }
    }
    const float end_x = x_of(at_m);
    canvas.list.AddTriangleFilled(ImVec2(end_x, y - tall),
                                  ImVec2(end_x - 0.5F * em, y - tall - 0.8F * em),
                                  ImVec2(end_x + 0.5F * em, y - tall - 0.8F * em),
                                  canvas.colour.voice);
    float last = -1e9F;
    for (const horn::Crook& crook : crooks) {
        const float x = x_of(bench.length_for_m(crook));
        if (x < box.x0) {
            continue;
        }
        const bool chosen = crook == wanted;
        canvas.fill({x - 0.5F * canvas.hair(),
                     y + tall + 0.15F * em,
                     x + 0.5F * canvas.hair() + 1.0F,
                     y + tall + (chosen ? 0.9F : 0.55F) * em},
                    chosen ? canvas.colour.ink : canvas.colour.ink_soft);
        const std::string name(crook.label);
        const std::string letter = name.substr(0, name.find(' '));
        const float wide =
            canvas.width(chosen ? Face::strong : Face::text, canvas.small_cap(), letter);
        if (chosen || x - 0.5F * wide > last) {
            canvas.text(chosen ? Face::strong : Face::text,
                        canvas.small_cap(),
                        x,
                        y + tall + 1.9F * em,
                        Align::middle,
                        chosen ? canvas.colour.ink : canvas.colour.ink_soft,
                        letter);
            last = x + 0.5F * wide + 0.3F * em;
        }
    }
    // Names that alone would not say which: under them stands their family.
    const auto family = [&](const char* word) {
        float low = 1e9F;
        float high = -1e9F;
        for (const horn::Crook& crook : crooks) {
            const float x = x_of(bench.length_for_m(crook));
            if (std::string_view(crook.label).find(word) != std::string_view::npos && x > box.x0) {
                low = std::min(low, x);
                high = std::max(high, x);
            }
        }
        if (high > low) {
            const float line_y = y + tall + 2.4F * em;
            canvas.level_line(
                low - 0.4F * em, high + 0.4F * em, line_y, canvas.colour.rule, canvas.hair());
            canvas.text(Face::remark,
                        canvas.small_cap(),
                        0.5F * (low + high),
                        line_y + 1.0F * em,
                        Align::middle,
                        canvas.colour.ink_soft,
                        word);
        }
    };
    family("alto");
    family("basso");
}

} // namespace bellhand::gui
