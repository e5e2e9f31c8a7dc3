#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

// The types of the library stay out of this header: it is compiled with switches of its own.
namespace seamwright::app {

/// How long a client may take.
struct Patience {
    std::chrono::milliseconds request{10'000};  ///< from the first byte of a request to its last
    std::chrono::milliseconds answer{30'000};   ///< for taking the answer
    std::chrono::milliseconds between{30'000};  ///< from an answer to the next request
    std::chrono::milliseconds farewell{2'000};  ///< to finish sending what was refused
    /// For all of these, while others wait in line because every thread is taken. An honest request on this machine is
    /// there in one; in a workshop's network in a few tens.
    std::chrono::milliseconds crowded{100};
};

/// A request as the program sees it.
struct Asked {
    std::string method;  ///< GET, HEAD, POST
    std::string path;    ///< as sent, without the query; not decoded
    std::string query;
    std::string host, origin, fetch_site, content_type, cookie, if_none_match;  ///< fields; empty when absent
    std::uint64_t body_bytes = 0;                                               ///< announced
    std::string body;                                                           ///< empty while the head is looked at
};

/// An answer. Every one gets the fields that keep the page safe, see safety_fields().
struct Answer {
    int status = 200;
    std::string body;
    std::string type = "application/json";
    std::vector<std::pair<std::string, std::string>> fields;
};

/// What stands in every answer: no reading from other pages, no framing, no guessing of types, only own scripts.
const std::vector<std::pair<std::string, std::string>>& safety_fields();

/// One address and port on which requests are answered.
class Listener {
  public:
    struct Rules {
        std::string address = "127.0.0.1";
        int port = 0;  ///< 0: any free one
        std::size_t threads = 64;
        Patience patience;
    };
    struct Work {
        /// Looks at the head before the body is read; an answer refuses the request and leaves the body unread.
        std::function<std::optional<Answer>(const Asked&)> refuse;
        std::function<Answer(const Asked&)> answer;
    };

    /// Binds; nothing is answered yet. nullopt: the port is taken, or there is no such address here.
    static std::unique_ptr<Listener> open(const Rules& rules, Work work);
    Listener(const Listener&) = delete;
    Listener& operator=(const Listener&) = delete;
    ~Listener();

    int port() const;
    /// Answers until stop(); returns when the last answer is written.
    void run();
    /// From any thread. Requests that are being worked on are finished.
    void stop();

  private:
    struct Inside;
    explicit Listener(std::unique_ptr<Inside> inside);
    std::unique_ptr<Inside> inside_;
};

}  // namespace seamwright::app
