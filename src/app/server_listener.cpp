#include "app/server_listener.h"

#include <sys/socket.h>

#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <deque>
#include <mutex>
#include <set>
#include <thread>
#include <variant>

#include "server_connection.h"
#include "server_fault.h"

namespace seamwright::app {
namespace {

/// Largest body the library may gather; what is allowed at each address is said by Work::refuse.
constexpr std::size_t largest_body_bytes = 64u << 20;
/// Clients that have been let in and wait for a thread. Further ones wait outside, in the system's queue.
constexpr std::size_t most_in_line = 128;
constexpr int system_queue = 128;
/// Taking an answer for longer than this makes a client one of the slow ones.
constexpr std::chrono::seconds slow_taker{1};

/// Threads that serve one connection each. When none is free, room is made.
class Crew final : public httplib::TaskQueue {
  public:
    Crew(std::size_t threads, std::function<void()> make_room) : make_room_(std::move(make_room)) {
        for (std::size_t i = 0; i < threads; ++i) {
            threads_.emplace_back([this] { work(); });
        }
    }

    void enqueue(std::function<void()> task) override {
        std::unique_lock lock(mutex_);
        if (free_ <= line_.size()) make_room_();
        shorter_.wait(lock, [this] { return line_.size() < most_in_line || over_; });
        line_.push_back(std::move(task));
        longer_.notify_one();
    }

    void shutdown() override {
        {
            const std::lock_guard lock(mutex_);
            over_ = true;
        }
        longer_.notify_all();
        shorter_.notify_all();
        for (auto& thread : threads_) thread.join();
    }

  private:
    void work() {
        std::unique_lock lock(mutex_);
        for (;;) {
            ++free_;
            longer_.wait(lock, [this] { return !line_.empty() || over_; });
            --free_;
            if (line_.empty()) return;
            const auto task = std::move(line_.front());
            line_.pop_front();
            shorter_.notify_one();
            lock.unlock();
            task();
            lock.lock();
        }
    }

    std::function<void()> make_room_;
    std::mutex mutex_;
    std::condition_variable longer_, shorter_;
    std::deque<std::function<void()>> line_;
    std::size_t free_ = 0;
    bool over_ = false;
    std::vector<std::thread> threads_;
};

Asked asked_of(const httplib::Request& request) {
    Asked asked;
    asked.method = request.method;
    const std::size_t query = request.target.find('?');
    asked.path = request.target.substr(0, query);
    if (query != std::string::npos) asked.query = request.target.substr(query + 1);
    asked.host = request.get_header_value("host");
    asked.origin = request.get_header_value("origin");
    asked.fetch_site = request.get_header_value("sec-fetch-site");
    asked.content_type = request.get_header_value("content-type");
    asked.cookie = request.get_header_value("cookie");
    asked.if_none_match = request.get_header_value("if-none-match");
    asked.body_bytes = request.get_header_value<std::uint64_t>("content-length");
    return asked;
}

void put(const Answer& answer, httplib::Response& response) {
    response.status = answer.status;
    for (const auto& [name, value] : answer.fields) response.set_header(name, value);
    if (!answer.body.empty()) response.set_content(answer.body, answer.type);
}

}  // namespace

const std::vector<std::pair<std::string, std::string>>& safety_fields() {
    static const std::vector<std::pair<std::string, std::string>> fields = {
        {"Content-Security-Policy",
         "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; "
         "font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"},
        {"Cross-Origin-Resource-Policy", "same-origin"},
        {"Cross-Origin-Opener-Policy", "same-origin"},
        {"X-Content-Type-Options", "nosniff"},
        {"X-Frame-Options", "DENY"},
        {"Referrer-Policy", "no-referrer"},
    };
    return fields;
}

struct Listener::Inside final : httplib::Server {
    Work work;
    Patience patience;
    int port = 0;
    std::atomic<bool> over{false}, entered{false};
    std::mutex mutex;
    std::set<Connection*> connections;

    Inside(const Rules& rules, Work to_do) : work(std::move(to_do)), patience(rules.patience) {
        set_socket_options([](socket_t socket) {
            // Only that: with SO_REUSEPORT, the library's own choice, two programs would share a port without knowing.
            const int yes = 1;
            ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
        });
        set_tcp_nodelay(true);
        set_payload_max_length(largest_body_bytes);
        new_task_queue = [this, threads = rules.threads]() -> httplib::TaskQueue* {
            return std::make_unique<Crew>(threads, [this] { cut_the_slowest(); }).release();
        };
        httplib::Headers always;
        for (const auto& [name, value] : safety_fields()) always.emplace(name, value);
        set_default_headers(std::move(always));
        set_pre_routing_handler([this](const httplib::Request& request, httplib::Response& response) {
            const auto refused = guarded([&] { return work.refuse(asked_of(request)); });
            if (!refused) return HandlerResponse::Unhandled;
            put(*refused, response);
            // Its body stays unread, so the next request could not be told from it.
            if (request.has_header("content-length")) response.set_header("Connection", "close");
            return HandlerResponse::Handled;
        });
        const Handler handler = [this](const httplib::Request& request, httplib::Response& response) {
            Asked asked = asked_of(request);
            asked.body = request.body;
            put(*guarded([&] { return std::optional(work.answer(asked)); }), response);
        };
        // Paths are short (longest_target), so the pattern cannot run deep.
        Get("/.*", handler);
        Post("/.*", handler);
        set_error_handler([](const httplib::Request&, httplib::Response& response) {
            if (response.body.empty()) put(fault(response.status), response);
        });
    }

    /// Nothing of what was thrown gets out: it may name files, or speak in the program's own words.
    template <class Do>
    static std::optional<Answer> guarded(const Do& act) {
        try {
            return act();
        } catch (const std::bad_alloc&) {
            return fault(503, "There is not enough memory for this.", "Close other programs and try again.");
        } catch (...) {
            return fault(500);
        }
    }

    /// One of those that keep a thread waiting, the one that has done so longest. Requests being worked on go on.
    void cut_the_slowest() {
        const std::lock_guard lock(mutex);
        Connection* slowest = nullptr;
        for (Connection* each : connections) {
            const auto phase = each->phase();
            if (phase == Connection::Phase::working) continue;
            if (phase == Connection::Phase::writing && Connection::Clock::now() - each->since() < slow_taker) continue;
            if (slowest == nullptr || each->since() < slowest->since()) slowest = each;
        }
        if (slowest == nullptr) return;
        slowest->cut();
        // Its thread takes a moment to notice; the next in line needs another one.
        connections.erase(slowest);
    }

    void end_all_reading() {
        const std::lock_guard lock(mutex);
        for (Connection* each : connections) each->end_reading();
    }

    bool process_and_close_socket(socket_t socket) override {
        Connection connection(socket, patience);
        {
            const std::lock_guard lock(mutex);
            connections.insert(&connection);
        }
        converse(connection);
        const std::lock_guard lock(mutex);
        connections.erase(&connection);
        return true;
    }

    void converse(Connection& connection) {
        while (!over) {
            const auto next = connection.next_request();
            if (const auto* wrong = std::get_if<HeadFault>(&next)) {
                if (connection.write_all(written_out(fault(wrong->status)))) connection.close_gently();
                return;
            }
            const auto* head = std::get_if<Head>(&next);
            if (head == nullptr) return;
            bool closed = false;
            if (!process_request(connection, !head->stays_open || over, closed, nullptr)) return;
            if (connection.unread() > 0) {
                connection.close_gently();
                return;
            }
            if (!head->stays_open || closed) return;
        }
    }
};

Listener::Listener(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Listener::~Listener() = default;

std::unique_ptr<Listener> Listener::open(const Rules& rules, Work work) {
    auto inside = std::make_unique<Inside>(rules, std::move(work));
    if (rules.port == 0) {
        inside->port = inside->bind_to_any_port(rules.address);
        if (inside->port <= 0) return nullptr;
    } else {
        if (!inside->bind_to_port(rules.address, rules.port)) return nullptr;
        inside->port = rules.port;
    }
    return std::unique_ptr<Listener>(new Listener(std::move(inside)));
}

int Listener::port() const {
    return inside_->port;
}

void Listener::run() {
    inside_->entered = true;
    if (!inside_->over) inside_->listen_after_bind();
    inside_->entered = false;
}

void Listener::stop() {
    inside_->over = true;
    // The library forgets a stop that comes before it has begun.
    while (inside_->entered && !inside_->is_running()) std::this_thread::sleep_for(std::chrono::milliseconds(1));
    inside_->stop();
    inside_->end_all_reading();
}

}  // namespace seamwright::app
