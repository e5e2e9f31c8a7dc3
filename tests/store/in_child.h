#pragma once

#include <sys/wait.h>
#include <unistd.h>

#include <exception>
#include <functional>
#include <stdexcept>
#include <string>

namespace seamwright::test {

/// What `work` gives, done in a process of its own, which may give up its rights or have a disk of its own. An
/// exception ends the work and is told as "failed: …".
inline std::string in_child(const std::function<std::string()>& work) {
    int ends[2];
    if (::pipe(ends) != 0) throw std::runtime_error("no pipe");
    const pid_t child = ::fork();
    if (child < 0) throw std::runtime_error("cannot fork");
    if (child == 0) {
        std::string told;
        try {
            told = work();
        } catch (const std::exception& why) {
            told = std::string("failed: ") + why.what();
        }
        const bool written = ::write(ends[1], told.data(), told.size()) == static_cast<ssize_t>(told.size());
        ::_exit(written ? 0 : 1);
    }
    ::close(ends[1]);
    std::string told;
    char bytes[4096];
    for (ssize_t got = 0; (got = ::read(ends[0], bytes, sizeof bytes)) > 0;) {
        told.append(bytes, static_cast<std::size_t>(got));
    }
    ::close(ends[0]);
    int status = 0;
    ::waitpid(child, &status, 0);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) told += " (the process died)";
    return told;
}

}  // namespace seamwright::test
