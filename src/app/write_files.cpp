#include "app/write_files.h"

#include <fmt/format.h>

#include <set>
#include <stdexcept>
#include <system_error>

#include "app/exchange.h"
#include "file_list.h"
#include "posix_file.h"

namespace seamwright::app {
namespace {

namespace fs = std::filesystem;

/// Work in progress lies in a folder of this name inside the target folder.
constexpr std::string_view unfinished = ".seamwright-unfinished-";

FileRefusal refusal(const fs::path& folder, const FileFailure& failure) {
    // The maker does not know our folders of work in progress.
    const bool passing = failure.at().string().find(unfinished) != std::string::npos;
    const fs::path at = passing ? failure.at().filename() : failure.at();
    return {fmt::format("The papers cannot be written into {}: {} ({}). Nothing was changed there.", folder.string(),
                        failure.code().message(), at.string()),
            "Name another folder after -o, or make room and see that you may write there."};
}

FileList list_of(const std::vector<OutputFile>& files) {
    FileList list;
    for (const auto& file : files) list.add(file.name, sha256(file.bytes));
    return list;
}

void require_plain_unique_names(const std::vector<OutputFile>& files) {
    std::set<std::string> names = {list_name};
    for (const auto& file : files) {
        if (!plain_file_name(file.name) || !names.insert(file.name).second) {
            throw std::invalid_argument("output file name not plain or used twice: " + file.name);
        }
    }
}

/// Removed with all it holds, unless kept.
class TemporaryFolder {
  public:
    explicit TemporaryFolder(fs::path path) : path_(std::move(path)) {}
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    ~TemporaryFolder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    const fs::path& path() const { return path_; }

  private:
    fs::path path_;
};

/// Makes a folder and those above it; takes back what it made unless kept.
class NewFolders {
  public:
    explicit NewFolders(const fs::path& folder) {
        std::vector<fs::path> missing;
        for (fs::path at = folder; !at.empty() && !fs::exists(at); at = at.parent_path()) missing.push_back(at);
        for (auto at = missing.rbegin(); at != missing.rend(); ++at) {
            std::error_code failed;
            if (fs::create_directory(*at, failed)) made_.push_back(*at);
            if (failed) {
                take_back();
                throw FileFailure(failed, *at);
            }
        }
    }
    NewFolders(const NewFolders&) = delete;
    NewFolders& operator=(const NewFolders&) = delete;
    ~NewFolders() { take_back(); }
    void keep() { made_.clear(); }

  private:
    // Only empty ones: another program may have put something there meanwhile.
    void take_back() noexcept {
        std::error_code ignored;
        for (auto at = made_.rbegin(); at != made_.rend(); ++at) fs::remove(*at, ignored);
        made_.clear();
    }
    std::vector<fs::path> made_;
};

void write_new_folder(const fs::path& folder, const std::vector<OutputFile>& files) {
    NewFolders parents(folder.parent_path());
    const TemporaryFolder beside(make_private_folder(folder.parent_path() / unfinished));
    const fs::path whole = beside.path() / "whole";
    std::error_code failed;
    if (!fs::create_directory(whole, failed)) throw FileFailure(failed, whole);
    for (const auto& file : files) write_new_file(whole / file.name, file.bytes);
    write_new_file(whole / list_name, list_of(files).text());
    move_file(whole, folder);
    parents.keep();
}

void remove_leftovers(const fs::path& folder) {
    std::vector<fs::path> leftovers;
    for (const auto& entry : fs::directory_iterator(folder)) {
        if (entry.path().filename().string().starts_with(unfinished)) leftovers.push_back(entry.path());
    }
    for (const auto& leftover : leftovers) fs::remove_all(leftover);
}

bool is_own(const fs::path& folder, const std::string& name, const FileList& known) {
    const fs::path path = folder / name;
    return fs::is_regular_file(fs::symlink_status(path)) && known.has(name, sha256(read_file(path)));
}

FileRefusal in_the_way(const fs::path& folder, const std::string& name, const std::string& why) {
    return {fmt::format("In {} there is a file {} that {}. Nothing was changed there.", folder.string(), name, why),
            "Move that file away, or name another folder after -o."};
}

std::optional<FileRefusal> replace_in_folder(const fs::path& folder, const std::vector<OutputFile>& files) {
    const auto lock = FolderLock::take(folder);
    if (!lock) {
        return FileRefusal{fmt::format("Another run of this program is writing into {}.", folder.string()),
                           "Wait until it has finished."};
    }
    remove_leftovers(folder);

    FileList known;
    if (fs::exists(fs::symlink_status(folder / list_name))) {
        const bool ordinary = fs::is_regular_file(fs::symlink_status(folder / list_name));
        const auto list = ordinary ? FileList::read(read_file(folder / list_name)) : std::nullopt;
        if (!list) return in_the_way(folder, list_name, "is not the list this program keeps");
        known = *list;
    }
    const FileList wanted = list_of(files);
    FileList own_or_wanted = known;
    own_or_wanted.add(wanted);
    for (const auto& file : files) {
        if (!fs::exists(fs::symlink_status(folder / file.name)) || is_own(folder, file.name, own_or_wanted)) continue;
        return in_the_way(folder, file.name,
                          known.names().contains(file.name) ? "was changed after this program wrote it"
                                                            : "this program did not write");
    }

    const TemporaryFolder inside(make_private_folder(folder / unfinished));
    const fs::path new_files = inside.path() / "new";
    const fs::path old_files = inside.path() / "old";
    for (const auto& path : {new_files, old_files}) fs::create_directory(path);
    for (const auto& file : files) write_new_file(new_files / file.name, file.bytes);
    const fs::path list_between = inside.path() / "list-between";
    const fs::path list_after = inside.path() / "list-after";
    write_new_file(list_between, own_or_wanted.text());
    write_new_file(list_after, wanted.text());

    Exchange exchange(folder, old_files);
    exchange.place(list_between, list_name);
    for (const auto& file : files) exchange.place(new_files / file.name, file.name);
    for (const auto& name : known.names()) {
        if (!wanted.names().contains(name) && is_own(folder, name, known)) exchange.remove(name);
    }
    exchange.place(list_after, list_name);
    exchange.keep();
    return {};
}

}  // namespace

std::optional<FileRefusal> write_files(const fs::path& asked, const std::vector<OutputFile>& files) {
    require_plain_unique_names(files);
    if (asked.empty()) return FileRefusal{"The name of the folder is empty.", "Name a folder after -o."};
    const SignalPause pause;
    try {
        fs::path folder = fs::absolute(asked).lexically_normal();
        if (!folder.has_filename()) folder = folder.parent_path();
        const auto status = fs::status(folder);
        if (fs::is_directory(status)) return replace_in_folder(folder, files);
        if (fs::exists(fs::symlink_status(folder))) {
            return FileRefusal{fmt::format("{} is not a folder.", asked.string()), "Name another folder after -o."};
        }
        write_new_folder(folder, files);
        return {};
    } catch (const FileFailure& failure) {
        return refusal(asked, failure);
    } catch (const fs::filesystem_error& failure) {
        return refusal(asked, FileFailure(failure.code(), failure.path1()));
    }
}

std::optional<FileRefusal> write_file(const fs::path& file, const std::string& bytes) {
    const fs::path place = fs::absolute(file);
    fs::path folder;
    std::error_code ignored;
    try {
        folder = make_private_folder(place.parent_path() / ".seamwright-");
        write_new_file(folder / "new", bytes);
        move_file(folder / "new", place);
    } catch (const FileFailure& failed) {
        if (!folder.empty()) fs::remove_all(folder, ignored);
        return FileRefusal{fmt::format("{} cannot be written: {}.", file.string(), failed.code().message()),
                           "Name another file, or make room."};
    }
    fs::remove_all(folder, ignored);
    return std::nullopt;
}

}  // namespace seamwright::app
