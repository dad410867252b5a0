#pragma once

#include "desk/keys.h"
#include "desk/wishes.h"

#include <utility>

namespace bellhand::desk {

/// One page of the window, or a sheet over it: what is chosen on it and what its keys do. Draws nothing.
class Page {
public:
    Page() = default;
    virtual ~Page() = default;
    Page(const Page&) = delete;
    Page& operator=(const Page&) = delete;

    /// It came to be shown.
    virtual void enter() {}
    /// Another one is shown from now on.
    virtual void leave() {}
    /// Once a frame while it is shown.
    virtual void refresh() {}
    /// Once a frame, shown or not: it follows what sounds.
    virtual void follow() {}
    /// What each key does here now, most important first.
    [[nodiscard]] virtual KeyTable keys() = 0;
    /// Words are being written: what `keys` has no line for goes to `write`.
    [[nodiscard]] virtual bool writing() const { return false; }
    virtual void write(const Press& /*press*/) {}
    /// The keys of the window are asleep meanwhile: a stray one must not lead away.
    [[nodiscard]] virtual bool alone() const { return false; }

    /// After a key did something: what it left to do.
    virtual void after_key() {}

    /// Does what the key means here. False: nothing.
    bool press(const Press& press);
    [[nodiscard]] Wishes take_wishes() { return std::exchange(wishes_, {}); }

protected:
    Wishes wishes_;
};

} // namespace bellhand::desk
