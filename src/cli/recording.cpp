#include "cli/recording.h"

#include "audio/file.h"
#include "cli/hand_rows.h"
#include "core/platform.h"
#include "practice/offline.h"
#include "words/horn.h"

#include <cstdio>

namespace bellhand::cli {

namespace {

/// Hands everything on and remembers what is said of the horn.
class HornListener final : public practice::AnalysisSink {
public:
    explicit HornListener(practice::AnalysisSink& next) : next_(next) {}

    void reading(const trainer::Reading& reading) override { next_.reading(reading); }
    void note(const trainer::PlayedNote& note, const horn::Tuning& tuning) override {
        if (note.heard.heard) {
            heard.take(note.heard.horn);
        }
        next_.note(note, tuning);
    }

    HornHeard heard;

private:
    practice::AnalysisSink& next_;
};

} // namespace

void add_recording_options(const OptionSet& parser, RecordingOptions& options) {
    parser.add_option("FILE", options.file, "Sound file (WAV, FLAC, OGG)").required();
    add_tuning_options(parser, options.tuning);
    add_hand_profile_option(parser, options.profile);
    add_channel_option(parser, options.channel);
}

Result<Recording> open_recording(const RecordingOptions& options) {
    const auto tuning = resolve_tuning(options.tuning);
    if (!tuning) {
        return tl::unexpected(tuning.error());
    }
    const auto own = own_hand(options.profile, *tuning);
    if (!own) {
        return tl::unexpected(own.error());
    }
    auto source = audio::open_file(
        platform::path_of(options.file), audio::Pace::as_fast_as_possible, options.channel);
    if (!source) {
        return tl::unexpected(source.error());
    }
    return Recording{*tuning, *own, std::move(*source)};
}

Result<HornHeard> analyse(Recording& recording, practice::AnalysisSink& sink) {
    HornListener listener(sink);
    const auto analysed =
        practice::analyse(*recording.source, recording.tuning, listener, recording.own);
    if (!analysed) {
        return tl::unexpected(analysed.error());
    }
    return listener.heard;
}

void tell_horn(const HornHeard& heard, const horn::Tuning& tuning) {
    const std::string remark = words::horn_remark_to_type(heard.fit, tuning);
    if (!remark.empty()) {
        std::fprintf(stderr, "bellhand: %s\n", remark.c_str());
    }
}

void take_back_advice(std::vector<trainer::PlayedNote>& notes) {
    for (trainer::PlayedNote& note : notes) {
        note.heard.advice = {};
        note.heard.attack = {};
    }
}

Question question_of(const RecordingOptions& options, const Recording& recording) {
    Question question;
    question.tuning = recording.tuning;
    question.profile = options.profile;
    question.more = {{"file", options.file}};
    return question;
}

} // namespace bellhand::cli
