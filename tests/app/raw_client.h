#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <map>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>

namespace seamwright::test {

/// An answer as it came over the wire.
struct Reply {
    int status = 0;                                  ///< 0: none came
    std::multimap<std::string, std::string> fields;  ///< names in small letters
    std::string body;

    std::string field(const std::string& name) const {
        const auto found = fields.find(name);
        return found == fields.end() ? "" : found->second;
    }
};

/// A client that sends whatever bytes it is told to, proper or not.
class RawClient {
  public:
    using Clock = std::chrono::steady_clock;

    explicit RawClient(int port, const char* address = "127.0.0.1") : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
        sockaddr_in to{};
        to.sin_family = AF_INET;
        to.sin_port = htons(static_cast<std::uint16_t>(port));
        ::inet_pton(AF_INET, address, &to.sin_addr);
        connected_ = ::connect(socket_, reinterpret_cast<const sockaddr*>(&to), sizeof to) == 0;
    }
    RawClient(const RawClient&) = delete;
    RawClient& operator=(const RawClient&) = delete;
    ~RawClient() { ::close(socket_); }

    bool connected() const { return connected_; }
    bool send(std::string_view bytes) {
        while (!bytes.empty()) {
            const ssize_t sent = ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
            if (sent <= 0) return false;
            bytes.remove_prefix(static_cast<std::size_t>(sent));
        }
        return true;
    }
    /// The next answer, or status 0 when the connection ends or nothing comes for a while.
    Reply receive(bool to_head = false) {
        Reply reply;
        std::size_t end = 0;
        while ((end = pending_.find("\r\n\r\n")) == std::string::npos) {
            if (!more()) return reply;
        }
        const std::string head = pending_.substr(0, end + 2);
        pending_.erase(0, end + 4);
        reply.status = std::stoi(head.substr(9, 3));
        for (std::size_t at = head.find("\r\n") + 2; at < head.size();) {
            const std::size_t line_end = head.find("\r\n", at), colon = head.find(": ", at);
            std::string name = head.substr(at, colon - at);
            std::transform(name.begin(), name.end(), name.begin(),
                           [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
            reply.fields.emplace(name, head.substr(colon + 2, line_end - colon - 2));
            at = line_end + 2;
        }
        if (to_head || reply.status == 304 || reply.status == 100) return reply;
        const std::string announced = reply.field("content-length");
        const std::size_t length = announced.empty() ? 0 : std::stoul(announced);
        while (pending_.size() < length) {
            if (!more()) return {};
        }
        reply.body = pending_.substr(0, length);
        pending_.erase(0, length);
        return reply;
    }
    /// Whether the other side has closed, waiting for it at most this long.
    bool closed_within(std::chrono::milliseconds time) {
        const auto deadline = Clock::now() + time;
        while (Clock::now() < deadline) {
            if (!more(std::chrono::ceil<std::chrono::milliseconds>(deadline - Clock::now()))) return ended_;
        }
        return false;
    }
    int socket() const { return socket_; }

  private:
    bool more(std::chrono::milliseconds time = std::chrono::seconds(20)) {
        pollfd asked{socket_, POLLIN, 0};
        if (::poll(&asked, 1, static_cast<int>(time.count())) <= 0) return false;
        char bytes[65536];
        const ssize_t got = ::recv(socket_, bytes, sizeof bytes, 0);
        if (got <= 0) {
            ended_ = true;
            return false;
        }
        pending_.append(bytes, static_cast<std::size_t>(got));
        return true;
    }

    int socket_;
    bool connected_ = false, ended_ = false;
    std::string pending_;
};

/// One request on a connection of its own.
inline Reply ask(int port, std::string_view bytes, const char* address = "127.0.0.1") {
    RawClient client(port, address);
    client.send(bytes);
    return client.receive(bytes.starts_with("HEAD"));
}

}  // namespace seamwright::test
