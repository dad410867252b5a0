#include "desk/model/phrases.h"
#include "gui/views/page_parts.h"
#include "gui/views/views.h"
#include "report/text.h"
#include "words/verdict.h"

#include <algorithm>
#include <cstdio>

namespace bellhand::gui {

namespace {

constexpr double kRange_cents = 30.0;

std::string megabytes(std::int64_t bytes) {
    char words[32];
    std::snprintf(words, sizeof words, "%.1f MB", static_cast<double>(bytes) / 1e6);
    return words;
}

/// "; all sessions use 312 of 2000 MB".
std::string room_words(const desk::TakesRoom& room) {
    if (room.budget_bytes == 0) {
        return "";
    }
    return "; all sessions use " + std::to_string(room.used_bytes / 1'000'000) + " of " +
           std::to_string(room.budget_bytes / 1'000'000) + " MB";
}

std::string crook_label(const std::string& id) {
    const auto crook = horn::parse_crook(id);
    return crook ? crook->label : id;
}

void draw_session(const Canvas& canvas,
                  const logbook::SessionRecord& session,
                  bool running,
                  const Box& row) {
    const float em = canvas.em;
    const float first = row.y0 + 0.65F * em + canvas.cap();
    canvas.text_within(Face::strong,
                       canvas.cap(),
                       row.x0,
                       first,
                       row.width(),
                       canvas.colour.ink,
                       desk::moment_words(session.started_at));
    std::string words = report::clock_text(session.duration_s) + "  ·  " +
                        std::to_string(session.notes) + (session.notes == 1 ? " note" : " notes") +
                        "  ·  in " + crook_label(session.crook) +
                        "  ·  A = " + desk::hertz_text(session.a4_hz);
    if (!session.closed) {
        words += running ? "  ·  going on" : "  ·  broken off";
    }
    draw_small(canvas, row, first + 1.6F * em, words);
}

/// Every note as a dot: when it was played, and how far from its target.
void draw_notes_in_time(const Canvas& canvas,
                        const std::vector<logbook::NoteRecord>& notes,
                        double duration_s,
                        Box box) {
    const Box scale = box.take_left(2.6F * canvas.em);
    const auto y_of = [&box](double cents) {
        const double inside = std::clamp(cents, -kRange_cents, kRange_cents) / kRange_cents;
        return box.middle_y() - static_cast<float>(inside) * 0.5F * box.height();
    };
    for (const double cents : {-20.0, 0.0, 20.0}) {
        const Colour ink = cents == 0.0 ? canvas.colour.brass : canvas.colour.rule;
        canvas.level_line(box.x0, box.x1, y_of(cents), ink, 1.0F);
        canvas.text(Face::text,
                    canvas.small_cap(),
                    scale.x1 - 0.5F * canvas.em,
                    y_of(cents) + 0.5F * canvas.small_cap(),
                    Align::right,
                    canvas.colour.ink_soft,
                    desk::signed_cents(cents));
    }
    double last_s = duration_s;
    for (const logbook::NoteRecord& note : notes) {
        last_s = std::max(last_s, note.note.start_s + note.note.duration_s);
    }
    if (last_s <= 0.0) {
        return;
    }
    const float radius = std::max(1.5F, 0.13F * canvas.em);
    for (const logbook::NoteRecord& note : notes) {
        const float x = box.x0 + static_cast<float>(note.note.start_s / last_s) * box.width();
        const trainer::PlayedNote& played = note.note;
        if (played.pitch_known()) {
            canvas.dot(x, y_of(played.deviation_cents), radius, canvas.colour.voice);
        } else { // as far as it is known
            const float top = y_of(played.deviation_cents + played.known_within_cents);
            const float foot = y_of(played.deviation_cents - played.known_within_cents);
            const float beyond = std::max(0.0F, 2.0F * radius - (foot - top)); // off the scale
            canvas.fill({x - 0.5F * canvas.hair(),
                         top - 0.5F * beyond,
                         x + 0.5F * canvas.hair(),
                         foot + 0.5F * beyond},
                        canvas.colour.voice_pale);
        }
    }
}

void draw_block_row(const Canvas& canvas, const logbook::BlockRecord& block, const Box& row) {
    const float baseline = row.middle_y() + 0.5F * canvas.cap();
    std::string result = report::clock_text(block.duration_s);
    if (block.steps > 0) {
        result = words::right_of(block.good_steps, block.steps) + ", " + result;
    }
    if (!block.finished) {
        result += ", broken off";
    }
    draw_two_ends(canvas,
                  row,
                  baseline,
                  Face::text,
                  canvas.colour.ink,
                  block.title.empty() ? "free playing" : block.title,
                  result);
}

void draw_take_row(
    const Canvas& canvas, const desk::LogPage& page, int index, const Box& row, bool here) {
    const logbook::TakeRecord& take = page.contents().takes[static_cast<std::size_t>(index)];
    const float em = canvas.em;
    const float baseline = row.middle_y() + 0.5F * canvas.cap();
    // A square stands for a kept take, a frame for one that may make room for others.
    const float side = 0.7F * canvas.cap();
    const Box mark{row.x0, row.middle_y() - side, row.x0 + 2.0F * side, row.middle_y() + side};
    if (take.kept) {
        canvas.fill(mark, canvas.colour.brass);
    } else {
        canvas.outline(mark, canvas.colour.ink_soft, canvas.hair());
    }
    const std::string right = here && page.listening().sounding
                                  ? place_words(page.listening(), take.duration_s)
                                  : (take.kept ? "kept, " : "") +
                                        report::clock_text(take.duration_s) + ", " +
                                        megabytes(take.bytes);
    draw_two_ends(canvas,
                  {row.x0 + 1.9F * em, row.y0, row.x1, row.y1},
                  baseline,
                  here ? Face::strong : Face::text,
                  canvas.colour.ink,
                  "at " + report::clock_text(take.start_s) +
                      (take.why.empty() ? "" : ", " + take.why),
                  right);
}

/// What was said of the chosen take, or of the session.
void draw_comments(const Canvas& canvas, const desk::LogPage& page, Box box) {
    const bool of_take = page.focus() == desk::LogPage::Focus::takes;
    if (page.room_entry()) {
        box = draw_section(
            canvas, box, "space for takes, in megabytes; beyond it the oldest are removed");
        draw_writing(canvas, *page.room_entry(), box);
        return;
    }
    if (page.entry()) {
        draw_writing(canvas, *page.entry(), box);
        return;
    }
    for (const logbook::CommentRecord& comment : page.contents().comments) {
        const bool here =
            of_take
                ? comment.take == page.contents().takes[static_cast<std::size_t>(page.take())].id
                : !comment.take;
        if (!here) {
            continue;
        }
        const std::string words =
            (comment.who == logbook::Who::teacher ? "Teacher: " : "") + comment.text;
        const int lines = lines_of(canvas, Face::remark, canvas.cap(), box.width(), words);
        if (box.height() < 2.05F * canvas.cap() * static_cast<float>(lines)) {
            return;
        }
        box.y0 = canvas.paragraph(Face::remark, canvas.cap(), box, canvas.colour.ink, words);
    }
}

/// A drill of crook changes, one under the other.
void draw_crook_changes(const Canvas& canvas,
                        const std::vector<logbook::CrookChangeRecord>& changes,
                        const Box& box) {
    const auto right = std::count_if(
        changes.begin(), changes.end(), [](const auto& change) { return change.correct; });
    const Box rows = draw_section(canvas,
                                  box,
                                  std::to_string(right) + " of " + std::to_string(changes.size()) +
                                      " crook changes right");
    draw_list(canvas,
              "crook change",
              rows,
              static_cast<int>(changes.size()),
              -1,
              3.1F * canvas.em,
              false,
              [&](int index, const Box& row, bool /*chosen*/) {
                  const auto& change = changes[static_cast<std::size_t>(index)];
                  const float first = row.y0 + 1.3F * canvas.em;
                  draw_two_ends(canvas,
                                row,
                                first,
                                Face::text,
                                canvas.colour.ink,
                                crook_label(change.crook) +
                                    (change.item.empty() ? "" : ", " + change.item),
                                change.pieces_right);
                  draw_small(canvas, row, first + 1.3F * canvas.em, change.verdict);
              });
}

void draw_contents(const Canvas& canvas, desk::Desk& desk, Box box) {
    const float em = canvas.em;
    desk::LogPage& page = desk.pages().log;
    const desk::SessionContents& contents = page.contents();
    const logbook::SessionRecord& session =
        page.sessions()[static_cast<std::size_t>(page.chosen())];
    if (!contents.crook_changes.empty()) {
        Box words = box.take_bottom(std::min(6.4F * em, 0.25F * box.height()));
        draw_crook_changes(canvas, contents.crook_changes, box);
        words.take_top(0.4F * em);
        draw_comments(canvas, page, words);
        return;
    }
    const desk::InTune tune = desk::in_tune(contents.notes);
    const std::size_t too_short = contents.notes.size() - static_cast<std::size_t>(tune.of);
    const std::string untold =
        too_short == 0 ? "" : ", " + std::to_string(too_short) + " too short to tell";
    Box notes = box.take_top(std::min(9.5F * em, 0.3F * box.height()));
    notes = draw_section(canvas,
                         notes,
                         contents.notes.empty()
                             ? "no notes"
                             : std::to_string(tune.good) + " of " + std::to_string(tune.of) +
                                   " notes in tune" + untold +
                                   "; each note, in cents, over the session");
    draw_notes_in_time(canvas, contents.notes, session.duration_s, notes.shrunk(0.0F, 0.5F * em));
    box.take_top(0.8F * em);
    Box words = box.take_bottom(std::min(6.4F * em, 0.25F * box.height()));

    const float row = 2.0F * em;
    if (!contents.blocks.empty()) {
        const float room = std::min(2.1F * em + row * static_cast<float>(contents.blocks.size()),
                                    0.52F * box.height());
        Box blocks = draw_section(canvas, box.take_top(room), "exercises");
        std::size_t shown = 0;
        for (const logbook::BlockRecord& block : contents.blocks) {
            const bool all = shown + 1 == contents.blocks.size();
            if (blocks.height() < (all ? row : 2.0F * row)) {
                break;
            }
            draw_block_row(canvas, block, blocks.take_top(row));
            ++shown;
        }
        if (shown < contents.blocks.size()) {
            const std::size_t more = contents.blocks.size() - shown;
            canvas.text_within(Face::text,
                               canvas.small_cap(),
                               blocks.x0 + 0.9F * em,
                               blocks.y0 + 0.5F * (row + canvas.small_cap()),
                               blocks.width() - 0.9F * em,
                               canvas.colour.ink_soft,
                               std::to_string(more) + " more; all of them: bellhand log " +
                                   std::to_string(session.id));
        }
        box.take_top(0.6F * em);
    }
    const Box takes = draw_section(
        canvas,
        box,
        std::string(contents.takes.empty() ? "no takes; K while practising keeps the last minutes"
                                           : "takes") +
            room_words(page.room()));
    const bool focused = page.focus() == desk::LogPage::Focus::takes;
    const int clicked = draw_list(canvas,
                                  "take",
                                  takes,
                                  static_cast<int>(contents.takes.size()),
                                  focused ? page.take() : -1,
                                  2.2F * em,
                                  desk.sheet() == desk::Sheet::none,
                                  [&](int index, const Box& place, bool here) {
                                      draw_take_row(canvas, page, index, place, here);
                                  });
    if (clicked >= 0) {
        page.choose_take(clicked);
    }
    words.take_top(0.4F * em);
    draw_comments(canvas, page, words);
}

} // namespace

void draw_log_screen(const Canvas& page_canvas, desk::Desk& desk, const Box& window) {
    const Canvas canvas = page_canvas.fitted(window, 54.0F, 33.0F);
    const float em = canvas.em;
    desk::LogPage& page = desk.pages().log;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    draw_frame_of_page(canvas, desk, rest, window);
    rest = rest.shrunk(0.0F, 1.2F * em);
    if (page.sessions().empty()) {
        draw_empty(
            canvas,
            rest,
            page.problem().empty() ? "nothing in the log yet" : "the log cannot be read",
            page.problem().empty()
                ? "Press 5 for today's plan, or 1 to play freely: every session is kept here."
                : page.problem());
        return;
    }
    draw_sentence(canvas, rest, page.problem(), page.said());
    Box list = rest.take_left(0.38F * rest.width());
    rest.take_left(2.6F * em);
    list = draw_section(canvas,
                        list,
                        std::to_string(page.sessions().size()) +
                            (page.sessions().size() == 1 ? " session" : " sessions"));
    const int clicked =
        draw_list(canvas,
                  "session",
                  list,
                  static_cast<int>(page.sessions().size()),
                  page.chosen(),
                  3.7F * em,
                  desk.sheet() == desk::Sheet::none,
                  [&](int index, const Box& row, bool) {
                      const auto& session = page.sessions()[static_cast<std::size_t>(index)];
                      const bool running = desk.session().listening() &&
                                           session.id == desk.session().view().log().session;
                      draw_session(canvas, session, running, row);
                  });
    if (clicked >= 0) {
        desk.pages().log.choose(clicked);
        return;
    }
    draw_contents(canvas, desk, rest);
}

} // namespace bellhand::gui
