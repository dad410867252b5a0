#include "desk/page.h"

namespace bellhand::desk {

bool Page::press(const Press& press) {
    const KeyTable table = keys();
    if (const KeyLine* line = line_for(table, press)) {
        if (!press.repeated || line->held) { // a pedal that is kept down must not switch to and fro
            line->act(press);
            after_key();
        }
        return true;
    }
    if (writing()) {
        write(press);
        after_key();
        return true;
    }
    return false;
}

} // namespace bellhand::desk
