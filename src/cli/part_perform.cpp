#include "cli/part_perform.h"

#include "app/settings.h"
#include "audio/file.h"
#include "cli/drill_rows.h"
#include "core/platform.h"
#include "drill/part_results.h"

#include <cstdio>

namespace bellhand::cli {

namespace {

constexpr std::size_t kWorstBars = 4;

} // namespace

Result<void> perform_part(const part::Part& part,
                          const part::Plan& plan,
                          const part::PlanSettings& settings,
                          drill::PartBars bars,
                          const std::string& recording) {
    const auto made = drill::exercise_of_part(part, plan, bars.first, bars.last);
    if (!made) {
        return tl::unexpected(made.error());
    }
    drill::RunSettings run;
    run.tuning = {made->crook, settings.a4_hz, settings.temperament, settings.footing};
    run.repeat_missed = 0; // nobody was there to ask for it
    run.tolerances.pitch_factor =
        app::load_settings(app::settings_path()).value_or(app::Settings{}).tolerance_factor;
    if (settings.response) {
        run.hand = [response = settings.response](const horn::Tuning& asked) {
            return std::optional(response(asked));
        };
    }
    auto source =
        audio::open_file(platform::path_of(recording), audio::Pace::as_fast_as_possible, 0);
    if (!source) {
        return tl::unexpected(source.error());
    }
    const auto judged = practice::judge_recording(**source, made->exercise, run);
    if (!judged) {
        return tl::unexpected(judged.error());
    }
    std::vector<Column> columns = judgement_columns();
    columns.insert(columns.begin(), {"bar"});
    std::vector<std::vector<std::string>> rows;
    drill::BarResults results;
    for (std::size_t i = 0; i < judged->judgements.size(); ++i) {
        const drill::Judgement& judgement = judged->judgements[i];
        rows.push_back(judgement_row(made->exercise, judgement, judged->tunings[i]));
        drill::add_result(results, part, *made, judgement);
        const part::Attack& attack = part.attacks[made->attack_of[judgement.step]];
        rows.back().insert(rows.back().begin(),
                           part.music.bars[static_cast<std::size_t>(attack.at.bar)].number);
    }
    std::fputs(format_table(columns, rows, PlainFormat::aligned).c_str(), stdout);
    std::printf("%s\n", summary_of(made->exercise, *judged).c_str());
    for (const drill::BarResult& bar : drill::worst_bars(results, kWorstBars)) {
        std::printf("Bar %s: %d of %d notes went wrong.\n",
                    part.music.bars[static_cast<std::size_t>(bar.bar)].number.c_str(),
                    bar.faulty,
                    bar.judged);
    }
    return {};
}

} // namespace bellhand::cli
