#include "gui/views/run/run_staff.h"

#include "desk/model/exercise_page.h"
#include "engraving/metrics.h"
#include "gui/views/staff_drawing.h"

#include <algorithm>
#include <cmath>
#include <deque>

#include <imgui.h>

namespace bellhand::gui {

namespace {

// What came of a note, in staff spaces: a mark with words, and the mark alone.
constexpr float kUnderWords = 4.5F;
constexpr float kUnderMark = 2.4F;
constexpr float kLeastRoom = 3.2F;
constexpr float kLeastNumber_px = 9.0F; // a number of a bar that is smaller is not read
constexpr float kRowGap = 1.0F;
constexpr double kRange_cents = 30.0;

/// An exercise laid out for a place on the screen.
struct Engraved {
    std::uint64_t key = 0;
    Box box;
    float line_space = 0.0F;
    bool verdicts = false;
    bool playing = false;
    bool part = false;  ///< a page of a part, whose bars have numbers
    bool words = false; ///< under the marks; the rows are larger without

    engraving::Score score;
    engraving::Layout layout;
    float space = 10.0F;
    float high = 4.0F; ///< of every system, so that rows do not jump
    float low = 0.0F;
    [[nodiscard]] float total() const noexcept { return high - low; }
    [[nodiscard]] float under_row() const noexcept {
        return !verdicts ? 0.0F : words ? kUnderWords : kUnderMark;
    }
    [[nodiscard]] int systems() const noexcept { return static_cast<int>(layout.systems.size()); }
};

void lay_out_at(const Canvas& canvas, Engraved& engraved, float space) {
    engraving::PageStyle style;
    style.width = engraved.box.width() / space;
    style.least_room = kLeastRoom;
    style.room_below = engraved.under_row();
    style.bar_numbers = engraved.part && engraving::metrics::kNumberCap * space >= kLeastNumber_px;
    style.text_width = text_widths(canvas, space);
    engraved.space = space;
    engraved.layout = engraving::lay_out(engraved.score, style);
    engraved.high = 4.0F;
    engraved.low = 0.0F;
    for (const engraving::System& system : engraved.layout.systems) {
        engraved.high = std::max(engraved.high, system.high);
        engraved.low = std::min(engraved.low, system.low);
    }
    engraved.high += 0.5F * kRowGap;
    engraved.low -= 0.5F * kRowGap;
}

/// Width decides how many systems there are, their number how large the notes may be.
void fit(const Canvas& canvas, Engraved& engraved) {
    const Box& box = engraved.box;
    const float widest = box.width() / 30.0F;
    const float usual = std::min(canvas.scale.line_space_px(), widest);
    engraved.words = true;
    lay_out_at(canvas, engraved, usual);
    if (engraved.playing && engraved.systems() > 1) {
        // The newest note is told in whole words beside the rows.
        engraved.words = false;
        lay_out_at(canvas, engraved, usual);
    }
    // To look at, the beginning is enough; to play from, the next row must be there.
    const float shown = engraved.verdicts && engraved.systems() > 1 ? 2.0F : 1.0F;
    const float largest = engraved.systems() > 1 ? usual : std::min(1.2F * usual, widest);
    const float one_row = std::min(largest, box.height() / engraved.total());
    // One row that can be read rather than two that cannot.
    const float least =
        engraved.part ? std::min(one_row, kLeastNumber_px / engraving::metrics::kNumberCap) : 1.0F;
    float space = largest;
    // Smaller notes stand closer, and a fuller row may be higher: until all of them have their room.
    for (int look = 0; look < 4; ++look) {
        const float fitting = box.height() / (shown * engraved.total());
        space = std::max({1.0F, least, std::min(space, fitting)});
        lay_out_at(canvas, engraved, space);
        if (shown * engraved.total() * space <= box.height() + 0.5F) {
            break;
        }
    }
    if (engraved.systems() > 1) {
        return; // the same notes larger do not fit in one row either
    }
    // All of it in one row may be larger than two rows of it.
    for (float larger = one_row; larger > space; larger *= 0.93F) {
        lay_out_at(canvas, engraved, larger);
        if (engraved.systems() == 1) {
            return;
        }
    }
    lay_out_at(canvas, engraved, space);
}

/// What is to be laid out: an exercise, or the page of a part.
struct Music {
    const drill::Exercise* exercise = nullptr;
    const desk::PlayedPart* part = nullptr;

    [[nodiscard]] bool empty() const {
        return part == nullptr ? exercise->steps.empty() : part->printed.score.events.empty();
    }
    [[nodiscard]] std::uint64_t key() const {
        return part == nullptr ? desk::page_key(*exercise) : part->key;
    }
    [[nodiscard]] engraving::Score score() const {
        return part == nullptr ? desk::exercise_score(*exercise) : part->printed.score;
    }
};

/// Laid out once for as long as nothing changes; what was looked at before is kept for a while.
const Engraved& engraved_for(
    const Canvas& canvas, const Music& music, const Box& box, bool verdicts, bool playing) {
    static std::deque<Engraved> kept;
    const std::uint64_t key = music.key();
    const bool part = music.part != nullptr;
    const auto same = [&](const Engraved& one) {
        return one.key == key && one.part == part && one.verdicts == verdicts &&
               one.playing == playing && one.box.width() == box.width() &&
               one.box.height() == box.height() && one.line_space == canvas.scale.line_space_px();
    };
    const auto found = std::find_if(kept.begin(), kept.end(), same);
    if (found != kept.end()) {
        return *found;
    }
    constexpr std::size_t kMostKept = 6;
    if (kept.size() >= kMostKept) {
        kept.pop_back();
    }
    Engraved made;
    made.key = key;
    made.box = box;
    made.verdicts = verdicts;
    made.playing = playing;
    made.line_space = canvas.scale.line_space_px();
    made.part = part;
    made.score = music.score();
    fit(canvas, made);
    kept.push_front(std::move(made));
    return kept.front();
}

/// What the marks on the page show.
struct Marks {
    const std::vector<std::optional<desk::Verdict>>* verdicts = nullptr;
    std::optional<std::uint32_t> place; ///< the frame stands here
    bool playing = false;               ///< it is the player's place, not only looked at
    bool sounding = false;
    std::uint32_t past = 0; ///< steps before it have been played
    int bar = -1;           ///< is marked whole
};

class SystemDrawing {
public:
    SystemDrawing(const Canvas& canvas, const Engraved& engraved, int system, Box row)
        : canvas_(canvas),
          engraved_(engraved),
          system_(engraved.layout.systems[static_cast<std::size_t>(system)]),
          row_(row),
          space_(engraved.space),
          bottom_line_(row.y0 + engraved.high * engraved.space) {}

    void draw(const Marks& marks) const {
        draw_bar(marks.bar);
        if (marks.place) {
            draw_place(*marks.place, marks);
        }
        draw_system(canvas_, system_, row_.x0, bottom_line_, space_, [&](int event) {
            const std::uint32_t step = step_of(static_cast<std::size_t>(event));
            const bool here = marks.place && *marks.place == step;
            return here && marks.sounding       ? canvas_.colour.voice
                   : step < marks.past && !here ? canvas_.colour.ink_soft
                                                : canvas_.colour.ink;
        });
        for (const engraving::Slot& slot : system_.slots) {
            const std::uint32_t step = step_of(slot.event);
            const bool first = slot.event == 0 || step_of(slot.event - 1) != step;
            const bool here = marks.place && *marks.place == step;
            if (first && !here && marks.verdicts != nullptr && step < marks.verdicts->size() &&
                (*marks.verdicts)[step]) {
                draw_verdict(*(*marks.verdicts)[step], slot);
            }
        }
    }

private:
    [[nodiscard]] std::uint32_t step_of(std::size_t event) const {
        return static_cast<std::uint32_t>(engraved_.score.events[event].step);
    }
    [[nodiscard]] float x_of(float x) const { return row_.x0 + x * space_; }
    /// Where what came of the notes is written.
    [[nodiscard]] float under() const {
        return bottom_line_ - (engraved_.low + engraved_.under_row()) * space_ -
               0.5F * kRowGap * space_;
    }

    void draw_bar(int bar) const {
        for (const engraving::BarRoom& room : system_.bars) {
            if (room.bar == bar) {
                canvas_.fill({x_of(room.left),
                              bottom_line_ - 5.0F * space_,
                              x_of(room.right),
                              bottom_line_ + space_},
                             canvas_.colour.brass_soft);
            }
        }
    }

    /// The room of a step in this system, tied pieces with it. Who plays finds a pointer under it, and its ground tinted while
    /// it sounds; what is only looked at is framed.
    void draw_place(std::uint32_t step, const Marks& marks) const {
        std::optional<engraving::Slot> room;
        for (const engraving::Slot& slot : system_.slots) {
            if (step_of(slot.event) == step) {
                room = room.value_or(slot);
                room->right = slot.right;
            }
        }
        if (!room) {
            return;
        }
        const float thick = std::max(2.0F, 0.22F * space_);
        const float foot = engraved_.verdicts ? under() : row_.y1 - 0.4F * space_;
        const Box frame{x_of(room->left), row_.y0 + 0.2F * space_, x_of(room->right), foot};
        if (marks.sounding) {
            canvas_.fill(frame, canvas_.colour.brass_soft, 0.5F * space_);
        }
        if (!marks.playing) {
            canvas_.outline(frame, canvas_.colour.brass, thick, 0.5F * space_);
        }
        if (!engraved_.verdicts) {
            return;
        }
        // A pointer at its foot is seen from far.
        const float x = x_of(room->x);
        const float y = frame.y1 + 0.5F * space_;
        canvas_.list.AddTriangleFilled(ImVec2(x, y),
                                       ImVec2(x - 0.9F * space_, y + 1.3F * space_),
                                       ImVec2(x + 0.9F * space_, y + 1.3F * space_),
                                       canvas_.colour.brass);
    }

    void draw_verdict(const desk::Verdict& verdict, const engraving::Slot& slot) const {
        const float x = x_of(slot.x);
        const float top = under();
        draw_verdict_mark(
            canvas_, verdict, {x - 1.2F * space_, top, x + 1.2F * space_, top + 1.8F * space_});
        if (engraved_.words && !verdict.words.empty()) {
            write_under(verdict.words.front(), x, top + 3.2F * space_, slot);
        }
    }

    /// In one line or two; what has no room is left to the mark, and to whatever tells of the note elsewhere.
    void write_under(const std::string& words,
                     float x,
                     float baseline,
                     const engraving::Slot& slot) const {
        const float room = (slot.right - slot.left + 0.6F) * space_;
        const float cap =
            std::max(0.7F * space_, engraved_.playing ? Canvas::kPlayed_px : canvas_.small_cap());
        const auto fits = [&](const std::string& line) {
            return canvas_.width(Face::strong, cap, line) <= room;
        };
        const auto write = [&](const std::string& line, float y) {
            canvas_.text(Face::strong, cap, x, y, Align::middle, canvas_.colour.ink, line);
        };
        if (fits(words)) {
            write(words, baseline);
            return;
        }
        for (std::size_t cut = words.find(' '); cut != std::string::npos;
             cut = words.find(' ', cut + 1)) {
            const std::string first = words.substr(0, cut);
            const std::string second = words.substr(cut + 1);
            if (fits(first) && fits(second)) {
                write(first, baseline);
                write(second, baseline + std::max(1.1F * space_, 1.4F * cap));
                return;
            }
        }
    }

    const Canvas& canvas_;
    const Engraved& engraved_;
    const engraving::System& system_;
    Box row_;
    float space_;
    float bottom_line_;
};

void draw_systems(const Canvas& canvas,
                  const Music& music,
                  const Marks& marks,
                  std::uint32_t looked_at,
                  const Box& box) {
    if (music.empty()) {
        return;
    }
    const Engraved& engraved =
        engraved_for(canvas, music, box, marks.place.has_value(), marks.playing);
    const desk::ShownSystems systems =
        desk::shown_systems(engraved.layout, engraved.score, looked_at);
    const float height = engraved.total() * engraved.space;
    const bool two =
        engraved.verdicts && systems.lower >= 0 && 2.0F * height <= box.height() + 1.0F;
    const float used = two ? 2.0F * height : height;
    const float top = box.y0 + 0.5F * std::max(0.0F, box.height() - used);
    const auto draw = [&](int system, float y) {
        if (system >= 0 && system < engraved.systems()) {
            const Box row{box.x0, y, box.x1, y + height};
            SystemDrawing(canvas, engraved, system, row).draw(marks);
        }
    };
    const auto holds = [&](int system) {
        const auto& slots = engraved.layout.systems[static_cast<std::size_t>(system)].slots;
        return std::any_of(slots.begin(), slots.end(), [&](const engraving::Slot& slot) {
            return engraved.score.events[slot.event].step == looked_at;
        });
    };
    const bool lower = !two && systems.lower >= 0 && !holds(systems.upper);
    draw(lower ? systems.lower : systems.upper, top);
    if (two) {
        draw(systems.lower, top + height);
    }
}

} // namespace

void draw_verdict_mark(const Canvas& canvas, const desk::Verdict& verdict, const Box& box) {
    const auto y_of = [&box](double cents) {
        const double inside = std::clamp(cents, -kRange_cents, kRange_cents) / kRange_cents;
        return box.middle_y() - static_cast<float>(inside) * 0.5F * box.height();
    };
    const double tolerance = std::min(verdict.tolerance_cents, kRange_cents);
    canvas.fill({box.x0, y_of(tolerance), box.x1, y_of(-tolerance)}, canvas.colour.brass_soft);
    const float thick = std::max(1.0F, 0.045F * box.height());
    for (const double edge : {-tolerance, tolerance}) {
        canvas.level_line(box.x0, box.x1, y_of(edge), canvas.colour.brass, 0.5F * thick);
    }
    canvas.level_line(box.x0, box.x1, box.middle_y(), canvas.colour.brass, thick);
    const float x = box.middle_x();
    const float y = y_of(verdict.cents);
    const float radius = 0.19F * box.height();
    switch (verdict.shape) {
    case desk::Verdict::Shape::round:
        if (verdict.within_cents > 0.0) { // a pale bar over all of where it may lie
            const float half = 0.4F * radius;
            canvas.fill({x - half,
                         y_of(verdict.cents + verdict.within_cents),
                         x + half,
                         y_of(verdict.cents - verdict.within_cents)},
                        canvas.colour.voice_pale);
            break;
        }
        canvas.dot(x, y, radius, canvas.colour.voice);
        break;
    case desk::Verdict::Shape::diamond: {
        const float reach = 1.35F * radius;
        canvas.list.AddQuadFilled(ImVec2(x, y - reach),
                                  ImVec2(x + reach, y),
                                  ImVec2(x, y + reach),
                                  ImVec2(x - reach, y),
                                  canvas.colour.voice);
        break;
    }
    case desk::Verdict::Shape::hollow:
        canvas.ring(x, y, radius, canvas.colour.voice, std::max(1.5F, 0.35F * radius));
        break;
    }
}

void draw_run_staff(const Canvas& canvas, const desk::RunView& view, const Box& box) {
    const desk::RunMarks shown = desk::run_marks(view);
    Marks marks;
    marks.verdicts = &shown.verdicts;
    marks.place = shown.place;
    marks.playing = true;
    marks.sounding = view.sounding;
    marks.past = shown.past;
    marks.bar = shown.bar;
    draw_systems(canvas, {&view.exercise, view.part.get()}, marks, shown.place, box);
}

void draw_marked_staff(const Canvas& canvas,
                       const drill::Exercise& exercise,
                       const std::vector<std::optional<desk::Verdict>>& verdicts,
                       std::optional<std::uint32_t> chosen,
                       const Box& box) {
    Marks marks;
    marks.verdicts = &verdicts;
    marks.place = chosen;
    draw_systems(canvas, {&exercise, nullptr}, marks, chosen.value_or(0), box);
}

} // namespace bellhand::gui
