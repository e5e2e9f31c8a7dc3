#include "posix_file.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <utility>

namespace seamwright::app {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void fail(const fs::path& at) {
    throw FileFailure(std::error_code(errno, std::generic_category()), at);
}

class Descriptor {
  public:
    Descriptor(const fs::path& path, int flags) : path_(path), number_(::open(path.c_str(), flags, 0666)) {
        if (number_ < 0) fail(path);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (number_ >= 0) ::close(number_);
    }
    int number() const { return number_; }
    /// Some file systems tell only here that a write failed.
    void close() {
        if (::close(std::exchange(number_, -1)) != 0) fail(path_);
    }

  private:
    fs::path path_;
    int number_;
};

sigset_t stopping_signals() {
    sigset_t set;
    sigemptyset(&set);
    for (const int signal : {SIGINT, SIGHUP, SIGTERM}) sigaddset(&set, signal);
    return set;
}

}  // namespace

void write_new_file(const fs::path& path, std::string_view bytes) {
    Descriptor file(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC);
    while (!bytes.empty()) {
        const ssize_t written = ::write(file.number(), bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) fail(path);
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    // Not every file system can; then a name could outlive its bytes in a power cut, which no one can help here.
    if (::fsync(file.number()) != 0 && errno != EINVAL && errno != ENOTSUP) fail(path);
    file.close();
}

std::string read_file(const fs::path& path) {
    const Descriptor file(path, O_RDONLY | O_CLOEXEC);
    std::string bytes;
    std::array<char, 1U << 16U> block;
    while (true) {
        const ssize_t got = ::read(file.number(), block.data(), block.size());
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) fail(path);
        if (got == 0) return bytes;
        bytes.append(block.data(), static_cast<std::size_t>(got));
    }
}

void move_file(const fs::path& from, const fs::path& to) {
    if (::rename(from.c_str(), to.c_str()) != 0) fail(to);
}

fs::path make_private_folder(const fs::path& start) {
    std::string name = start.string() + "XXXXXX";
    if (::mkdtemp(name.data()) == nullptr) fail(start.parent_path());
    return name;
}

std::optional<FolderLock> FolderLock::take(const fs::path& folder) {
    const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor < 0) fail(folder);
    FolderLock lock(descriptor);
    if (::flock(descriptor, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) return {};
    return lock;
}

FolderLock::FolderLock(FolderLock&& other) noexcept : descriptor_(std::exchange(other.descriptor_, -1)) {}

FolderLock::~FolderLock() {
    if (descriptor_ >= 0) ::close(descriptor_);
}

SignalPause::SignalPause() {
    const sigset_t stopping = stopping_signals();
    pthread_sigmask(SIG_BLOCK, &stopping, &before_);
}

SignalPause::~SignalPause() {
    pthread_sigmask(SIG_SETMASK, &before_, nullptr);
}

}  // namespace seamwright::app
