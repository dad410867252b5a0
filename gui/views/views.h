#pragma once

#include "desk/desk.h"
#include "gui/canvas.h"

#include <array>

namespace bellhand::gui {

/// Draws the whole window for this frame, and handles the pointer. Between ImGui::NewFrame and ImGui::Render. `drawn`: what
/// was drawn is noted there.
void draw_desk(desk::Desk& desk,
               const FontBook& fonts,
               const TypeScale& scale,
               float width,
               float height,
               DrawnThings* drawn = nullptr);

/// Type sizes for a window: they follow its height, its width when it is narrow, and the player's own scale, and never
/// fall below what the screen's pixel density allows.
[[nodiscard]] TypeScale
type_scale_for(float width, float height, float content_scale, double user_scale) noexcept;

// Screens.
using Draw = void (*)(const Canvas&, desk::Desk&, const Box&);
void draw_practice_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_chart_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_bench_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_today_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_progress_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_log_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_homework_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_run_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_balance_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_hand_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_closing_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_changes_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_lesson_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);
void draw_part_screen(const Canvas& canvas, desk::Desk& desk, const Box& window);

/// In the order of `desk::Screen`; nothing at `count`.
inline constexpr std::array kDrawn{draw_practice_screen,
                                   draw_lesson_screen,
                                   draw_chart_screen,
                                   draw_bench_screen,
                                   draw_today_screen,
                                   draw_progress_screen,
                                   draw_log_screen,
                                   draw_hand_screen,
                                   draw_closing_screen,
                                   draw_homework_screen,
                                   static_cast<Draw>(nullptr),
                                   draw_run_screen,
                                   draw_part_screen,
                                   draw_changes_screen,
                                   draw_balance_screen};

// Parts of the practice screen.
/// Head and foot of a page; they are cut off `rest`.
void draw_frame_of_page(const Canvas& canvas, desk::Desk& desk, Box& rest, const Box& window);
/// The screens with their numbers; the one that is shown is underlined.
void draw_tabs(const Canvas& canvas, desk::Desk& desk, const Box& box);
void draw_header(const Canvas& canvas, desk::Desk& desk, const Box& box);
void draw_footer(const Canvas& canvas, desk::Desk& desk, const Box& box);
void draw_ladder(const Canvas& canvas, const desk::Desk& desk, const Box& box);
void draw_staff(const Canvas& canvas, const std::optional<desk::ShownNote>& note, const Box& box);
/// "12th" with a small ending, by its left or right edge.
void draw_ordinal(const Canvas& canvas,
                  int number,
                  float cap_px,
                  float x,
                  float baseline,
                  Align align,
                  Colour ink);
/// `remarks`: with a line of small print under each.
void draw_facts(const Canvas& canvas,
                const std::optional<desk::ShownNote>& note,
                const Box& box,
                bool remarks);
/// The range of closure along the five signs, faded by confidence, with the place that the note asks for.
void draw_hand_range(const Canvas& canvas,
                     const std::optional<desk::ShownHand>& hand,
                     const Box& box,
                     float sign_cap);
/// The same with its words.
void draw_heard_hand(const Canvas& canvas, const desk::Desk& desk, const Box& box);
/// Advice on a note that ended, held part and attack apart, as far as they fit.
void draw_advice(const Canvas& canvas, const trainer::PlayedNote& note, Box box);
void draw_thread(const Canvas& canvas, const desk::Desk& desk, const Box& box);
void draw_notes(const Canvas& canvas, const desk::Desk& desk, const Box& box);

// Sheets over them.
void draw_sheet(const Canvas& canvas, desk::Desk& desk, const Box& window);
/// Reading sheets scroll by `step`; both return what did not fit, in pixels.
float draw_help(const Canvas& canvas, const desk::KeyTable& table, const Box& box, int step);
/// The first start: crook, pitch, microphone.
void draw_start(const Canvas& canvas, desk::Desk& desk, Box box);
void draw_sound_sheet(const Canvas& canvas, desk::Desk& desk, Box box);
float draw_figure_help(const Canvas& canvas, const Box& box, int step);
float draw_about(const Canvas& canvas, const Box& box, int step);

} // namespace bellhand::gui
