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
/// The library's own is five: a burst of clients would make the next one wait a second for its second try.
constexpr int system_queue = 128;
/// There is no limit; some clients go by the number they are told.
constexpr std::size_t most_requests_told = 1'000'000;
/// How often room is made while clients wait in line.
constexpr std::chrono::milliseconds room_interval{20};

/// Threads that serve one connection each. While clients wait in line, room is made for as many as there are.
class Crew final : public httplib::TaskQueue {
  public:
    Crew(std::size_t threads, std::function<void(std::size_t)> make_room) : make_room_(std::move(make_room)) {
        for (std::size_t i = 0; i < threads; ++i) {
            threads_.emplace_back([this] { work(); });
        }
        threads_.emplace_back([this] { watch(); });
    }

    void enqueue(std::function<void()> task) override {
        std::unique_lock lock(mutex_);
        shorter_.wait(lock, [this] { return line_.size() < most_in_line || over_; });
        line_.push_back(std::move(task));
        longer_.notify_all();
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
            longer_.wait(lock, [this] { return !line_.empty() || over_; });
            if (line_.empty()) return;
            const auto task = std::move(line_.front());
            line_.pop_front();
            shorter_.notify_all();
            lock.unlock();
            task();
            lock.lock();
        }
    }

    void watch() {
        std::unique_lock lock(mutex_);
        while (!over_) {
            longer_.wait(lock, [this] { return !line_.empty() || over_; });
            // A free thread takes its task well within this time.
            shorter_.wait_for(lock, room_interval, [this] { return over_; });
            if (const std::size_t in_line = line_.size(); in_line > 0) make_room_(in_line);
        }
    }

    std::function<void(std::size_t)> make_room_;
    std::mutex mutex_;
    std::condition_variable longer_, shorter_;
    std::deque<std::function<void()>> line_;
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
        // What the answers tell about keeping the connection; what is done is in converse().
        set_keep_alive_timeout(std::chrono::duration_cast<std::chrono::seconds>(patience.between).count());
        set_keep_alive_max_count(most_requests_told);
        new_task_queue = [this, threads = rules.threads]() -> httplib::TaskQueue* {
            return std::make_unique<Crew>(threads, [this](std::size_t how_many) { cut_the_slowest(how_many); })
                .release();
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

    void lengthen_system_queue() { ::listen(svr_sock_.load(), system_queue); }

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

    /// Those that keep a thread waiting, the ones that have done so longest first. Requests being worked on go on.
    void cut_the_slowest(std::size_t how_many) {
        const std::lock_guard lock(mutex);
        const auto late = Connection::Clock::now() - patience.crowded;
        std::vector<Connection*> slow;
        for (Connection* each : connections) {
            if (each->phase() != Connection::Phase::working && each->since() <= late) slow.push_back(each);
        }
        std::sort(slow.begin(), slow.end(), [](const auto* a, const auto* b) { return a->since() < b->since(); });
        slow.resize(std::min(slow.size(), how_many));
        for (Connection* each : slow) each->cut();
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
            // The library would read it all to throw it away.
            if (head->body_bytes > largest_body_bytes) {
                if (connection.write_all(written_out(fault(413)))) connection.close_gently();
                return;
            }
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
    inside->lengthen_system_queue();
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
