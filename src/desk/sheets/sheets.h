#pragma once

#include "desk/sheets/exercises_sheet.h"
#include "desk/sheets/files_sheet.h"
#include "desk/sheets/input_sheet.h"
#include "desk/sheets/sound_sheet.h"
#include "desk/sheets/start_sheet.h"
#include "desk/sheets/tuning_sheets.h"

namespace bellhand::desk {

/// Every sheet there is.
struct Sheets {
    Sheets(Session& session,
           Shelf& shelf,
           const std::filesystem::path& documents,
           const std::filesystem::path& recent_files)
        : files(documents, recent_files),
          input(session, files),
          crook(session),
          pitch(session),
          temperament(session),
          exercises(shelf, session),
          sound(session),
          start(session) {}

    FilesSheet files;
    InputSheet input;
    CrookSheet crook;
    PitchSheet pitch;
    TemperamentSheet temperament;
    ExercisesSheet exercises;
    SoundSheet sound;
    StartSheet start;
    ReadingSheet reading; ///< help, about and figures

    /// Null for none.
    [[nodiscard]] SheetPage* at(Sheet sheet) noexcept {
        switch (sheet) {
        case Sheet::none:
            return nullptr;
        case Sheet::input:
            return &input;
        case Sheet::crook:
            return &crook;
        case Sheet::pitch:
            return &pitch;
        case Sheet::temperament:
            return &temperament;
        case Sheet::exercises:
            return &exercises;
        case Sheet::files:
            return &files;
        case Sheet::start:
            return &start;
        case Sheet::sound:
            return &sound;
        case Sheet::help:
        case Sheet::about:
        case Sheet::figures:
            break;
        }
        return &reading;
    }
};

} // namespace bellhand::desk
