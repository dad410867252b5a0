#pragma once

#include "desk/model/file_browser.h"
#include "desk/model/file_preview.h"
#include "desk/sheets/sheet.h"

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

namespace bellhand::desk {

/// Chooses a file among the recent ones and those in folders, by moving and by typing.
class FilesSheet : public SheetPage {
public:
    /// The folder shown when no file was opened before, and the file where their list is kept (empty: only until the end).
    FilesSheet(std::filesystem::path folder, std::filesystem::path list);
    /// The file was opened: it stands first from now on.
    void remember(const std::filesystem::path& file);
    [[nodiscard]] const std::vector<std::filesystem::path>& recent() const noexcept {
        return recent_;
    }
    /// What is typed as soon as the sheet opens.
    void begin_with(std::string typed) { first_ = std::move(typed); }

    void enter() override;
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] bool writing() const override { return true; }
    void write(const Press& press) override;
    [[nodiscard]] int rows() const override { return static_cast<int>(browser_.rows().size()); }
    void accept() override;

    [[nodiscard]] const FileBrowser& browser() const noexcept { return browser_; }
    /// What the chosen row is; looked at when the choice comes to it.
    [[nodiscard]] const FilePreview& preview();

    static constexpr std::size_t kRecent = 8;

private:
    FileBrowser browser_;
    std::filesystem::path folder_;
    std::filesystem::path list_;
    std::vector<std::filesystem::path> recent_;
    std::string first_;
    std::filesystem::path previewed_;
    FilePreview preview_;
};

} // namespace bellhand::desk
