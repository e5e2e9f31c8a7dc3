#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/server_listener.h"

namespace seamwright::store {
class Store;
}

namespace seamwright::app {

class JobDesk;

/// Serves the page and its jobs on loopback, and on wish one job's steps to the workshop.
class Server {
  public:
    struct Wish {
        std::optional<int> port;  ///< absent: usual_port, or the next free one after it
        Patience patience;
    };
    /// Our own number; nothing else we know of uses it (IANA's registry lists it as unassigned; from memory).
    static constexpr int usual_port = 7431;
    /// How many ports after the usual one are tried.
    static constexpr int ports_tried = 20;

    /// What was opened to others, and the way in.
    struct Shared {
        std::int64_t job = 0;
        std::vector<std::string> addresses;  ///< whole, with the token; one for each network this machine is in
    };

    Server(JobDesk& desk, Wish wish);
    Server(const Server&) = delete;
    Server& operator=(const Server&) = delete;
    ~Server();

    /// Binds; false: no port was free.
    bool open();
    int port() const;
    /// Shows the steps of one job to everybody in the network who has the address, read-only, on a port of its own and
    /// all interfaces. With `notes` they see what was noted of the work too, and may write that, and nothing else.
    /// nullopt: no port was free. Before start().
    std::optional<Shared> share(std::int64_t job, bool notes = false);

    void start();
    /// Finishes what is being worked on.
    void stop();

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

/// IPv4 addresses of this machine other than loopback ("192.0.2.7"), in the order of the interfaces.
std::vector<std::string> network_addresses();

}  // namespace seamwright::app
