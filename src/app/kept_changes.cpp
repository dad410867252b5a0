#include "app/kept_changes.h"

#include "core/calendar.h"

#include <cstddef>

namespace bellhand::app {

logbook::SessionRecord session_of_drill(const instrument::ChangeDrill& drill,
                                        const std::string& set_list,
                                        const horn::Tuning& tuning) {
    logbook::SessionRecord session;
    session.started_at = calendar::now_utc();
    session.input = "crook changes: " + (set_list.empty() ? std::string("quiz") : set_list);
    const instrument::Target& first = drill.calls().front().target;
    horn::Tuning of_first = tuning;
    of_first.crook = first.key;
    session.crook = first.key.id;
    session.a4_hz = first.a4_hz;
    session.temperament = tuning.temperament.id;
    session.footing = logbook::footing_record(of_first);
    return session;
}

std::vector<logbook::CrookChangeRecord> change_records(const instrument::ChangeDrill& drill,
                                                       const std::string& set_list,
                                                       const std::string& horn) {
    std::vector<logbook::CrookChangeRecord> records;
    for (const instrument::ChangeResult& result : drill.results()) {
        const instrument::ChangeCall& call = drill.calls()[result.call];
        logbook::CrookChangeRecord& record = records.emplace_back();
        record.number = static_cast<std::uint32_t>(records.size() - 1);
        record.set_list = set_list;
        record.item = call.number;
        record.crook = call.target.key.id;
        record.a4_hz = call.target.a4_hz;
        record.temperature_c = call.target.air.temperature_c;
        record.horn = horn;
        if (call.from) {
            record.pieces_before = instrument::describe(drill.horn(), *call.from);
            record.estimate_s = call.estimate_s;
        }
        record.pieces_right = instrument::describe(drill.horn(), call.right);
        if (result.said) {
            record.pieces_said = instrument::describe(drill.horn(), *result.said);
        }
        record.slide_m = call.slide_m;
        if (result.heard) {
            record.stands = instrument::stands_id(result.heard->stands);
            record.off_cents = result.heard->off_cents;
            record.off_sd_cents = result.heard->off_sd_cents;
        }
        record.change_s = result.seconds;
        record.rest_s = call.rest_s;
        record.correct = result.right();
        record.verdict = instrument::in_words(drill.horn(), call, result);
    }
    return records;
}

Result<std::int64_t> keep_drill(logbook::Logbook& log, const KeptDrill& drill) {
    std::int64_t session = drill.session;
    const auto all = [&]() -> Result<void> {
        if (session == 0) {
            const auto begun = log.begin_session(drill.began);
            if (!begun) {
                return tl::unexpected(begun.error());
            }
            session = *begun;
        }
        for (const logbook::CrookChangeRecord& change : drill.changes) {
            if (auto put = log.put_crook_change(session, change); !put) {
                return put;
            }
        }
        const auto kept = log.crook_changes(session);
        if (!kept) {
            return tl::unexpected(kept.error());
        }
        for (std::size_t i = drill.changes.size(); i < kept->size(); ++i) { // taken back
            if (auto gone = log.remove_crook_change(session, (*kept)[i].number); !gone) {
                return gone;
            }
        }
        return log.end_session(session, drill.duration_s);
    };
    if (const auto done = log.together(all); !done) {
        return tl::unexpected(done.error());
    }
    return session;
}

} // namespace bellhand::app
