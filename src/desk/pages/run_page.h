#pragma once

#include "desk/model/run_view.h"
#include "desk/page.h"
#include "desk/session.h"

namespace bellhand::desk {

/// An exercise or a plan at work. It chooses crook, page and input meanwhile.
class RunPage : public Page {
public:
    explicit RunPage(Session& session) : session_(session) {}

    void follow() override;
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] bool alone() const override { return true; }
    /// Another run begins; `back_to`: the name of the page that is shown when it is over; `part`: what is played, or null.
    void begin(const char* back_to, std::shared_ptr<const PlayedPart> part);

    [[nodiscard]] const RunView& view() const noexcept { return view_; }

private:
    [[nodiscard]] bool over() const noexcept;
    void tell(run::Key key);

    Session& session_;
    RunView view_;
    const char* back_to_ = "";
};

} // namespace bellhand::desk
