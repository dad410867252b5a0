#include "desk/desk.h"

#include "app/file_kind.h"

#include <algorithm>
#include <iterator>

namespace bellhand::desk {

namespace {

constexpr double kBroughtBack_s = 20.0; // of news that nobody asked for

} // namespace

Desk::Desk(Ear ear, DeskStart start)
    : preferences_(start.preferences),
      shelf_(start.shelf ? std::move(start.shelf) : real_shelf(start.log_path, start.documents)),
      session_(std::move(ear), start),
      pages_(session_, *shelf_, preferences_.lesson_hold_s),
      sheets_(session_, *shelf_, start.documents, start.recent_files),
      saved_files_(start.documents) {
    change_scale(1.0);
    shelf_->homework().use_profile(start.own_horn ? std::optional(start.horn_profile)
                                                  : std::nullopt);
    // Before the log is written to, and whether or not there is anything to listen to.
    for (const std::string& sentence : shelf_->bring_back()) {
        brought_back_ += (brought_back_.empty() ? "" : " ") + sentence;
    }
    session_.begin();
    pages_.chart.follow();
    if (start.first_time) {
        open(Sheet::start);
    }
}

void Desk::update(double wall_s) {
    session_.update(wall_s);
    if (!brought_back_.empty()) {
        session_.say(std::exchange(brought_back_, std::string()), kBroughtBack_s);
    }
    pages_.chart.follow();
    pages_.run.follow();
    pages_.lesson.follow();
    pages_.balance.follow();
    for (std::size_t i = 0; of_plan_ && i < pages_.run.view().summaries.size(); ++i) {
        pages_.today.mark_done(*of_plan_ + i);
    }
    pages_.at(screen_).refresh();
    if (SheetPage* sheet = sheets_.at(sheet_)) {
        sheet->refresh();
    }
}

Page& Desk::top() noexcept {
    SheetPage* sheet = sheets_.at(sheet_);
    return sheet != nullptr ? *sheet : pages_.at(screen_);
}

KeyTable Desk::keys() {
    return with_window_keys(top(), sheet_ != Sheet::none);
}

KeyTable Desk::keys_of_page() {
    return with_window_keys(pages_.at(screen_), false);
}

bool Desk::acts(char character) {
    Press press;
    press.character = static_cast<char32_t>(character);
    const KeyTable table = keys_of_page();
    const KeyLine* line = line_for(table, press);
    return line != nullptr && line->where != Where::page;
}

KeyTable Desk::with_window_keys(Page& page, bool sheet) {
    KeyTable table = page.keys();
    const Where least = page.writing() || sheet ? Where::everywhere
                        : page.alone()          ? Where::all_pages
                                                : Where::window;
    for (KeyLine& line : window_keys()) {
        const bool taken = std::all_of(line.keys.begin(), line.keys.end(), [&](const Press& key) {
            return line_for(table, key) != nullptr;
        });
        if (line.where >= least && !taken) {
            table.push_back(std::move(line));
        }
    }
    return table;
}

void Desk::press(const Press& press) {
    Page& page = top();
    const KeyTable table = keys();
    if (const KeyLine* line = line_for(table, press)) {
        if (press.repeated && !line->held) {
            return; // a pedal that is kept down must not switch to and fro
        }
        line->act(press);
        if (line->where == Where::page) {
            page.after_key();
        }
    } else if (page.writing() && !press.control) {
        page.write(press);
        page.after_key();
    }
    follow(page);
}

/// Does what the page wishes.
void Desk::follow(Page& page) {
    Wishes wishes = page.take_wishes();
    if (wishes.close_sheet) {
        close_sheet();
    }
    if (wishes.tuning) {
        choose(*wishes.tuning);
    }
    if (wishes.clipboard) {
        to_clipboard_ = std::move(wishes.clipboard);
    }
    if (wishes.saved) {
        saved_files_ = wishes.saved->parent_path();
    }
    if (wishes.screen) {
        show(*wishes.screen);
    }
    if (wishes.sheet) {
        open(*wishes.sheet);
    }
    if (wishes.end_run) {
        end_run();
        show(back_to_);
    }
    if (wishes.run) {
        begin_run(std::move(*wishes.run));
    }
    if (wishes.compose) {
        show(Screen::homework);
        pages_.homework.compose_instead(*wishes.compose);
    }
    if (wishes.file) {
        take_file(*wishes.file);
    }
}

void Desk::choose(const horn::Tuning& tuning) {
    session_.set_tuning(tuning);
    pages_.today.forget();
    pages_.chart.follow();
}

void Desk::begin_run(RunWish wish) {
    end_run();
    auto skills = shelf_->skills();
    if (!skills) {
        session_.set_problem(skills.error().message);
        return;
    }
    if (const auto begun = session_.begin_run(std::move(wish.blocks), std::move(*skills)); !begun) {
        session_.set_problem(begun.error().message);
        return;
    }
    if (session_.run() == nullptr) {
        return; // nothing to listen to: the session has said why
    }
    of_plan_ = wish.first_of_plan;
    const bool stays =
        screen_ == Screen::homework || screen_ == Screen::part || screen_ == Screen::balance;
    back_to_ = stays ? screen_ : Screen::today;
    pages_.run.begin(name_of(back_to_), std::move(wish.part));
    show(Screen::run);
}

void Desk::end_run() {
    if (session_.run() == nullptr) {
        return;
    }
    session_.end_run();
    pages_.run.follow(); // its last look
    if (session_.drop_run()) {
        pages_.today.forget();
    }
}

void Desk::use_horn(const std::filesystem::path& profile) {
    if (!pages_.bench.open(profile)) {
        return;
    }
    session_.use_horn(profile, true);
    shelf_->homework().use_profile(profile);
    pages_.closing.forget_prediction();
    pages_.chart.forget_horn();
}

void Desk::take_file(const std::filesystem::path& file) {
    std::error_code unknown;
    if (std::filesystem::is_regular_file(file, unknown)) {
        sheets_.files.remember(file);
    }
    InputChoice input;
    // What cannot be looked at is taken for sound, whose reader says what is wrong.
    switch (app::kind_of(file).value_or(app::FileKind::sound)) {
    case app::FileKind::homework:
        close_sheet();
        show(Screen::homework);
        pages_.homework.take_file(file);
        return;
    case app::FileKind::exercises:
        if (sheets_.exercises.take_file(file)) {
            open(Sheet::exercises);
            return;
        }
        break;
    case app::FileKind::horn_profile:
        close_sheet();
        show(Screen::bench);
        use_horn(file);
        return;
    case app::FileKind::set_list:
        close_sheet();
        show(Screen::changes);
        pages_.changes.take_set_list(file);
        return;
    case app::FileKind::music:
        close_sheet();
        pages_.part.take_file(file);
        show(Screen::part);
        return;
    case app::FileKind::sound:
        break;
    }
    input.kind = InputChoice::Kind::file;
    input.file = file;
    close_sheet();
    session_.listen_to(input);
}

void Desk::show(Screen screen) {
    if (screen != screen_) {
        pages_.at(screen_).leave();
    }
    screen_ = screen;
    pages_.at(screen_).enter();
}

void Desk::open(Sheet sheet) {
    sheet_ = sheet;
    if (SheetPage* page = sheets_.at(sheet)) {
        page->enter();
    }
}

void Desk::close_sheet() {
    sheet_ = Sheet::none;
}

void Desk::accept(int row) {
    if (SheetPage* sheet = sheets_.at(sheet_)) {
        sheet->select(row);
        sheet->accept();
        sheet->after_key();
        follow(*sheet);
    }
}

void Desk::change_scale(double factor) {
    preferences_.type_scale =
        std::clamp(preferences_.type_scale * factor, kSmallestScale, kLargestScale);
}

} // namespace bellhand::desk
