#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace bellhand::desk {

/// One row of the browser.
struct FileRow {
    enum class Kind { recent, up, folder, file };
    Kind kind = Kind::file;
    std::filesystem::path path;
    std::string words; ///< its name; a folder's ends in a stroke
    std::string
        remark; ///< what it is, or of a recent file when it changed and the folder that it lies in
};

/// Folders and the files of our kinds in them, the recent ones first, narrowed by what is typed. A typed stroke leads into a
/// folder: "/", "~/" and names of folders in the one that is shown, so that a whole path can be typed or dropped in.
class FileBrowser {
public:
    /// Shows the folder, or the nearest one above it that is there. `recent`: newest first.
    void begin(const std::filesystem::path& folder, std::vector<std::filesystem::path> recent);
    void type(const std::string& utf8);
    /// Removes the last character; without any goes to the folder above.
    void back();
    /// Makes of what is typed as much as all rows have in common.
    void complete();
    /// Goes into the row's folder; false when it is no folder.
    [[nodiscard]] bool enter(std::size_t row);

    [[nodiscard]] const std::vector<FileRow>& rows() const noexcept { return rows_; }
    [[nodiscard]] const std::filesystem::path& folder() const noexcept { return folder_; }
    /// What is typed leads through a folder that is not there: nothing can be opened by it.
    [[nodiscard]] bool astray() const noexcept;
    /// What narrows the rows, without the folders typed before it.
    [[nodiscard]] const std::string& typed() const noexcept { return typed_; }
    /// Why the folder cannot be read; empty otherwise.
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }

private:
    void show(const std::filesystem::path& folder);
    void go(const std::filesystem::path& folder);
    void list();
    [[nodiscard]] bool fits(const std::string& name) const;

    std::filesystem::path folder_;
    std::vector<std::filesystem::path> recent_; ///< until a folder was gone into
    std::vector<FileRow> all_;                  ///< of the folder
    std::vector<FileRow> rows_;
    std::string typed_;
    std::string problem_;
};

} // namespace bellhand::desk
