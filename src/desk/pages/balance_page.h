#pragma once

#include "desk/page.h"
#include "desk/session.h"
#include "desk/store/shelf.h"
#include "progress/balance.h"

#include <string>
#include <vector>

namespace bellhand::desk {

/// How quietly the horn stays while the hand moves: the newest long tone, its changes of the hand, and the weeks before.
class BalancePage : public Page {
public:
    BalancePage(Session& session, Shelf& shelf) : session_(session), shelf_(shelf) {}

    void enter() override;
    void leave() override;
    /// Listens also while an exercise for it is played, and puts each tone into the log.
    void follow() override;
    [[nodiscard]] KeyTable keys() override;

    [[nodiscard]] const BalanceEar& ear() const noexcept { return session_.view().balance(); }
    /// Which change of the newest tone is looked at.
    [[nodiscard]] int chosen() const noexcept;
    void choose(int move) noexcept { chosen_ = move; }
    [[nodiscard]] const std::vector<progress::BalanceWeek>& weeks() const noexcept {
        return weeks_;
    }
    /// Why the log cannot be read or written; empty otherwise.
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }

private:
    void look_back();
    void keep();
    void begin_exercise();

    Session& session_;
    Shelf& shelf_;
    bool shown_ = false;
    int chosen_ = 0;
    int session_number_ = 0; ///< whose tones were kept
    std::uint32_t kept_ = 0; ///< of its tones
    std::vector<progress::BalanceWeek> weeks_;
    std::string problem_;
};

} // namespace bellhand::desk
