#include "cli/program.h"
#include "gui/window.h"

int main(int argc, char** argv) {
    return bellhand::cli::run(argc, argv, bellhand::gui::run_window);
}
