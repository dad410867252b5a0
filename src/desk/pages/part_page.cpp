#include "desk/pages/part_page.h"

#include "chart/score_pages.h"
#include "core/files.h"
#include "core/platform.h"
#include "desk/sheets/sheet.h"
#include "part/write/annotate.h"

#include <algorithm>
#include <utility>

namespace bellhand::desk {

namespace {

constexpr int kRowsWithKeys = 9;

std::string counted(int count, const char* one, const char* many) {
    return std::to_string(count) + " " + (count == 1 ? one : many);
}

} // namespace

void PartPage::take_file(const std::filesystem::path& file) {
    auto score = part::Score::load(file);
    if (!score) {
        tell({}, score.error().message);
        return;
    }
    file_ = file;
    score_ = std::move(*score);
    part_.reset();
    question_.reset();
    options_ = {};
    pins_.clear();
    tell({});
    ask_for_part();
}

void PartPage::ask_for_part() {
    offered_.clear();
    for (std::size_t i = 0; i < score_->parts().size(); ++i) {
        if (score_->parts()[i].horn) {
            offered_.push_back(i);
        }
    }
    const bool no_horn = offered_.empty();
    for (std::size_t i = 0; no_horn && i < score_->parts().size(); ++i) {
        offered_.push_back(i);
    }
    if (offered_.size() == 1) {
        read(offered_.front());
        return;
    }
    stage_ = Stage::parts;
    asked_ = no_horn ? "No part here is named as a horn. Which one is yours?"
                     : "Several horns stand in this score. Which part is yours?";
    rows_.clear();
    for (const std::size_t i : offered_) {
        rows_.push_back(score_->parts()[i].name);
    }
    row_ = 0;
}

void PartPage::read(std::size_t index) {
    index_ = index;
    answer(options_);
}

void PartPage::answer(const part::ReadOptions& options) {
    options_ = options;
    auto part = part::read_part(*score_, index_, options_);
    if (!part) {
        part_.reset();
        stage_ = Stage::empty;
        tell({}, part.error().message);
        return;
    }
    if (!part->questions.empty()) {
        question_ = part_question(part->questions.front(), options_);
        stage_ = Stage::question;
        asked_ = question_->words;
        rows_.clear();
        for (const PartAnswer& one : question_->answers) {
            rows_.push_back(one.words);
        }
        row_ = 0;
        return;
    }
    part_ = std::move(*part);
    cursor_ = 0;
    hard_ = 0;
    loop_.reset();
    speed_percent_ = 100;
    stage_ = Stage::reading;
    make_plan();
}

part::PlanSettings PartPage::settings() const {
    part::PlanSettings settings;
    settings.a4_hz = session_.tuning().a4_hz;
    settings.temperament = session_.tuning().temperament;
    settings.footing = session_.tuning().footing;
    settings.pins = pins_;
    settings.response = [this](const horn::Tuning& on) { return response_on(on); };
    return settings;
}

horn::HandResponse PartPage::response_on(const horn::Tuning& tuning) const {
    return session_.players_horn().response_on(tuning).value_or(horn::hand_response(tuning));
}

void PartPage::make_plan() {
    made_for_ = session_.tuning();
    auto plan = part::plan_part(*part_, settings());
    if (!plan) {
        pins_.clear(); // a pin that cannot be must not keep the page away
        tell({}, plan.error().message);
        plan = part::plan_part(*part_, settings());
    }
    if (plan) {
        plan_ = std::move(*plan);
    }
    show_page();
}

void PartPage::show_page() {
    printed_ = part::printed_part(*part_, plan_, {score_->title(), partials_});
    ++version_;
}

void PartPage::refresh() {
    const bool other_pitch =
        made_for_ && (made_for_->a4_hz != session_.tuning().a4_hz ||
                      made_for_->temperament.id != session_.tuning().temperament.id ||
                      !(made_for_->footing == session_.tuning().footing));
    if (part_ && stage_ == Stage::reading && other_pitch) {
        make_plan();
    }
}

void PartPage::choose(std::size_t attack) noexcept {
    if (part_ && attack < part_->attacks.size()) {
        cursor_ = attack;
    }
}

void PartPage::accept(int row) {
    const auto at = static_cast<std::size_t>(std::max(0, row));
    if (stage_ == Stage::parts && at < offered_.size()) {
        read(offered_[at]);
    } else if (stage_ == Stage::question && at < question_->answers.size()) {
        answer(question_->answers[at].options);
    } else if (stage_ == Stage::crooks) {
        stage_ = Stage::reading;
    }
}

KeyTable PartPage::keys() {
    switch (stage_) {
    case Stage::empty:
        return {
            on(Key::enter, "type the path of a file", [this] { wishes_.sheet = Sheet::input; })};
    case Stage::reading:
        return page_keys();
    default:
        return row_keys();
    }
}

KeyTable PartPage::row_keys() {
    KeyTable table{
        on_rows(
            static_cast<int>(rows_.size()), row_, "another row", [this](int row) { row_ = row; }),
        on(Key::enter, stage_ == Stage::crooks ? "back to the part" : "this one", [this] {
            accept(row_);
        })};
    if (stage_ != Stage::crooks) {
        // All digits are the rows' here, so that none of them leads to another page.
        KeyLine digits = on('1', "straight to a row", [] {});
        for (const char digit : std::string_view("234567890")) {
            digits = digits.or_key(digit);
        }
        const int last = std::min(kRowsWithKeys, static_cast<int>(rows_.size()));
        digits.cap = last > 1 ? "1 to " + std::to_string(last) : "1";
        digits.act = [this](const Press& press) {
            const int row = static_cast<int>(press.character) - '1';
            if (row >= 0) {
                accept(row);
            }
        };
        table.push_back(std::move(digits));
    }
    table.push_back(on(Key::escape, part_ ? "back to the part" : "close it", [this] {
                        stage_ = part_ ? Stage::reading : Stage::empty;
                    }).at(Foot::always));
    return table;
}

KeyTable PartPage::page_keys() {
    KeyTable table{play_line(),
                   on_steps(Key::left, Key::right, "note", [this](int step) { step_note(step); }),
                   on_steps(Key::up, Key::down, "bar", [this](int step) { step_bar(step); }),
                   on(Key::tab, "another hand for this note", [this] { another_way(); }),
                   on(Key::end, "next hard bar", [this] { next_hard_bar(); }),
                   on(Key::home, "the beginning", [this] { choose(0); }).at(Foot::never),
                   on('s', "save it with hand signs", [this] { save(); }).at(Foot::always),
                   on_control('p', "print it", [this] { print(); }).at(Foot::always),
                   on('c', "which crook is easiest", [this] { compare(); }),
                   on('#', partials_ ? "without partials" : "partials too", [this] {
                       partials_ = !partials_;
                       show_page();
                   })};
    const KeyTable ways = play_keys();
    table.insert(table.end(), ways.begin(), ways.end());
    if (pin_here() != pins_.end()) {
        table.push_back(on('x', "delete the pin", [this] { drop_pin(); }).or_key(Key::del));
    }
    if (score_->parts().size() > 1 || part_->players > 1) {
        table.push_back(on('r', "again, another part", [this] {
            options_ = {};
            pins_.clear();
            ask_for_part();
        }));
    }
    return table;
}

void PartPage::step_note(int step) noexcept {
    const auto last = static_cast<int>(part_->attacks.size()) - 1;
    cursor_ = static_cast<std::size_t>(std::clamp(static_cast<int>(cursor_) + step, 0, last));
}

void PartPage::step_bar(int step) noexcept {
    const int here = part_->attacks[cursor_].at.bar;
    const auto first_of = [this](int bar) {
        const auto found =
            std::find_if(part_->attacks.begin(),
                         part_->attacks.end(),
                         [bar](const part::Attack& one) { return one.at.bar >= bar; });
        return static_cast<std::size_t>(found - part_->attacks.begin());
    };
    if (step > 0) {
        choose(first_of(here + 1));
        return;
    }
    const std::size_t first = first_of(here);
    choose(first > 0 ? first_of(part_->attacks[first - 1].at.bar) : 0);
}

void PartPage::next_hard_bar() {
    if (plan_.hardest.empty()) {
        tell("No bar is hard.");
        return;
    }
    const int bar = plan_.hardest[hard_ % plan_.hardest.size()].bar;
    ++hard_;
    // Its dearest note.
    std::optional<std::size_t> dearest;
    for (std::size_t i = 0; i < part_->attacks.size(); ++i) {
        if (part_->attacks[i].at.bar == bar &&
            (!dearest || plan_.notes[i].cost > plan_.notes[*dearest].cost)) {
            dearest = i;
        }
    }
    choose(dearest.value_or(cursor_));
}

const std::string& PartPage::number_of(int bar) const {
    return part_->music.bars[static_cast<std::size_t>(bar)].number;
}

std::string PartPage::bar_number(std::size_t attack) const {
    return number_of(part_->attacks[attack].at.bar);
}

std::vector<part::Pin>::iterator PartPage::pin_here() {
    return std::find_if(pins_.begin(), pins_.end(), [this](const part::Pin& pin) {
        return pin.bar == bar_number(cursor_) && pin.in_bar == part_->attacks[cursor_].in_bar;
    });
}

void PartPage::another_way() {
    const part::Attack& attack = part_->attacks[cursor_];
    horn::Tuning tuning = session_.tuning();
    tuning.crook = part_->crooks[attack.crook].crook;
    const part::ChoiceChart chart(tuning, response_on(tuning));
    const std::vector<part::Choice> choices = chart.choices(attack.written, std::nullopt);
    if (choices.size() < 2) {
        tell(choices.empty() ? "No way of the hand reaches this note."
                             : "There is one way to play this note.");
        return;
    }
    const auto& now = plan_.notes[cursor_].choice;
    std::size_t next = 0;
    for (std::size_t i = 0; now && i < choices.size(); ++i) {
        if (choices[i].way.partial == now->way.partial && choices[i].way.hand == now->way.hand) {
            next = (i + 1) % choices.size();
        }
    }
    const part::Pin pin{
        bar_number(cursor_), attack.in_bar, {choices[next].way.hand, choices[next].way.partial}};
    if (const auto old = pin_here(); old != pins_.end()) {
        *old = pin;
    } else {
        pins_.push_back(pin);
    }
    tell("Pinned: the plan keeps this hand.");
    make_plan();
}

void PartPage::drop_pin() {
    if (const auto pin = pin_here(); pin != pins_.end()) {
        pins_.erase(pin);
        tell("The plan chooses again.");
        make_plan();
    }
}

void PartPage::compare() {
    rows_.clear();
    for (const part::CrookFit& fit : part::compare_crooks(*part_, settings())) {
        rows_.push_back(std::string(fit.crook.label) + ": " +
                        counted(fit.hand_notes, "hand note", "hand notes") + ", " +
                        counted(fit.impossible, "out of reach", "out of reach") + ", cost " +
                        std::to_string(fit.cost));
    }
    asked_ = "The same sounding part on every crook, the easiest first.";
    row_ = 0;
    stage_ = Stage::crooks;
}

std::filesystem::path PartPage::beside(const std::string& ending) const {
    return file_.parent_path() / platform::path_of(file_.stem().string() + ending);
}

void PartPage::tell(std::string said, std::string problem) {
    said_ = std::move(said);
    problem_ = std::move(problem);
}

void PartPage::tell_saved(const Result<void>& written,
                          const std::string& words,
                          const std::filesystem::path& to) {
    if (written) {
        tell(words + to.string() + ".");
        wishes_.saved = to;
    } else {
        tell({}, written.error().message);
    }
}

void PartPage::save() {
    auto text = part::annotated(*score_, *part_, plan_, {partials_});
    const bool packed = !score_->archive().empty();
    if (text && packed) {
        text = part::compressed(*score_, std::move(*text));
    }
    if (!text) {
        tell({}, text.error().message);
        return;
    }
    const std::filesystem::path to =
        beside(packed ? " with hand signs.mxl" : " with hand signs.musicxml");
    const auto written = write_file_in_one_step(to, *text);
    tell_saved(written, "Saved as ", to);
}

void PartPage::print() {
    const auto pages = chart::score_pages(printed_.score, chart::PageFormat::pdf);
    if (!pages) {
        tell({}, pages.error().message);
        return;
    }
    std::string name = part_->head.name;
    std::replace_if(
        name.begin(), name.end(), [](char c) { return c == '/' || c == '\\' || c == ':'; }, '-');
    const std::filesystem::path to = beside(", " + name + ".pdf");
    const auto written = write_file_in_one_step(to, *pages);
    tell_saved(written, "Printed to ", to);
}

std::string PartPage::note_words() const {
    if (!part_ || part_->attacks.empty()) {
        return {};
    }
    const part::Attack& attack = part_->attacks[cursor_];
    const part::PlannedNote& note = plan_.notes[cursor_];
    std::string words = "bar " + bar_number(cursor_) + ", note " + std::to_string(attack.in_bar) +
                        ": " + horn::display_name(attack.written);
    if (note.choice) {
        words += ", partial " + std::to_string(note.choice->way.partial) + ", " +
                 horn::hand_label(note.choice->way.hand);
    }
    return words + (note.pinned ? ", pinned" : "");
}

std::string PartPage::reason() const {
    return part_ && !part_->attacks.empty() ? plan_.notes[cursor_].reason : std::string();
}

std::string PartPage::summary() const {
    if (!part_) {
        return {};
    }
    const int total = static_cast<int>(part_->attacks.size());
    const int open = plan_.hands[0];
    std::string words = counted(total, "note", "notes") + ", " + std::to_string(open) + " open, " +
                        std::to_string(total - open - static_cast<int>(plan_.impossible.size())) +
                        " with the hand";
    if (!plan_.impossible.empty()) {
        words += ", " + std::to_string(plan_.impossible.size()) + " out of reach";
    }
    for (const std::vector<std::string>* doubts : {&part_->doubts, &plan_.doubts}) {
        for (const std::string& doubt : *doubts) {
            words += ". " + doubt.substr(0, doubt.find_last_not_of('.') + 1);
        }
    }
    return words + ".";
}

} // namespace bellhand::desk
