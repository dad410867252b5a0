// The program that the Start menu and a double click start: as gui/main.cpp, without a console. What it would say there
// stands in a box when it fails.
#include "cli/program.h"
#include "core/platform.h"
#include "gui/window.h"

#include <cstdio>
#include <fstream>
#include <iterator>
#include <string>

#define WIN32_LEAN_AND_MEAN
#include <windows.h>

int main(int argc, char** argv) {
    const std::filesystem::path said =
        std::filesystem::temp_directory_path() /
        bellhand::platform::path_of("bellhand-" +
                                    std::to_string(bellhand::platform::process_number()) + ".txt");
    std::FILE* kept = std::freopen(said.string().c_str(), "w", stderr);
    const int code = bellhand::cli::run(argc, argv, bellhand::gui::run_window);
    if (kept != nullptr) {
        std::fclose(kept);
        std::ifstream in(said, std::ios::binary);
        const std::string text{std::istreambuf_iterator<char>(in), {}};
        in.close();
        bellhand::platform::remove_file(said);
        if (code != 0 && !text.empty()) {
            const std::wstring wide = bellhand::platform::path_of(text).wstring();
            ::MessageBoxW(nullptr, wide.c_str(), L"Bellhand", MB_ICONINFORMATION | MB_OK);
        }
    }
    return code;
}
