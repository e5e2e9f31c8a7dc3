#include "server_connection.h"

#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>

namespace seamwright::app {
namespace {

constexpr std::size_t receive_bytes = 64u << 10;
constexpr std::string_view head_end = "\r\n\r\n";

}  // namespace

Connection::Connection(int socket, const Patience& patience)
    : socket_(socket), patience_(patience), since_(Clock::now().time_since_epoch().count()) {}

Connection::~Connection() {
    ::close(socket_);
}

void Connection::enter(Phase phase) {
    if (phase_.load() == phase) return;
    // Reading the body belongs to reading the head: the clock goes on.
    since_.store(Clock::now().time_since_epoch().count());
    phase_.store(phase);
}

bool Connection::ready(short events, Clock::time_point deadline) const {
    for (;;) {
        const auto left = std::chrono::ceil<std::chrono::milliseconds>(deadline - Clock::now());
        if (left.count() <= 0) return false;
        pollfd asked{socket_, events, 0};
        const int found = ::poll(&asked, 1, static_cast<int>(std::min<std::int64_t>(left.count(), 60'000)));
        if (found > 0) return true;
        if (found < 0 && errno != EINTR) return false;
    }
}

bool Connection::receive(Clock::time_point deadline) {
    std::array<char, receive_bytes> bytes;
    for (;;) {
        if (!ready(POLLIN, deadline)) return false;
        const ssize_t got = ::recv(socket_, bytes.data(), bytes.size(), MSG_DONTWAIT);
        if (got > 0) {
            buffer_.append(bytes.data(), static_cast<std::size_t>(got));
            return true;
        }
        if (got == 0) return false;
        if (errno != EINTR && errno != EAGAIN && errno != EWOULDBLOCK) return false;
    }
}

std::variant<Head, HeadFault, Connection::Gone> Connection::next_request() {
    if (buffer_.empty()) {
        // A client that has only just come has something to say; one that stays may think it over.
        enter(Phase::waiting);
        if (!receive(Clock::now() + (first_ ? patience_.request : patience_.between))) return Gone{};
    }
    first_ = false;
    phase_.store(Phase::waiting);
    enter(Phase::reading);
    deadline_ = Clock::now() + patience_.request;
    std::size_t searched = 0;
    for (;;) {
        const std::size_t found = buffer_.find(head_end, searched);
        if (found != std::string::npos && found + head_end.size() <= largest_head_bytes) {
            const auto head = read_head(std::string_view(buffer_).substr(0, found + head_end.size()));
            buffer_.erase(0, found + head_end.size());
            if (const auto* fault = std::get_if<HeadFault>(&head)) return *fault;
            const auto& good = std::get<Head>(head);
            head_ = good.text;
            head_given_ = 0;
            body_left_ = good.body_bytes;
            return good;
        }
        if (found != std::string::npos || buffer_.size() > largest_head_bytes) return HeadFault{431};
        searched = buffer_.size() < head_end.size() ? 0 : buffer_.size() - head_end.size() + 1;
        if (!receive(deadline_)) {
            if (!buffer_.empty() && Clock::now() >= deadline_) return HeadFault{408};
            return Gone{};
        }
    }
}

ssize_t Connection::read(char* to, std::size_t size) {
    if (head_given_ < head_.size()) {
        const std::size_t given = std::min(size, head_.size() - head_given_);
        std::memcpy(to, head_.data() + head_given_, given);
        head_given_ += given;
        if (head_given_ == head_.size() && body_left_ == 0) enter(Phase::working);
        return static_cast<ssize_t>(given);
    }
    if (body_left_ == 0) return 0;
    if (buffer_.empty() && !receive(deadline_)) return -1;
    const auto given = static_cast<std::size_t>(std::min<std::uint64_t>({size, buffer_.size(), body_left_}));
    std::memcpy(to, buffer_.data(), given);
    // Taking small bites off the front of what was received would move the rest each time.
    if (given == buffer_.size()) {
        buffer_.clear();
    } else {
        buffer_.erase(0, given);
    }
    body_left_ -= given;
    if (body_left_ == 0) enter(Phase::working);
    return static_cast<ssize_t>(given);
}

ssize_t Connection::write(const char* from, std::size_t size) {
    if (phase() != Phase::writing) {
        enter(Phase::writing);
        deadline_ = Clock::now() + patience_.answer;
    }
    for (;;) {
        const ssize_t sent = ::send(socket_, from, size, MSG_NOSIGNAL | MSG_DONTWAIT);
        if (sent >= 0) return sent;
        if (errno != EINTR && errno != EAGAIN && errno != EWOULDBLOCK) return -1;
        if (!ready(POLLOUT, deadline_)) return -1;
    }
}

bool Connection::write_all(std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t sent = write(bytes.data(), bytes.size());
        if (sent <= 0) return false;
        bytes.remove_prefix(static_cast<std::size_t>(sent));
    }
    return true;
}

void Connection::close_gently() {
    ::shutdown(socket_, SHUT_WR);
    enter(Phase::waiting);
    const auto deadline = Clock::now() + patience_.farewell;
    buffer_.clear();
    while (receive(deadline)) buffer_.clear();
}

void Connection::cut() {
    ::shutdown(socket_, SHUT_RDWR);
}
void Connection::end_reading() {
    ::shutdown(socket_, SHUT_RD);
}

bool Connection::is_readable() const {
    return head_given_ < head_.size() || body_left_ > 0;
}

bool Connection::is_writable() const {
    pollfd asked{socket_, POLLOUT, 0};
    return ::poll(&asked, 1, 0) > 0 && (asked.revents & (POLLERR | POLLHUP | POLLNVAL)) == 0;
}

// Nothing is decided by who asks: on this machine every user has the same address.
void Connection::get_remote_ip_and_port(std::string& ip, int& port) const {
    ip.clear();
    port = -1;
}
void Connection::get_local_ip_and_port(std::string& ip, int& port) const {
    ip.clear();
    port = -1;
}

}  // namespace seamwright::app
