#pragma once

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include "raw_client.h"
#include "temporary_folder.h"

namespace seamwright::test {

using Json = nlohmann::json;

/// The real program, serving a data file of its own.
class Serving {
  public:
    explicit Serving(const fs::path& data, const std::vector<std::string>& more = {"--port", "0"}) {
        out_ = streams_ / "out";
        err_ = streams_ / "err";
        std::vector<std::string> words = {SEAMWRIGHT_PROGRAM, "serve", "--data", data};
        words.insert(words.end(), more.begin(), more.end());
        std::vector<char*> argv;
        for (auto& word : words) argv.push_back(word.data());
        argv.push_back(nullptr);
        // Under the sanitizers: fontconfig keeps a little for each thread that set text, and never gives it back.
        const std::string leaks = streams_ / "leaks";
        put(leaks, "leak:libfontconfig\n");
        const std::string options = "print_suppressions=0:suppressions=" + leaks;
        child_ = ::fork();
        if (child_ < 0) throw std::runtime_error("cannot fork");
        if (child_ == 0) {
            const int in = ::open("/dev/null", O_RDONLY), out = ::open(out_.c_str(), O_WRONLY | O_CREAT, 0600),
                      err = ::open(err_.c_str(), O_WRONLY | O_CREAT, 0600);
            ::dup2(in, 0);
            ::dup2(out, 1);
            ::dup2(err, 2);
            ::setenv("LSAN_OPTIONS", options.c_str(), 1);
            ::execv(argv[0], argv.data());
            ::_exit(127);
        }
        port_ = wait_for_port();
    }
    Serving(const Serving&) = delete;
    Serving& operator=(const Serving&) = delete;
    ~Serving() { end(SIGKILL); }

    int port() const { return port_; }
    std::string out() const { return get(out_); }
    std::string err() const { return get(err_); }
    pid_t process() const { return child_; }
    void kill(int signal) const { ::kill(child_, signal); }
    /// Exit status; 128 + signal when a signal ended it.
    int end(int signal) {
        if (child_ <= 0) return -1;
        ::kill(child_, signal);
        int status = 0;
        ::waitpid(child_, &status, 0);
        child_ = -1;
        return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    }

  private:
    int wait_for_port() {
        constexpr std::string_view before = "http://127.0.0.1:";
        for (int i = 0; i < 20'000; ++i) {
            std::error_code ignored;
            const std::string text = fs::exists(out_, ignored) ? get(out_) : "";
            const std::size_t at = text.find(before);
            if (at != std::string::npos && text.find('/', at + before.size()) != std::string::npos) {
                return std::stoi(text.substr(at + before.size()));
            }
            int status = 0;
            if (::waitpid(child_, &status, WNOHANG) == child_) {
                child_ = -1;
                throw std::runtime_error("the program ended at once: " + get(err_));
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(1));
        }
        throw std::runtime_error("the program does not serve");
    }

    TemporaryFolder streams_;
    std::string out_, err_;
    pid_t child_ = -1;
    int port_ = 0;
};

/// Asks as the page does: one connection, own Origin.
class Page {
  public:
    explicit Page(int port) : port_(port), client_(port) {}

    Reply get(const std::string& path) { return asked("GET " + path + " HTTP/1.1\r\n" + fields() + "\r\n"); }
    Reply post(const std::string& path, const std::string& body) { return asked(post_request(path, body)); }
    Reply post(const std::string& path, const Json& body) { return post(path, body.dump()); }

    std::string fields() const {
        const std::string host = "127.0.0.1:" + std::to_string(port_);
        return "Host: " + host + "\r\nOrigin: http://" + host + "\r\nSec-Fetch-Site: same-origin\r\n";
    }
    std::string post_request(const std::string& path, const std::string& body) const {
        return "POST " + path + " HTTP/1.1\r\n" + fields() +
               "Content-Type: application/json\r\nContent-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body;
    }

    /// The screen of a job, or whatever else is answered with 200; throws otherwise.
    Json good(const Reply& reply) const {
        if (reply.status != 200 && reply.status != 201) {
            throw std::runtime_error("status " + std::to_string(reply.status) + ": " + reply.body.substr(0, 500));
        }
        return Json::parse(reply.body);
    }
    Json screen(int id) { return good(get("/api/jobs/" + std::to_string(id))); }
    int begin(const Json& wanted) { return good(post("/api/jobs", wanted)).at("id").get<int>(); }
    Reply edit(int id, const Json& base, const Json& edits) {
        return post("/api/jobs/" + std::to_string(id) + "/edit", Json{{"base", base}, {"edits", edits}});
    }

  private:
    Reply asked(const std::string& request) {
        client_.send(request);
        return client_.receive();
    }

    int port_;
    RawClient client_;
};

}  // namespace seamwright::test
