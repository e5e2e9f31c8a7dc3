#pragma once

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include "temporary_folder.h"

namespace seamwright::test {

struct Ran {
    int exit = -1;  ///< exit status; 128 + signal when a signal ended it
    std::string out, err;
};

/// A run that takes longer has hung.
inline constexpr std::chrono::seconds longest_run{120};

/// Runs the real program in `folder`, as a maker would, with `input` as its standard input.
inline Ran run_program(const fs::path& folder, const std::vector<std::string>& arguments, std::string_view input = {}) {
    const TemporaryFolder streams;
    put(streams / "in", input);
    std::vector<std::string> words = {SEAMWRIGHT_PROGRAM};
    words.insert(words.end(), arguments.begin(), arguments.end());
    std::vector<char*> argv;
    for (auto& word : words) argv.push_back(word.data());
    argv.push_back(nullptr);
    const std::string in = streams / "in", out = streams / "out", err = streams / "err";
    const std::string home = folder;

    const pid_t child = ::fork();
    if (child < 0) throw std::runtime_error("cannot fork");
    if (child == 0) {
        const int streams_of_child[] = {::open(in.c_str(), O_RDONLY), ::open(out.c_str(), O_WRONLY | O_CREAT, 0600),
                                        ::open(err.c_str(), O_WRONLY | O_CREAT, 0600)};
        for (int i = 0; i < 3; ++i) ::dup2(streams_of_child[i], i);
        if (::chdir(home.c_str()) == 0) ::execv(argv[0], argv.data());
        ::_exit(127);
    }
    const auto give_up = std::chrono::steady_clock::now() + longest_run;
    int status = 0;
    while (::waitpid(child, &status, WNOHANG) == 0) {
        if (std::chrono::steady_clock::now() > give_up) {
            ::kill(child, SIGKILL);
            ::waitpid(child, &status, 0);
            break;
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(2));
    }
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status), get(out), get(err)};
}

}  // namespace seamwright::test
