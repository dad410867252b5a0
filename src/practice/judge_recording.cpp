#include "practice/judge_recording.h"

#include "practice/offline.h"

#include <utility>

namespace bellhand::practice {

namespace {

class Listener final : public AnalysisSink {
public:
    explicit Listener(drill::Runner& runner) : runner_(runner) {}

    void reading(const trainer::Reading& reading) override {
        runner_.hear(reading);
        collect();
    }
    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        if (note.heard.heard) {
            found.horns.push_back(note.heard.horn);
        }
        runner_.finished(note);
        collect();
    }
    void finish() {
        runner_.finish();
        collect();
    }

    JudgedRecording found;

private:
    void collect() {
        drill::Judgement judgement;
        while (runner_.next(judgement)) {
            if (judgement.part != part_) {
                part_ = judgement.part;
                tuning_ = runner_.where().tuning;
            }
            horn::Tuning on = tuning_;
            on.crook = drill::crook_of(runner_.exercise(), judgement.step, tuning_.crook);
            found.judgements.push_back(std::move(judgement));
            found.tunings.push_back(on);
        }
        for (drill::Remark remark; runner_.next(remark);) {
            found.remarks.push_back(remark);
        }
    }

    drill::Runner& runner_;
    std::uint32_t part_ = 0;
    horn::Tuning tuning_ = runner_.where().tuning;
};

} // namespace

Result<JudgedRecording> judge_recording(audio::Source& source,
                                        const drill::Exercise& exercise,
                                        const drill::RunSettings& settings,
                                        const std::optional<OwnHand>& own) {
    auto runner = drill::Runner::make(exercise, settings);
    if (!runner) {
        return tl::unexpected(runner.error());
    }
    Listener listener(*runner);
    const horn::Tuning first = runner->where().tuning;
    const auto follow_crook = [&](Analysis& analysis) {
        const horn::Tuning& wanted = runner->where().tuning;
        if (!(analysis.tuning() == wanted)) {
            analysis.set_tuning(wanted, listener);
        }
        analysis.expect(drill::expected_around(
            runner->asked(), runner->where().next, runner->where().quarter_s));
        return true;
    };
    const bool own_fits = own && first.crook == settings.tuning.crook;
    const auto analysed =
        analyse(source, first, listener, own_fits ? own : std::nullopt, follow_crook);
    if (!analysed) {
        return tl::unexpected(analysed.error());
    }
    listener.finish();
    listener.found.end = runner->where();
    return std::move(listener.found);
}

} // namespace bellhand::practice
