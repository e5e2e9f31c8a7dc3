#pragma once

#include <atomic>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <variant>

#include "app/server_head.h"
#include "app/server_listener.h"
// After our own: it brings a host of macros.
#include <httplib.h>

namespace seamwright::app {

/// One client's connection. Reads and writes against deadlines for the whole request and the whole answer: a client
/// that keeps sending a byte now and then gets no further than one that sends nothing.
class Connection final : public httplib::Stream {
  public:
    enum class Phase : int { waiting, reading, working, writing };
    using Clock = std::chrono::steady_clock;

    /// Takes over the socket and closes it in the end.
    Connection(int socket, const Patience& patience);
    Connection(const Connection&) = delete;
    Connection& operator=(const Connection&) = delete;
    ~Connection() override;

    struct Gone {};  ///< closed, too slow, or cut
    /// Waits for the next request and reads its head. On a head the stream gives this head and its body, no byte more.
    std::variant<Head, HeadFault, Gone> next_request();
    /// Bytes of the body that nobody read: they would be taken for the next request.
    std::uint64_t unread() const { return body_left_; }

    /// Writes everything within the deadline; false when it cannot.
    bool write_all(std::string_view bytes);
    /// Closes so that the answer still arrives when the client has not finished sending: closing at once would reset
    /// the connection and take the answer with it.
    void close_gently();
    /// From any thread: ends reading and writing at once.
    void cut();
    /// From any thread: nothing more is read, the answer that is due still goes out.
    void end_reading();

    Phase phase() const { return phase_.load(); }
    /// Since when it is busy with this request, or waits for it.
    Clock::time_point since() const { return Clock::time_point(Clock::duration(since_.load())); }

    // httplib::Stream
    bool is_readable() const override;
    bool is_writable() const override;
    ssize_t read(char* to, std::size_t size) override;
    ssize_t write(const char* from, std::size_t size) override;
    void get_remote_ip_and_port(std::string& ip, int& port) const override;
    void get_local_ip_and_port(std::string& ip, int& port) const override;
    socket_t socket() const override { return socket_; }

  private:
    void enter(Phase phase);
    bool ready(short events, Clock::time_point deadline) const;
    /// More bytes into the buffer; false at the end, too late, or on a failure.
    bool receive(Clock::time_point deadline);

    int socket_;
    Patience patience_;
    std::atomic<Phase> phase_{Phase::waiting};
    std::atomic<Clock::rep> since_;
    Clock::time_point deadline_;
    bool first_ = true;
    std::string buffer_;  ///< received and not yet given
    std::string head_;
    std::size_t head_given_ = 0;
    std::uint64_t body_left_ = 0;
};

}  // namespace seamwright::app
