#include "app/calibration_hearing.h"
#include "audio/device.h"
#include "audio/file.h"
#include "cli/air_options.h"
#include "cli/answer.h"
#include "cli/calibration_report.h"
#include "cli/commands.h"
#include "core/platform.h"
#include "hand/horn_fit.h"
#include "instrument/calibration/calibration_profile.h"
#include "words/horn.h"

#include <cmath>
#include <memory>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

using instrument::CalibrationQuestion;
using instrument::PlayedCalibration;
using instrument::PlayedPitch;

/// A crook plays within this of its nominal pitch, slide and temperature included.
constexpr double kCrookSd_cents = 60.0;

struct CalibrateOptions {
    std::vector<std::string> files;
    std::vector<std::string> closings;
    double listen_s = 0.0;
    double listen_closing_s = 0.0;
    std::string device;
    int channel = 0;
    TuningOptions tuning;
    AirOptions air;
    TableFormat format = TableFormat::table;
    std::optional<std::string> profile;
    std::vector<std::string> pieces;
    double slide_pull_mm = 0.0;
    bool as_named = false; ///< write although the notes do not fit the crook that was named
};

Result<void> check(const CalibrateOptions& options) {
    if (options.files.empty() && options.listen_s <= 0.0) {
        return usage_error("Give recordings of held open notes, or --listen SECONDS.");
    }
    if (options.profile && options.pieces.empty()) {
        return usage_error(
            "--profile needs --piece: name the crook (and couplers) that were played.");
    }
    if (!options.pieces.empty() && !options.profile) {
        return usage_error("--piece names pieces of a profile: give --profile FILE too.");
    }
    return {};
}

Result<app::Heard> hear_file(const std::string& file, const horn::Tuning& tuning, int channel) {
    auto source =
        audio::open_file(platform::path_of(file), audio::Pace::as_fast_as_possible, channel);
    if (!source) {
        return tl::unexpected(source.error());
    }
    return app::hear(**source, tuning);
}

/// Notes of all recordings. How much time lies between two recordings is not known, so each one's times count from its
/// own middle: drift is what happens inside them.
struct Performance {
    std::vector<PlayedPitch> notes;
    std::vector<std::string> places; ///< of each note, for people
};

void add_notes(const app::Heard& heard, const std::string& file, Performance& all) {
    for (PlayedPitch note : heard.notes) {
        all.places.push_back(
            fmt::format("{:.1f} s{}", note.time_s, file.empty() ? "" : " of " + file));
        note.time_s -= 0.5 * heard.ends_s;
        all.notes.push_back(note);
    }
}

Result<app::Heard> hear_device(const CalibrateOptions& options,
                               const horn::Tuning& tuning,
                               double seconds,
                               const char* what_to_play) {
    audio::DeviceChoice choice;
    choice.name = options.device;
    choice.channel = options.channel > 0 ? options.channel : 1;
    auto source = audio::open_device(choice);
    if (!source) {
        return tl::unexpected(source.error());
    }
    std::fprintf(
        stderr, "Listening for %.0f s: %s Rest when the lips tire.\n", seconds, what_to_play);
    return app::hear(**source, tuning, seconds);
}

constexpr const char* kPlayOpen =
    "hold open notes of three seconds each, hand in playing position, a breath between them.";
constexpr const char* kPlayClosing =
    "one note a breath: hold it open for a second, close to full stop over three, hold it stopped.";

double offset_of(const PlayedCalibration& open, int partial) {
    return partial >= 1 ? open.partials[static_cast<std::size_t>(partial - 1)].offset_cents : 0.0;
}

/// How surely the pitch of an open partial is known.
double sd_of(const PlayedCalibration& open, int partial) {
    return std::hypot(open.f1_sd_cents,
                      partial >= 1 ? open.partials[static_cast<std::size_t>(partial - 1)].sd_cents
                                   : 0.0);
}

void measure_closings(const app::Heard& heard,
                      const PlayedCalibration& open,
                      const std::string& file,
                      Closings& out) {
    for (const auto& breath : app::breaths(heard.readings)) {
        const int partial = app::first_partial(breath, open.f1_hz);
        const auto closing = instrument::measure_closing(
            breath, {partial, open.f1_hz, offset_of(open, partial - 1), sd_of(open, partial - 1)});
        if (closing) {
            out.measured.push_back(*closing);
        } else {
            out.refused.push_back(fmt::format(
                "{:.1f} s of {}: {}", breath.front().time_s, file, closing.error().message));
        }
    }
}

/// Adds the findings to the profile file; returns what the profile now says about other crooks.
Result<std::string> store(const CalibrateOptions& options,
                          const PlayedCalibration& open,
                          const Closings& closings,
                          const std::optional<horn::Tuning>& tuning) {
    auto profile = instrument::load_profile(platform::path_of(*options.profile));
    if (!profile) {
        return tl::unexpected(profile.error());
    }
    std::optional<horn::Crook> crook;
    if (tuning) {
        crook = tuning->crook;
    }
    const instrument::PlayedAssembly assembly{
        options.pieces, 1e-3 * options.slide_pull_mm, options.air.temperature_c, crook};
    if (!options.as_named) {
        if (auto played = instrument::check_it_was_played(*profile, assembly, open); !played) {
            return tl::unexpected(played.error());
        }
    }
    instrument::store_calibration(
        *profile, instrument::assembly_calibration(assembly, open, closings.measured));
    std::string text;
    const auto crooks = instrument::measured_crooks(*profile);
    if (!crooks.empty()) {
        if (const auto fit = instrument::fit_tube(crooks)) {
            if (const auto factor = instrument::fitted_tube_factor(*fit, crooks)) {
                profile->calibration->tube_factor = *factor;
            }
            text = prediction_text(*profile, *fit, options.air.temperature_c);
        }
    }
    // Read back before it replaces the file: a name that is no piece of this horn must not reach the disk.
    if (const auto again =
            instrument::parse_profile(instrument::profile_text(*profile), *options.profile);
        !again) {
        return usage_error(again.error().message);
    }
    if (auto saved = instrument::save_profile(*profile, platform::path_of(*options.profile));
        !saved) {
        return tl::unexpected(saved.error());
    }
    return text + "Written to " + *options.profile + ".\n";
}

Result<Performance> hear_notes(const CalibrateOptions& options, const horn::Tuning& tuning) {
    Performance played;
    if (options.files.empty()) {
        const auto heard = hear_device(options, tuning, options.listen_s, kPlayOpen);
        if (!heard) {
            return tl::unexpected(heard.error());
        }
        add_notes(*heard, "", played);
    }
    for (const std::string& file : options.files) {
        const auto heard = hear_file(file, tuning, options.channel);
        if (!heard) {
            return tl::unexpected(heard.error());
        }
        add_notes(*heard, options.files.size() > 1 ? file : "", played);
    }
    return played;
}

Result<Closings> hear_closings(const CalibrateOptions& options,
                               const horn::Tuning& tuning,
                               const PlayedCalibration& open) {
    Closings closings;
    for (const std::string& file : options.closings) {
        const auto heard = hear_file(file, tuning, options.channel);
        if (!heard) {
            return tl::unexpected(heard.error());
        }
        measure_closings(*heard, open, file, closings);
    }
    if (options.listen_closing_s > 0.0) {
        const auto heard = hear_device(options, tuning, options.listen_closing_s, kPlayClosing);
        if (!heard) {
            return tl::unexpected(heard.error());
        }
        measure_closings(*heard, open, "listening", closings);
    }
    return closings;
}

/// What the notes say of the crook that was named.
hand::HornFit fit_of(const std::vector<PlayedPitch>& notes, const horn::Tuning& tuning) {
    hand::HornFinder finder;
    finder.set_horn(horn::fundamental_hz(tuning));
    for (const PlayedPitch& note : notes) {
        finder.add({note.f0_hz});
    }
    return finder.fit();
}

Result<PlayedCalibration> find_horn(const CalibrateOptions& options,
                                    const std::vector<PlayedPitch>& notes,
                                    const std::optional<double>& expected_f1_hz) {
    CalibrationQuestion question;
    question.air = air_state(options.air);
    if (expected_f1_hz) {
        question.expected_f1_hz = *expected_f1_hz;
        question.expected_sd_cents = kCrookSd_cents;
    }
    return instrument::calibrate_open_notes(notes, question);
}

void print_findings(const CalibrateOptions& options,
                    const Performance& played,
                    const PlayedCalibration& open,
                    const Closings& closings,
                    const std::optional<horn::Tuning>& tuning,
                    const std::string& stored) {
    std::optional<double> a4_hz;
    if (tuning) {
        a4_hz = instrument::suiting_a4_hz(open.f1_hz, tuning->crook);
    }
    std::string text;
    if (options.format == TableFormat::table) {
        text = calibration_text(
            open, played.notes, played.places, closings, tuning, options.air.temperature_c);
    }
    Question question;
    question.tuning = tuning;
    question.temperature_c = options.air.temperature_c;
    question.profile = options.profile;
    text += answer_table(
        "calibration",
        question,
        {{"what"}, {"partial", true}, {"value", true}, {"sd_cents", true}, {"notes", true}},
        finding_rows(open, closings, a4_hz),
        options.format);
    if (options.format == TableFormat::table && !stored.empty()) {
        text += "\n" + stored;
    }
    std::fwrite(text.data(), 1, text.size(), stdout);
}

Result<int> calibrate(const CalibrateOptions& options) {
    if (auto checked = check(options); !checked) {
        return tl::unexpected(checked.error());
    }
    const auto resolved = resolve_tuning(options.tuning);
    if (!resolved) {
        return tl::unexpected(resolved.error());
    }
    std::optional<horn::Tuning> tuning; // only a crook that was named narrows the search
    if (options.tuning.crook) {
        tuning = *resolved;
    }
    const auto played = hear_notes(options, *resolved);
    if (!played) {
        return tl::unexpected(played.error());
    }
    std::optional<double> expected_f1_hz;
    hand::HornFit fit;
    if (tuning) {
        fit = fit_of(played->notes, *tuning);
        expected_f1_hz = fit.verdict == hand::HornVerdict::other ? fit.best.f1_hz
                                                                 : horn::fundamental_hz(*tuning);
    }
    const auto open = find_horn(options, played->notes, expected_f1_hz);
    if (!open) {
        return tl::unexpected(open.error());
    }
    const bool doubted = fit.doubted() && !options.as_named;
    if (doubted) {
        tuning.reset(); // what was named says nothing of this tube
        std::fprintf(stderr, "bellhand: %s\n", words::horn_remark_to_type(fit, *resolved).c_str());
    }
    const auto closings = hear_closings(options, *resolved, *open);
    if (!closings) {
        return tl::unexpected(closings.error());
    }
    Result<std::string> stored = std::string();
    if (options.profile && !doubted) {
        stored = store(options, *open, *closings, tuning);
    }
    if (!stored) {
        return tl::unexpected(stored.error());
    }
    print_findings(options, *played, *open, *closings, tuning, *stored);
    if (options.profile && doubted) {
        return failure("Nothing was written to " + *options.profile +
                       ": name the crook that was played, or give --as-named to keep these figures "
                       "under the one that was named.");
    }
    return 0;
}

} // namespace

void add_calibrate(CommandLine& line) {
    auto options = std::make_shared<CalibrateOptions>();
    const OptionSet command =
        add_command(line,
                    "calibrate",
                    "Find what your own horn plays from held open notes and slow closings",
                    [options] { return calibrate(*options); });
    command.add_option(
        "FILE",
        options->files,
        "Recordings of held open notes, any partials in any order, hand in playing position");
    command
        .add_option(
            "--closing",
            options->closings,
            "Recording of notes played open and closed slowly to full stop, one breath each")
        .type_name("FILE");
    command.add_option("--listen", options->listen_s, "Listen to the microphone instead of files")
        .range(1.0, 3600.0)
        .type_name("SECONDS");
    command
        .add_option(
            "--listen-closing", options->listen_closing_s, "Then listen to slow closings as well")
        .range(1.0, 3600.0)
        .type_name("SECONDS");
    command.add_option("--device", options->device, "Input for --listen: name or part of it")
        .type_name("NAME");
    add_channel_option(command, options->channel);
    add_tuning_options(command, options->tuning);
    add_air_options(command, options->air);
    add_format_option(command, options->format);
    command.add_option("--profile", options->profile, "Add what was found to this horn profile")
        .type_name("FILE");
    command
        .add_option("--piece",
                    options->pieces,
                    "Piece of the profile that was on the horn, crook first; again for each")
        .type_name("NAME");
    command.add_option("--slide-pull", options->slide_pull_mm, "How far the tuning slide was out")
        .range(0.0, 300.0)
        .type_name("MM")
        .show_default();
    command.add_flag(
        "--as-named",
        options->as_named,
        "Write under the crook that was named, although another one fits the notes better");
}

} // namespace bellhand::cli
