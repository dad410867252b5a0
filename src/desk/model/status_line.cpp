#include "desk/model/status_line.h"

namespace bellhand::desk {

namespace {

bool lost(const audio::SourceStatus& source) {
    return source.state == audio::SourceState::failed ||
           source.state == audio::SourceState::waiting;
}

} // namespace

StatusLine status_line_of_both(const PracticeView& view,
                               bool listening,
                               const std::string& problem,
                               const std::string& call_problem) {
    StatusLine here = status_line(view, listening, problem);
    if (call_problem.empty()) {
        return here;
    }
    const bool neither = !problem.empty() || lost(view.source());
    return {neither ? "Neither side is heard. " + here.words + " " + call_problem
                    : call_problem + " This side goes on.",
            true};
}

StatusLine status_line(const PracticeView& view, bool listening, const std::string& problem) {
    const audio::SourceStatus& source = view.source();
    if (!problem.empty()) {
        return {problem, true};
    }
    if (lost(source)) {
        return {source.message.empty() ? "Waiting for the input." : source.message, true};
    }
    if (!view.log().message.empty()) {
        return {view.log().message, true};
    }
    if (!listening) {
        return {"Stopped, and saved in the log. Space begins a new session.", false};
    }
    if (view.source_ended()) {
        const std::string remark =
            source.message.empty() ? "The recording has ended." : source.message;
        return {remark + " Space closes the session.", !source.message.empty()};
    }
    if (view.own_sound().warning) {
        return {view.own_sound().words, true};
    }
    if (const words::HornRemark& horn = view.horn_remark(); !horn.text.empty()) {
        return {horn.text + (horn.offer ? " G takes it." : ""), true};
    }
    if (view.clipped_lately()) {
        return {"Too loud for the microphone: turn its gain down or step back.", true};
    }
    if (view.dropped_samples() > 0) {
        return {"The computer was too busy and lost some sound: figures near the gap may be off.",
                true};
    }
    if (view.room_too_loud()) {
        return {"The room is loud: figures are less sure. Move closer to the microphone.", true};
    }
    if (!view.any_sound()) {
        return {"Waiting for sound.", false};
    }
    if (view.log().saving) {
        return {"Saved in the log, session " + std::to_string(view.log().session) + ".", false};
    }
    return {"Practice is not logged.", false};
}

} // namespace bellhand::desk
