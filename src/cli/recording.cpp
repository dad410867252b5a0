#include "cli/recording.h"

#include "audio/file.h"
#include "cli/hand_rows.h"
#include "practice/offline.h"

namespace bellhand::cli {

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
    auto source = audio::open_file(options.file, audio::Pace::as_fast_as_possible, options.channel);
    if (!source) {
        return tl::unexpected(source.error());
    }
    return Recording{*tuning, *own, std::move(*source)};
}

Result<void> analyse(Recording& recording, practice::AnalysisSink& sink) {
    const auto analysed =
        practice::analyse(*recording.source, recording.tuning, sink, recording.own);
    if (!analysed) {
        return tl::unexpected(analysed.error());
    }
    return {};
}

Question question_of(const RecordingOptions& options, const Recording& recording) {
    Question question;
    question.tuning = recording.tuning;
    question.profile = options.profile;
    question.more = {{"file", options.file}};
    return question;
}

} // namespace bellhand::cli
