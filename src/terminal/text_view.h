#pragma once

#include "app/start_options.h"
#include "core/result.h"

namespace bellhand::terminal {

/// Practice in the terminal: a screen redrawn in place, or one line a note when output is no terminal. Runs until a
/// key, a signal, the end of the file or `options.stop_after_s` stops it; the session is then closed properly. Returns
/// the tuning last used. Errors: the input cannot be opened, or failed; notes that could not be saved.
[[nodiscard]] Result<horn::Tuning> run_text_view(const app::StartOptions& options);

} // namespace bellhand::terminal
