#include "cli/answer.h"
#include "cli/horn_options.h"
#include "core/cents.h"
#include "instrument/lengths.h"

#include <cmath>
#include <cstdio>
#include <memory>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

struct CrooksOptions {
    HornOptions horn;
    std::optional<std::string> pieces;
    std::optional<double> slide_mm;
    TableFormat format = TableFormat::table;
};

using Rows = std::vector<std::vector<std::string>>;

/// The family: what a crook of each key asks for, and how long a coupler of a semitone or whole tone is on it.
void print_family(double a4_hz, const instrument::AirInHorn& air, TableFormat format) {
    const double speed = instrument::speed_of_sound_m_s(air);
    Rows rows;
    for (const horn::Crook& crook : horn::all_crooks()) {
        const double f1_hz = horn::fundamental_hz({crook, a4_hz, {}});
        const double acoustic_m = instrument::acoustic_length_m(f1_hz, speed);
        const auto coupler_mm = [&](int semitones) {
            return 1000.0 *
                   instrument::added_tube_m(f1_hz, f1_hz * std::exp2(-semitones / 12.0), speed);
        };
        rows.push_back({format == TableFormat::table ? crook.label : crook.id,
                        fmt::format("{}", crook.transposition),
                        crook.sounding_c4,
                        fmt::format("{:.3f}", f1_hz),
                        fmt::format("{:.3f}", acoustic_m),
                        fmt::format("{:.2f}", instrument::kHornTapeOverAcoustic * acoustic_m),
                        fmt::format("{:.0f}", coupler_mm(1)),
                        fmt::format("{:.0f}", coupler_mm(2))});
    }
    if (format == TableFormat::table) {
        fmt::print("Crooks at A4 = {:g} Hz, air in the horn {:g} °C: speed of sound {:.1f} m/s.\n"
                   "Couplers are acoustic lengths; real tube is 1 to 4 % shorter.\n\n",
                   a4_hz,
                   air.temperature_c,
                   speed);
    }
    Question question;
    question.a4_hz = a4_hz;
    question.temperature_c = air.temperature_c;
    std::fputs(answer_table("crooks",
                            question,
                            {{"crook"},
                             {"semitones", true},
                             {"written_c4"},
                             {"f1_hz", true},
                             {"acoustic_m", true},
                             {"tape_m", true},
                             {"semitone_mm", true},
                             {"tone_mm", true}},
                            rows,
                            format)
                   .c_str(),
               stdout);
}

/// The player's own: every crook bare and with each coupler or bit, for one piece is another interval on every crook.
void print_own(const LoadedHorn& horn, const CrooksOptions& options) {
    const TableFormat format = options.format;
    Rows rows;
    const auto add = [&](const instrument::Stack& stack, const std::string& piece, double bare_m) {
        const instrument::Assembly assembly = instrument::assemble(
            horn.lengths, stack, horn.lengths.slide.usual_pull_m, horn.a4_hz, horn.air);
        const instrument::NearKey& near = assembly.near_keys.front();
        rows.push_back(
            {stack.crook < 0 ? "body alone"
                             : horn.lengths.crooks[static_cast<std::size_t>(stack.crook)].name,
             piece,
             fmt::format("{:.3f}", assembly.f1_hz),
             fmt::format("{:.3f}", assembly.acoustic_m),
             piece.empty()
                 ? ""
                 : fmt::format("{:.0f}",
                               instrument::fall_cents(bare_m, assembly.acoustic_m - bare_m)),
             format == TableFormat::table ? near.key.label : near.key.id,
             cents_cell(near.cents, 0, format),
             near.pull_m ? fmt::format("{:.0f}", 1000.0 * *near.pull_m) : "",
             fmt::format("{:.0f}", 1000.0 * assembly.reach_m),
             fmt::format("{:.1f}", assembly.sd_cents)});
    };
    for (int crook = horn.lengths.plays_without_crook ? -1 : 0;
         crook < static_cast<int>(horn.lengths.crooks.size());
         ++crook) {
        const instrument::Stack bare{crook, 0};
        add(bare, "", 0.0);
        const double bare_m = instrument::pushed_in_m(horn.lengths, bare) +
                              horn.lengths.slide_adds_m(horn.lengths.slide.usual_pull_m);
        for (std::size_t i = 0; i < horn.lengths.between.size(); ++i) {
            const instrument::Stack with{crook, instrument::PieceSet{1} << i};
            if (instrument::fits(horn.lengths, with)) {
                add(with, horn.lengths.between[i].name, bare_m);
            }
        }
    }
    if (format == TableFormat::table) {
        fmt::print("{}: A4 = {:g} Hz, air in the horn {:g} °C, slide where it usually stands.\n"
                   "falls_cents: what the piece makes on that crook. slide_mm: pull that puts the "
                   "nearest key exactly there.\n\n",
                   horn.profile.name,
                   horn.a4_hz,
                   horn.air.temperature_c);
    }
    std::fputs(answer_table("own-crooks",
                            question_of(horn, options.horn),
                            {{"crook"},
                             {"piece"},
                             {"f1_hz", true},
                             {"acoustic_m", true},
                             {"falls_cents", true},
                             {"nearest"},
                             {"cents", true},
                             {"slide_mm", true},
                             {"reach_mm", true},
                             {"sd_cents", true}},
                            rows,
                            format)
                   .c_str(),
               stdout);
}

/// What one stack makes: its keys and its partials.
Result<int> print_stack(const LoadedHorn& horn, const CrooksOptions& options) {
    const auto stack = instrument::stack_of(horn.lengths, split_names(*options.pieces));
    if (!stack) {
        return tl::unexpected(Error{"--pieces: " + stack.error().message, ErrorKind::usage});
    }
    const double pull_m =
        options.slide_mm ? *options.slide_mm / 1000.0 : horn.lengths.slide.usual_pull_m;
    if (!(pull_m >= 0.0 && pull_m <= horn.lengths.slide.longest_pull_m)) {
        return usage_error(fmt::format("--slide: this slide can be pulled 0 to {:g} mm.",
                                       1000.0 * horn.lengths.slide.longest_pull_m));
    }
    const instrument::Assembly assembly =
        instrument::assemble(horn.lengths, *stack, pull_m, horn.a4_hz, horn.air);
    const bool table = options.format == TableFormat::table;
    Rows rows;
    for (int partial = 1; partial <= 24; ++partial) {
        const double hz = partial * assembly.f1_hz;
        const double from_a4 = cents_between(hz, horn.a4_hz);
        const int semitones = static_cast<int>(std::lround(from_a4 / 100.0));
        const horn::Note sounding = horn::usual_spelling(69 + semitones);
        rows.push_back({std::to_string(partial),
                        fmt::format("{:.2f}", hz),
                        table ? horn::display_name(sounding) : horn::ascii_name(sounding),
                        cents_cell(from_a4 - 100.0 * semitones, 0, options.format)});
    }
    if (table) {
        fmt::print("{}: slide {:.0f} mm out, A4 = {:g} Hz, air in the horn {:g} °C.\n"
                   "f1 {:.3f} Hz (± {:.1f} cents), acoustic length {:.3f} m, {} joints, reach "
                   "{:.0f} mm{}",
                   instrument::describe(horn.lengths, *stack),
                   1000.0 * pull_m,
                   horn.a4_hz,
                   horn.air.temperature_c,
                   assembly.f1_hz,
                   assembly.sd_cents,
                   assembly.acoustic_m,
                   assembly.joints,
                   1000.0 * assembly.reach_m,
                   assembly.reach_estimated ? " (estimate)" : "");
        if (assembly.load) {
            fmt::print(
                ", load {:.2f} kg, {:.2f} N m", assembly.load->mass_kg, assembly.load->moment_nm);
        }
        fmt::print(".\n");
        for (const instrument::NearKey& near : assembly.near_keys) {
            fmt::print("{} cents from {}: {}.\n",
                       cents_cell(near.cents, 0, TableFormat::table),
                       near.key.label,
                       near.pull_m ? fmt::format("exact with the slide {:.0f} mm out",
                                                 1000.0 * *near.pull_m)
                                   : "out of the slide's reach");
        }
        fmt::print("{}\n", assembly.caution.empty() ? "" : assembly.caution + "\n");
    }
    Question question = question_of(horn, options.horn);
    question.more = {{"pieces", instrument::describe(horn.lengths, *stack)}, {"slide_m", pull_m}};
    std::fputs(answer_table("stack",
                            question,
                            {{"partial", true}, {"hz", true}, {"sounding"}, {"cents", true}},
                            rows,
                            options.format)
                   .c_str(),
               stdout);
    return 0;
}

Result<int> show_crooks(const CrooksOptions& command) {
    const HornOptions& options = command.horn;
    const TableFormat format = command.format;
    if (command.pieces && !options.profile) {
        return usage_error("--pieces needs --profile: say whose pieces they are.");
    }
    if (options.profile) {
        const auto horn = load_horn(options);
        if (!horn) {
            return tl::unexpected(horn.error());
        }
        if (command.pieces) {
            return print_stack(*horn, command);
        }
        print_own(*horn, command);
        return 0;
    }
    const auto a4_hz = horn::checked_a4(options.a4_hz.value_or(440.0));
    if (!a4_hz) {
        return tl::unexpected(a4_hz.error());
    }
    const auto temperature_c = checked_temperature(options.temperature_c.value_or(20.0));
    if (!temperature_c) {
        return tl::unexpected(temperature_c.error());
    }
    print_family(*a4_hz, {*temperature_c, 0.5}, format);
    return 0;
}

} // namespace

void add_crooks(CommandLine& line) {
    auto options = std::make_shared<CrooksOptions>();
    const OptionSet command =
        add_command(line,
                    "crooks",
                    "Lengths and intervals of crooks and couplers; with --profile your own",
                    [options] { return show_crooks(*options); });
    add_horn_options(command, options->horn, false);
    command
        .add_option("--pieces",
                    options->pieces,
                    "What this plus that makes: names of your pieces with commas or plus signs")
        .type_name("NAMES");
    command.add_option("--slide", options->slide_mm, "How far the slide is out, with --pieces")
        .type_name("MM");
    add_format_option(command, options->format);
}

} // namespace bellhand::cli
