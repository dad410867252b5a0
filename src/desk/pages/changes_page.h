#pragma once

#include "app/kept_changes.h"
#include "desk/page.h"
#include "desk/session.h"
#include "desk/store/shelf.h"
#include "instrument/planner/change_drill.h"

#include <filesystem>
#include <future>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// The box of pieces that a drill is about.
struct ChangeBox {
    std::filesystem::path path;
    std::string name;
    bool own = false; ///< the player's; false: it comes with the program
    instrument::HornLengths lengths;
    instrument::AirInHorn air;
};

/// The crook-change drill: a key is called, the player names the pieces, or mounts them and plays one open note.
class ChangesPage : public Page {
public:
    enum class Stage {
        ready,    ///< what is called and how it is answered is chosen
        planning, ///< the changes of a large box are worked out
        called,   ///< the clock runs
        judged,
        over,
    };
    enum class How {
        named, ///< by the pieces: needs no horn
        played ///< mounted, and shown by one open note
    };

    ChangesPage(Session& session, Shelf& shelf) : session_(session), shelf_(shelf) {}

    void enter() override;
    /// The drill is broken off; what was done of it is kept.
    void leave() override;
    void refresh() override;
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] bool alone() const override { return stage_ != Stage::ready; }

    /// Tonight's set list. False: it cannot be read; `problem` tells why.
    bool take_set_list(const std::filesystem::path& file);

    // What the pointer does, too.
    void choose_row(int row) noexcept { row_ = row; }
    void turn_row(int step);
    void toggle(int piece);

    [[nodiscard]] Stage stage() const noexcept { return stage_; }
    [[nodiscard]] How how() const noexcept { return how_; }
    /// Row of the choices: 0 what is called, 1 how it is answered.
    [[nodiscard]] int row() const noexcept { return row_; }
    /// "a quiz of 6 keys", "tonight's changes: The Drowned Bell".
    [[nodiscard]] std::string what_words() const;
    /// The box, or null when it cannot be read.
    [[nodiscard]] const ChangeBox* box() const noexcept { return box_ ? &*box_ : nullptr; }
    /// Null before anything was called.
    [[nodiscard]] const instrument::ChangeDrill* drill() const noexcept {
        return drill_ ? &*drill_ : nullptr;
    }
    /// What the player has put together by naming, and the piece that keys move over.
    [[nodiscard]] const instrument::Stack& named() const noexcept { return named_; }
    [[nodiscard]] int piece() const noexcept { return piece_; }
    /// Seconds since the call; of the judged change while that is shown.
    [[nodiscard]] double clock_s() const noexcept;
    /// What came of the call that is judged, as a sentence; that it was passed over, too.
    [[nodiscard]] std::string verdict_words() const;
    /// A note played after a wrong one: whether the horn stands in the key now. Empty before.
    [[nodiscard]] const std::string& mended() const noexcept { return mended_; }
    /// Why something cannot be done; empty otherwise.
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }

private:
    [[nodiscard]] KeyTable keys_when_ready();
    [[nodiscard]] KeyTable keys_when_called();
    [[nodiscard]] KeyTable keys_when_judged();
    [[nodiscard]] KeyTable keys_when_over();
    void read_box();
    /// Empty in a quiz.
    [[nodiscard]] std::string title_of_set_list() const;
    [[nodiscard]] bool of_tonight() const noexcept { return what_ == 0; }
    void begin();
    void begin_with(std::vector<instrument::ChangeCall> calls);
    void call_next();
    void say();
    void pass();
    void hear();
    void begin_listening();
    void stop_listening();
    void end();
    void keep();

    Session& session_;
    Shelf& shelf_;
    std::optional<ChangeBox> box_;
    std::optional<instrument::SetList> set_list_;
    bool demo_list_ = false; ///< it came with the program
    int what_ = 1;           ///< 0: tonight; otherwise a quiz, see `kQuizzes`
    How how_ = How::named;
    int row_ = 0;
    Stage stage_ = Stage::ready;
    std::future<Result<std::vector<instrument::ChangeCall>>> planned_;
    std::optional<instrument::ChangeDrill> drill_;
    instrument::Stack named_;
    int piece_ = 0;
    double called_s_ = 0.0;
    double began_s_ = 0.0;
    bool quiet_ =
        false; ///< nothing sounded once since the call: what is heard now was begun after it
    double listens_from_s_ = 0.0; ///< then
    std::uint32_t heard_ = 0;     ///< notes of the session below this index are done with
    std::string mended_;
    std::string problem_;
    app::KeptDrill kept_;
    std::optional<horn::Tuning> tuning_before_; ///< while listening to the drill
    bool listened_before_ = false;
};

} // namespace bellhand::desk
