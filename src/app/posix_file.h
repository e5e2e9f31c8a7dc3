#pragma once

#include <csignal>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <system_error>

namespace seamwright::app {

/// What the system refused: at which file, and why.
class FileFailure : public std::system_error {
  public:
    FileFailure(std::error_code code, std::filesystem::path at) : std::system_error(code), at_(std::move(at)) {}
    const std::filesystem::path& at() const { return at_; }

  private:
    std::filesystem::path at_;
};

/// Makes a new file and sees its bytes safely to the disk. Throws FileFailure.
void write_new_file(const std::filesystem::path& path, std::string_view bytes);
/// All bytes of a file. Throws FileFailure.
std::string read_file(const std::filesystem::path& path);
/// Throws FileFailure. Replaces what is there.
void move_file(const std::filesystem::path& from, const std::filesystem::path& to);
/// A new empty folder for the owner alone, its name beginning with `start`. Throws FileFailure.
std::filesystem::path make_private_folder(const std::filesystem::path& start);

/// Holds a folder for itself as long as it lives.
class FolderLock {
  public:
    /// nullopt when another process holds it. Where the file system knows no locks, goes on without. Throws FileFailure
    /// when the folder cannot be opened.
    static std::optional<FolderLock> take(const std::filesystem::path& folder);
    FolderLock(FolderLock&& other) noexcept;
    FolderLock& operator=(FolderLock&&) = delete;
    FolderLock(const FolderLock&) = delete;
    FolderLock& operator=(const FolderLock&) = delete;
    ~FolderLock();

  private:
    explicit FolderLock(int descriptor) : descriptor_(descriptor) {}
    int descriptor_ = -1;
};

/// Puts off interrupt, hang-up and termination while it lives, so that files are not left half replaced.
class SignalPause {
  public:
    SignalPause();
    SignalPause(const SignalPause&) = delete;
    SignalPause& operator=(const SignalPause&) = delete;
    ~SignalPause();

  private:
    sigset_t before_{};
};

}  // namespace seamwright::app
