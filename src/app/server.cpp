#include "app/server.h"

#include <arpa/inet.h>
#include <fmt/format.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>

#include <algorithm>
#include <array>
#include <mutex>
#include <thread>

#include "app/server_guard.h"
#include "app/server_route.h"
#include "server_fault.h"
#include "server_jobs.h"
#include "server_page.h"
#include "server_trace.h"

namespace seamwright::app {
namespace {

/// The browser opens six connections to one address; this is room for ten windows.
constexpr std::size_t page_threads = 64;
constexpr std::size_t other_threads = 16;
constexpr std::string_view cookie_name = "seamwright";
/// Of what the phone sends: a few fields and some words.
constexpr std::uint64_t largest_note_bytes = 64u << 10;

std::optional<Answer> no_route_answer(const NoRoute& none) {
    Answer answer = fault(none.status);
    for (auto& [name, value] : answer.fields) {
        if (name == "Allow") value = none.allow;
    }
    return answer;
}

Answer answer_route(JobDesk& desk, const Asked& asked, const Route& route) {
    using To = Route::To;
    switch (route.to) {
        case To::file: {
            auto file = page_answer(asked);
            return file ? std::move(*file) : fault(404);
        }
        case To::jobs:
            return desk.list();
        case To::search:
            return desk.search(asked.query);
        case To::begin:
            return desk.begin(asked.body);
        case To::screen:
            return desk.screen(route.job);
        case To::version:
            return desk.version(route.job);
        case To::attempt:
            return desk.attempt(route.job, asked.body);
        case To::edit:
            return desk.edit(route.job, asked.body);
        case To::undo:
            return desk.undo(route.job, asked.body);
        case To::redo:
            return desk.redo(route.job, asked.body);
        case To::duplicate:
            return desk.duplicate(route.job, asked.body);
        case To::remove:
            return desk.remove(route.job, asked.body);
        case To::restore:
            return desk.restore(route.job, asked.body);
        case To::history:
            return desk.history(route.job);
        case To::go_back:
            return desk.go_back(route.job, asked.body);
        case To::paper:
            return desk.paper(route.job, route.name);
        case To::document:
            return desk.document(route.job);
        case To::closing:
            return desk.closing(route.job, route.name);
        case To::feed:
            return desk.feed(route.job, route.name);
        case To::wood:
            return desk.wood(route.job);
        case To::work:
            return desk.work(route.job);
        case To::made:
            return desk.made(route.job);
        case To::note:
            return desk.note(route.job, asked.body);
        case To::shop:
            return desk.shop(route.job);
        case To::trace:
            return trace_answer(asked.query, asked.body);
        case To::board_photo:
            return desk.board_photo(asked.query, asked.body);
        case To::picture:
            return desk.picture(route.name);
    }
    return fault(404);
}

/// What the store could not do is told in its own words; they are made for the maker.
template <class Do>
Answer telling_store_failures(const Do& act) {
    try {
        return act();
    } catch (const store::StoreFailure& why) {
        return fault(500, why.reason(), why.remedy());
    }
}

Listener::Work page_work(JobDesk& desk, const int& port) {
    Listener::Work work;
    work.refuse = [&port](const Asked& asked) -> std::optional<Answer> {
        const auto route = find_route(asked.method, asked.path);
        const auto* found = std::get_if<Route>(&route);
        // A stranger is not told which addresses there are.
        if (auto refused = refuse_stranger(asked, found == nullptr ? Route{} : *found, own_hosts(port))) return refused;
        if (found == nullptr) return no_route_answer(std::get<NoRoute>(route));
        return {};
    };
    work.answer = [&desk](const Asked& asked) {
        const auto route = find_route(asked.method, asked.path);
        const auto* found = std::get_if<Route>(&route);
        if (found == nullptr) return fault(404);
        return telling_store_failures([&] { return answer_route(desk, asked, *found); });
    };
    return work;
}

/// Names under which the workshop asks: addresses of this machine, never a name that somebody else could bend to it.
bool asked_by_address(const std::string& host, int port) {
    auto addresses = network_addresses();
    addresses.emplace_back("127.0.0.1");
    return std::any_of(addresses.begin(), addresses.end(),
                       [&](const std::string& address) { return host == fmt::format("{}:{}", address, port); });
}

struct Share {
    std::int64_t job = 0;
    std::string token;
    int port = 0;
    bool notes = false;  ///< what was done and measured may be written down
};

bool has_key(const Share& share, const Asked& asked) {
    const auto cookie = cookie_value(asked.cookie, cookie_name);
    return cookie && same_secret(*cookie, share.token);
}

/// A note about the work, from somebody who has the key and from our own page.
bool writes_note(const Share& share, const Asked& asked) {
    if (!share.notes || asked.method != "POST" || !asked_by_address(asked.host, share.port)) return false;
    const auto route = find_route(asked.method, asked.path);
    const auto* found = std::get_if<Route>(&route);
    return found != nullptr && found->to == Route::To::note && found->job == share.job && has_key(share, asked) &&
           asked.body_bytes <= largest_note_bytes && !refuse_stranger(asked, *found, {asked.host});
}

/// Whoever has no token finds nothing here at all, whatever he asks for.
Answer share_answer(JobDesk& desk, const Share& share, const Asked& asked) {
    const auto nothing = [] { return fault(404); };
    if (asked.method == "POST" || !asked_by_address(asked.host, share.port)) return nothing();
    const auto route = find_route(asked.method, asked.path);
    const auto* found = std::get_if<Route>(&route);
    if (found == nullptr) return nothing();
    if (!asked.fetch_site.empty() && asked.fetch_site != "same-origin" && asked.fetch_site != "none") return nothing();

    const bool first_visit =
        asked.path == "/shop" && same_secret(asked.query, fmt::format("job={}&key={}", share.job, share.token));
    if (!first_visit && !has_key(share, asked)) return nothing();

    if (found->to == Route::To::shop && found->job == share.job) {
        // What the store complains about is for the maker at the bench: Listener makes a plain fault of it.
        return desk.shop(share.job);
    }
    if (share.notes && found->to == Route::To::made && found->job == share.job)
        return desk.made(share.job, JobDesk::Writes::notes);
    if (found->to != Route::To::file || !(asked.path == "/shop" || asked.path.starts_with("/assets/")))
        return nothing();
    auto file = page_answer(asked);
    if (!file) return nothing();
    if (first_visit) {
        file->fields.emplace_back("Set-Cookie", fmt::format("{}={}; Path=/; Max-Age=86400; HttpOnly; SameSite=Strict",
                                                            cookie_name, share.token));
    }
    return std::move(*file);
}

}  // namespace

std::vector<std::string> network_addresses() {
    std::vector<std::string> found;
    ifaddrs* all = nullptr;
    if (::getifaddrs(&all) != 0) return found;
    for (const ifaddrs* each = all; each != nullptr; each = each->ifa_next) {
        if (each->ifa_addr == nullptr || each->ifa_addr->sa_family != AF_INET) continue;
        if ((each->ifa_flags & IFF_UP) == 0 || (each->ifa_flags & IFF_LOOPBACK) != 0) continue;
        std::array<char, INET_ADDRSTRLEN> text{};
        const auto* address = reinterpret_cast<const sockaddr_in*>(each->ifa_addr);
        if (::inet_ntop(AF_INET, &address->sin_addr, text.data(), text.size()) != nullptr)
            found.emplace_back(text.data());
    }
    ::freeifaddrs(all);
    return found;
}

struct Server::Inside {
    JobDesk& desk;
    Wish wish;
    int port = 0;
    Share share;
    std::vector<std::unique_ptr<Listener>> listeners;
    std::vector<std::thread> threads;

    std::unique_ptr<Listener> listen(const std::string& address, int at, std::size_t how_many,
                                     Listener::Work work) const {
        Listener::Rules rules;
        rules.address = address;
        rules.port = at;
        rules.threads = how_many;
        rules.patience = wish.patience;
        return Listener::open(rules, std::move(work));
    }
};

Server::Server(JobDesk& desk, Wish wish) : inside_(std::make_unique<Inside>(Inside{desk, wish, 0, {}, {}, {}})) {}
Server::~Server() {
    stop();
}

bool Server::open() {
    const int first = inside_->wish.port.value_or(usual_port);
    const int last = inside_->wish.port ? first : first + ports_tried;
    for (int port = first; port <= last; ++port) {
        auto listener = inside_->listen("127.0.0.1", port, page_threads, page_work(inside_->desk, inside_->port));
        if (!listener) continue;
        inside_->port = listener->port();
        inside_->listeners.push_back(std::move(listener));
        // Browsers may take "localhost" to mean either; without IPv6 they take the other.
        if (auto other =
                inside_->listen("::1", inside_->port, other_threads, page_work(inside_->desk, inside_->port))) {
            inside_->listeners.push_back(std::move(other));
        }
        return true;
    }
    return false;
}

int Server::port() const {
    return inside_->port;
}

std::optional<Server::Shared> Server::share(std::int64_t job, bool notes) {
    Share& share = inside_->share;
    share.job = job;
    share.notes = notes;
    share.token = make_token();
    // Who takes any port for the page takes any for the workshop.
    const int first = inside_->wish.port == 0 ? 0 : inside_->port + 1;
    const int last = first == 0 ? first : first + ports_tried;
    for (int port = first; port <= last; ++port) {
        Listener::Work work;
        // But for notes nothing there has a body: everything is answered from its head.
        work.refuse = [this](const Asked& asked) -> std::optional<Answer> {
            if (writes_note(inside_->share, asked)) return {};
            return share_answer(inside_->desk, inside_->share, asked);
        };
        work.answer = [this](const Asked& asked) {
            if (!writes_note(inside_->share, asked)) return fault(404);
            return inside_->desk.note(inside_->share.job, asked.body, JobDesk::Writes::notes);
        };
        auto listener = inside_->listen("0.0.0.0", port, other_threads, std::move(work));
        if (!listener) continue;
        share.port = listener->port();
        inside_->listeners.push_back(std::move(listener));
        Shared shared{job, {}};
        for (const auto& address : network_addresses()) {
            shared.addresses.push_back(
                fmt::format("http://{}:{}/shop?job={}&key={}", address, share.port, job, share.token));
        }
        return shared;
    }
    return {};
}

void Server::start() {
    for (const auto& listener : inside_->listeners) {
        inside_->threads.emplace_back([each = listener.get()] { each->run(); });
    }
}

void Server::stop() {
    for (const auto& listener : inside_->listeners) listener->stop();
    for (auto& thread : inside_->threads) thread.join();
    inside_->threads.clear();
    inside_->listeners.clear();
}

}  // namespace seamwright::app
