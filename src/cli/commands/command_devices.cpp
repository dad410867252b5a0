#include "audio/device.h"
#include "cli/answer.h"
#include "cli/commands.h"

#include <cstdio>

#include <fmt/format.h>

namespace bellhand::cli {

namespace {

Result<int> list(TableFormat format) {
    const auto devices = audio::list_devices();
    if (!devices) {
        return tl::unexpected(devices.error());
    }
    std::vector<std::vector<std::string>> rows;
    for (const audio::Device& device : *devices) {
        std::string usual = device.default_input ? "in" : "";
        if (device.default_output) {
            usual += usual.empty() ? "out" : "+out";
        }
        rows.push_back({std::to_string(device.index),
                        device.name,
                        device.host_api,
                        std::to_string(device.inputs),
                        std::to_string(device.outputs),
                        fmt::format("{:.0f}", device.default_rate_hz),
                        fmt::format("{:.1f}", 1000.0 * device.low_latency_s),
                        usual,
                        device.monitor ? "yes" : "no"});
    }
    std::fputs(answer_table("devices",
                            {},
                            {{"index", true},
                             {"name"},
                             {"host_api"},
                             {"inputs", true},
                             {"outputs", true},
                             {"rate_hz", true},
                             {"latency_ms", true},
                             {"default"},
                             {"monitor"}},
                            rows,
                            format)
                   .c_str(),
               stdout);
    return 0;
}

} // namespace

void add_devices(CommandLine& line) {
    auto format = std::make_shared<TableFormat>(TableFormat::table);
    const OptionSet command = add_command(
        line, "devices", "List sound inputs and outputs", [format] { return list(*format); });
    add_format_option(command, *format);
}

} // namespace bellhand::cli
