#include "cli/air_options.h"
#include "cli/answer.h"
#include "cli/bore_plot.h"
#include "cli/commands.h"
#include "core/cents.h"
#include "core/files.h"
#include "core/platform.h"
#include "horn/acoustics/bore_text.h"
#include "horn/acoustics/natural_horn.h"
#include "horn/hand_chart.h"

#include <cmath>
#include <cstdlib>
#include <iterator>
#include <memory>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

using horn::acoustics::Air;
using horn::acoustics::Bore;
using horn::acoustics::Complex;
using horn::acoustics::HandInBell;
using horn::acoustics::Line;
using horn::acoustics::Losses;
using horn::acoustics::OpenEnd;
using horn::acoustics::Resonance;

constexpr std::size_t kLargestBoreFile_bytes = 1'000'000;
constexpr int kCurvePoints = 4000;

struct BoreOptions {
    std::optional<std::string> file;
    TuningOptions tuning;
    std::string hand = "none";
    double hand_depth_mm = 100.0;
    AirOptions air;
    std::string end = "unflanged";
    bool fast = false;
    int resonances = 16;
    TableFormat format = TableFormat::table;
    std::optional<std::string> csv;
    std::optional<std::string> svg;
    std::optional<std::string> bore_out;
};

struct Setup {
    std::optional<horn::Tuning> tuning; ///< of the modelled horn; none for a bore from a file
    Bore empty;
    std::optional<HandInBell> hand;
    Air air;
    std::string title;
};

Result<std::optional<HandInBell>> read_hand(const BoreOptions& options) {
    if (options.hand == "none") {
        return std::optional<HandInBell>{};
    }
    HandInBell hand;
    if (const auto degree = horn::hand_of(options.hand)) {
        hand = horn::acoustics::hand_at(0.25 * static_cast<int>(*degree));
    } else {
        char* stop = nullptr;
        const double gap_mm = std::strtod(options.hand.c_str(), &stop);
        if (options.hand.empty() || *stop != '\0' || !(gap_mm >= 0.5 && gap_mm <= 200.0)) {
            return usage_error("--hand takes none, open, quarter, half, three-quarters, full, or "
                               "the radius of the gap from 0.5 to 200 mm; not \"" +
                               options.hand + "\".");
        }
        hand.gap_radius_m = 1e-3 * gap_mm;
    }
    hand.depth_m = 1e-3 * options.hand_depth_mm;
    return std::optional{hand};
}

OpenEnd end_of(const std::string& name) {
    if (name == "flanged") {
        return OpenEnd::flanged;
    }
    return name == "ideal" ? OpenEnd::ideal : OpenEnd::unflanged;
}

Result<Setup> settle(const BoreOptions& options) {
    Setup setup;
    setup.air = horn::acoustics::humid_air(air_state(options.air));
    const auto hand = read_hand(options);
    if (!hand) {
        return tl::unexpected(hand.error());
    }
    setup.hand = *hand;
    if (options.file) {
        const auto text = read_small_file(platform::path_of(*options.file), kLargestBoreFile_bytes);
        if (!text) {
            return tl::unexpected(text.error());
        }
        auto bore = horn::acoustics::parse_bore(*text, *options.file);
        if (!bore) {
            return tl::unexpected(bore.error());
        }
        setup.empty = std::move(*bore);
        setup.title = *options.file;
    } else {
        const auto tuning = resolve_tuning(options.tuning);
        if (!tuning) {
            return tl::unexpected(tuning.error());
        }
        const auto crook_m =
            horn::acoustics::crook_length_for_m({}, horn::fundamental_hz(*tuning), setup.air);
        if (!crook_m) {
            return tl::unexpected(crook_m.error());
        }
        setup.empty = horn::acoustics::horn_bore({}, *crook_m);
        setup.tuning = *tuning;
        setup.title =
            fmt::format("Modelled horn (invented bore) in {} at A4 = {:g} Hz, crook {:.3f} m",
                        tuning->crook.label,
                        tuning->a4_hz,
                        *crook_m);
    }
    setup.empty.end = end_of(options.end);
    setup.title += fmt::format(
        ", {:g} °C, {}",
        options.air.temperature_c,
        setup.hand ? fmt::format("hand with a gap of {:.1f} mm radius {:.0f} mm inside the rim",
                                 1e3 * setup.hand->gap_radius_m,
                                 1e3 * setup.hand->depth_m)
                   : std::string("bell empty"));
    return setup;
}

/// The bore with an open hand in playing position: what falls and f1 are counted from.
struct OpenHand {
    std::vector<Resonance> resonances;
    /// From which the usual tuning partials are off by zero on the mean; 0 when there are too few resonances.
    double f1_hz = 0.0;
};

OpenHand open_hand(const Setup& setup, double highest_hz, int most) {
    constexpr int kTuned = 12;
    const Line open(horn::acoustics::with_hand(setup.empty, horn::acoustics::hand_at(0.0)),
                    setup.air,
                    Losses::series);
    OpenHand out;
    out.resonances = horn::acoustics::resonances(open, {5.0, highest_hz, std::max(most, kTuned)});
    double log_sum = 0.0;
    int counted = 0;
    for (const std::size_t n : {4U, 5U, 6U, 8U, 9U, 10U, 12U}) {
        if (n <= out.resonances.size()) {
            log_sum += std::log2(out.resonances[n - 1].f_hz / static_cast<double>(n));
            ++counted;
        }
    }
    out.f1_hz = counted >= 3 ? std::exp2(log_sum / counted) : 0.0;
    return out;
}

std::string resonance_table(const Setup& setup,
                            const Line& line,
                            const std::vector<Resonance>& found,
                            const OpenHand& open,
                            const BoreOptions& options) {
    const double f1_hz = open.f1_hz;
    const bool table = options.format == TableFormat::table;
    std::vector<std::vector<std::string>> rows;
    for (std::size_t i = 0; i < found.size(); ++i) {
        const Resonance& peak = found[i];
        const auto n = static_cast<double>(i + 1);
        const double outside = std::abs(line.at(peak.f_hz).pressure_ratio_at_1m);
        rows.push_back(
            {std::to_string(i + 1),
             fmt::format("{:.3f}", peak.f_hz),
             f1_hz > 0.0 ? fmt::format("{:.1f}", cents_between(peak.f_hz, n * f1_hz)) : "",
             i < open.resonances.size()
                 ? fmt::format("{:.1f}", cents_between(peak.f_hz, open.resonances[i].f_hz))
                 : "",
             fmt::format("{:.2f}",
                         peak.magnitude_pa_s_m3 / line.characteristic_impedance_pa_s_m3()),
             fmt::format("{:.4g}", (table ? 1e-6 : 1.0) * peak.magnitude_pa_s_m3),
             fmt::format("{:.1f}", peak.q),
             fmt::format("{:.1f}", 20.0 * std::log10(outside)),
             setup.hand ? fmt::format("{:.2f}",
                                      horn::acoustics::gap_sensitivity_cents_per_mm(
                                          setup.empty, *setup.hand, peak.f_hz, setup.air))
                        : ""});
    }
    Question question;
    question.tuning = setup.tuning;
    question.temperature_c = options.air.temperature_c;
    question.more = {{"file", options.file ? Question::Value(*options.file) : Question::Value()},
                     {"hand", options.hand},
                     {"hand_depth_m", 1e-3 * options.hand_depth_mm},
                     {"relative_humidity", 0.01 * options.air.humidity_percent},
                     {"end", options.end},
                     {"f1_hz", f1_hz > 0.0 ? Question::Value(f1_hz) : Question::Value()},
                     {"tube_m", line.length_m()},
                     {"speed_of_sound_m_s", line.air().speed_m_s}};
    const std::string rows_text = answer_table("bore",
                                               question,
                                               {{"number", true},
                                                {"f_hz", true},
                                                {"from_n_f1_cents", true},
                                                {"from_open_cents", true},
                                                {"z_over_zc", true},
                                                {table ? "z_mpa_s_m3" : "z_pa_s_m3", true},
                                                {"q", true},
                                                {"outside_1m_db", true},
                                                {"gap_cents_per_mm", true}},
                                               rows,
                                               options.format);
    if (!table) {
        return rows_text;
    }
    std::string head = setup.title + "\n" +
                       fmt::format("Tube {:.3f} m, speed of sound {:.2f} m/s",
                                   line.length_m(),
                                   line.air().speed_m_s);
    if (f1_hz > 0.0) {
        head += fmt::format(
            ", f1 {:.3f} Hz (partials 4 to 12 with an open hand), effective length {:.3f} m",
            f1_hz,
            line.air().speed_m_s / (2.0 * f1_hz));
    }
    return head +
           "\nComputed resonances; a player's lips and hand move every note. from_open: against "
           "the hand "
           "in playing position.\n\n" +
           rows_text;
}

std::string curve_csv(const std::vector<BoreCurve>& curve) {
    std::string text = "f_hz,z_abs_pa_s_m3,z_phase_rad,z_real_pa_s_m3,z_imag_pa_s_m3,"
                       "rim_pressure_ratio,outside_1m_pressure_ratio\n";
    auto at = std::back_inserter(text);
    for (const BoreCurve& point : curve) {
        const Complex z = point.response.impedance_pa_s_m3;
        fmt::format_to(at,
                       "{:.4f},{:.6g},{:.6f},{:.6g},{:.6g},{:.6g},{:.6g}\n",
                       point.f_hz,
                       std::abs(z),
                       std::arg(z),
                       z.real(),
                       z.imag(),
                       std::abs(point.response.rim_pressure_ratio),
                       std::abs(point.response.pressure_ratio_at_1m));
    }
    return text;
}

Result<int> compute_bore(const BoreOptions& options) {
    const auto setup = settle(options);
    if (!setup) {
        return tl::unexpected(setup.error());
    }
    const Bore bore =
        setup->hand ? horn::acoustics::with_hand(setup->empty, *setup->hand) : setup->empty;
    const Line line(bore, setup->air, options.fast ? Losses::series : Losses::exact);
    // Peaks lie about c / 2L apart; twice that leaves room for any setup.
    const double highest_hz =
        (options.resonances + 2) * setup->air.speed_m_s / (2.0 * line.length_m());
    const auto found = horn::acoustics::resonances(line, {5.0, highest_hz, options.resonances});
    if (found.empty()) {
        return failure("This bore has no resonance up to " + fmt::format("{:.0f}", highest_hz) +
                       " Hz: check its lengths and diameters.");
    }
    const OpenHand open = open_hand(*setup, highest_hz, options.resonances);
    const std::string table = resonance_table(*setup, line, found, open, options);
    std::fwrite(table.data(), 1, table.size(), stdout);
    std::vector<BoreCurve> curve;
    if (options.csv || options.svg) {
        curve = bore_curve(line, 5.0, 1.06 * found.back().f_hz, kCurvePoints);
    }
    if (options.csv) {
        if (auto written =
                write_file_in_one_step(platform::path_of(*options.csv), curve_csv(curve));
            !written) {
            return tl::unexpected(written.error());
        }
    }
    if (options.svg) {
        const std::string drawing =
            impedance_svg(curve, found, line.characteristic_impedance_pa_s_m3(), setup->title);
        if (auto written = write_file_in_one_step(platform::path_of(*options.svg), drawing);
            !written) {
            return tl::unexpected(written.error());
        }
    }
    if (options.bore_out) {
        if (auto written = write_file_in_one_step(platform::path_of(*options.bore_out),
                                                  horn::acoustics::bore_text(bore));
            !written) {
            return tl::unexpected(written.error());
        }
    }
    return 0;
}

} // namespace

void add_bore(CommandLine& line) {
    auto options = std::make_shared<BoreOptions>();
    const OptionSet command =
        add_command(line,
                    "bore",
                    "Compute the resonances of a bore, with or without a hand in the bell",
                    [options] { return compute_bore(*options); });
    command.add_option(
        "FILE",
        options->file,
        "Bore table: lines of length_mm,start_diameter_mm,end_diameter_mm from mouthpiece "
        "to bell; without it the modelled horn on --crook at --a4");
    command
        .add_option(
            "--hand",
            options->hand,
            "Hand in the bell: none, open, quarter, half, three-quarters, full, or the radius of "
            "its gap in mm")
        .type_name("HAND|MM")
        .show_default();
    command
        .add_option("--hand-depth", options->hand_depth_mm, "Middle of the hand, mm inside the rim")
        .range(0.0, 500.0)
        .type_name("MM")
        .show_default();
    add_air_options(command, options->air);
    command.add_option("--end", options->end, "What the rim looks into")
        .one_of({"unflanged", "flanged", "ideal"})
        .show_default();
    command.add_option("--resonances", options->resonances, "How many")
        .range(1, 60)
        .type_name("N")
        .show_default();
    command.add_flag("--fast", options->fast, "Losses by series instead of Bessel functions");
    add_tuning_options(command, options->tuning);
    add_format_option(command, options->format);
    command.add_option("--csv", options->csv, "Write the impedance along the frequency axis here")
        .type_name("FILE");
    command.add_option("--svg", options->svg, "Draw the impedance here").type_name("FILE");
    command
        .add_option("--bore-out", options->bore_out, "Write the bore itself, hand included, here")
        .type_name("FILE");
}

} // namespace bellhand::cli
