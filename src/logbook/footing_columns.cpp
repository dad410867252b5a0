#include "logbook/footing_columns.h"

namespace bellhand::logbook {

FootingRecord footing_record(const horn::Tuning& tuning) {
    return {horn::step_name(horn::root_step(tuning)),
            horn::anchor_id(tuning.footing.anchor),
            horn::enharmonic_id(tuning.footing.enharmonic)};
}

horn::Footing footing_of(const FootingRecord& record) {
    horn::Footing footing;
    if (const auto root = horn::parse_root(record.root)) {
        footing.root = *root;
    }
    footing.anchor = horn::anchor_of(record.anchor).value_or(footing.anchor);
    footing.enharmonic = horn::enharmonic_of(record.enharmonic).value_or(footing.enharmonic);
    return footing;
}

void bind_footing(Statement& statement, const FootingRecord& footing) {
    statement.bind(footing.root).bind(footing.anchor).bind(footing.enharmonic);
}

FootingRecord footing_from(const Statement& row, int first) {
    return {row.text(first), row.text(first + 1), row.text(first + 2)};
}

} // namespace bellhand::logbook
