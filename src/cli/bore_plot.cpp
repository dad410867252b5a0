#include "cli/bore_plot.h"

#include "report/text.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

constexpr double kWidth = 960.0;
constexpr double kHeight = 480.0;
constexpr double kLeft = 60.0;
constexpr double kRight = 20.0;
constexpr double kTop = 50.0;
constexpr double kBottom = 50.0;

/// 1, 2 or 5 times a power of ten, so that about `lines` of them fill the span.
double round_step(double span, int lines) {
    const double raw = span / lines;
    const double power = std::pow(10.0, std::floor(std::log10(raw)));
    for (const double factor : {1.0, 2.0, 5.0}) {
        if (raw <= factor * power) {
            return factor * power;
        }
    }
    return 10.0 * power;
}

} // namespace

std::vector<BoreCurve>
bore_curve(const horn::acoustics::Line& line, double lowest_hz, double highest_hz, int points) {
    std::vector<BoreCurve> curve;
    curve.reserve(static_cast<std::size_t>(points));
    for (int i = 0; i < points; ++i) {
        const double f_hz = lowest_hz + (highest_hz - lowest_hz) * i / (points - 1);
        curve.push_back({f_hz, line.at(f_hz)});
    }
    return curve;
}

std::string impedance_svg(const std::vector<BoreCurve>& curve,
                          const std::vector<horn::acoustics::Resonance>& peaks,
                          double characteristic_pa_s_m3,
                          const std::string& title) {
    double top = 1.0;
    for (const BoreCurve& point : curve) {
        top = std::max(top, std::abs(point.response.impedance_pa_s_m3) / characteristic_pa_s_m3);
    }
    for (const auto& peak : peaks) {
        top = std::max(top, peak.magnitude_pa_s_m3 / characteristic_pa_s_m3);
    }
    top *= 1.08;
    const double low_hz = curve.front().f_hz;
    const double high_hz = curve.back().f_hz;
    const auto x_of = [&](double f_hz) {
        return kLeft + (f_hz - low_hz) / (high_hz - low_hz) * (kWidth - kLeft - kRight);
    };
    const auto y_of = [&](double value) {
        return kHeight - kBottom - value / top * (kHeight - kTop - kBottom);
    };
    std::string svg = fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0:.0f} {1:.0f}\" "
        "width=\"{0:.0f}\" height=\"{1:.0f}\" font-family=\"sans-serif\" font-size=\"12\">\n"
        "<rect width=\"100%\" height=\"100%\" fill=\"white\"/>\n"
        "<text x=\"{2:.0f}\" y=\"28\" font-size=\"16\">{3}</text>\n",
        kWidth,
        kHeight,
        kLeft,
        report::escaped(title));
    auto at = std::back_inserter(svg);
    const double step_hz = round_step(high_hz - low_hz, 10);
    const auto last_line = static_cast<int>(high_hz / step_hz);
    for (auto i = static_cast<int>(std::ceil(low_hz / step_hz)); i <= last_line; ++i) {
        const double f = i * step_hz;
        fmt::format_to(at,
                       "<path d=\"M{0:.1f} {1:.1f}V{2:.1f}\" stroke=\"#ccc\"/>"
                       "<text x=\"{0:.1f}\" y=\"{3:.1f}\" text-anchor=\"middle\">{4:g}</text>\n",
                       x_of(f),
                       kTop,
                       kHeight - kBottom,
                       kHeight - kBottom + 18,
                       f);
    }
    const double step = round_step(top, 6);
    for (int i = 0; i <= static_cast<int>(top / step); ++i) {
        const double value = i * step;
        fmt::format_to(at,
                       "<path d=\"M{0:.1f} {1:.1f}H{2:.1f}\" stroke=\"#ccc\"/>"
                       "<text x=\"{3:.1f}\" y=\"{4:.1f}\" text-anchor=\"end\">{5:g}</text>\n",
                       kLeft,
                       y_of(value),
                       kWidth - kRight,
                       kLeft - 6,
                       y_of(value) + 4,
                       value);
    }
    fmt::format_to(at,
                   "<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">frequency in Hz</text>\n"
                   "<text x=\"16\" y=\"{:.1f}\" transform=\"rotate(-90 16 {:.1f})\" "
                   "text-anchor=\"middle\">|Z| over ρc/S</text>\n<polyline fill=\"none\" "
                   "stroke=\"black\" stroke-width=\"1.4\" points=\"",
                   kLeft + 0.5 * (kWidth - kLeft - kRight),
                   kHeight - 10,
                   0.5 * kHeight,
                   0.5 * kHeight);
    for (const BoreCurve& point : curve) {
        fmt::format_to(at,
                       "{:.2f},{:.2f} ",
                       x_of(point.f_hz),
                       y_of(std::abs(point.response.impedance_pa_s_m3) / characteristic_pa_s_m3));
    }
    svg += "\"/>\n";
    for (std::size_t i = 0; i < peaks.size(); ++i) {
        if (peaks[i].f_hz >= low_hz && peaks[i].f_hz <= high_hz) {
            fmt::format_to(at,
                           "<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">{}</text>\n",
                           x_of(peaks[i].f_hz),
                           y_of(peaks[i].magnitude_pa_s_m3 / characteristic_pa_s_m3) - 6,
                           i + 1);
        }
    }
    svg += "</svg>\n";
    return svg;
}

} // namespace bellhand::cli
