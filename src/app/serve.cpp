#include "serve.h"

#include <fmt/format.h>
#include <pthread.h>
#include <unistd.h>

#include <csignal>
#include <istream>
#include <limits>
#include <ostream>
#include <variant>

#include "app/plain_text.h"
#include "app/qr.h"
#include "app/read_files.h"
#include "app/report.h"
#include "app/server.h"
#include "server_jobs.h"
#include "store/store.h"

namespace seamwright::app {
namespace {

/// Holds back the signals that end the program, in this thread and those it starts, so that one place can wait for
/// them.
class EndSignals {
  public:
    EndSignals() {
        sigemptyset(&signals_);
        for (const int signal : {SIGINT, SIGTERM, SIGHUP}) sigaddset(&signals_, signal);
        pthread_sigmask(SIG_BLOCK, &signals_, &before_);
    }
    EndSignals(const EndSignals&) = delete;
    EndSignals& operator=(const EndSignals&) = delete;
    ~EndSignals() { pthread_sigmask(SIG_SETMASK, &before_, nullptr); }

    void wait() const {
        int which = 0;
        sigwait(&signals_, &which);
    }

  private:
    sigset_t signals_{}, before_{};
};

Exit refuse(std::string_view reason, std::string_view remedy, Exit exit, std::ostream& err) {
    err << wrapped("", printable(reason)) << wrapped("", printable(remedy));
    return exit;
}

/// nullopt: opened.
std::optional<Exit> open_job(JobDesk& desk, const std::string& name, std::istream& in, std::ostream& err) {
    const auto text = read_job_text(name, in);
    if (const auto* why = std::get_if<FileRefusal>(&text)) {
        return refuse(why->reason, why->remedy, Exit::bad_input, err);
    }
    const auto opened = desk.take_in(std::get<std::string>(text));
    if (const auto* not_opened = std::get_if<JobDesk::NotOpened>(&opened)) {
        err << problems_text(not_opened->problems, {}, std::numeric_limits<std::size_t>::max()) << '\n'
            << wrapped("", printable(fmt::format("{} in {}. It was not opened.", problem_count(not_opened->problems),
                                                 name == "-" ? "the job on standard input" : name)));
        return Exit::bad_input;
    }
    return {};
}

std::string job_name(const store::Store& store, store::JobId id) {
    for (const auto& line : store.jobs()) {
        if (line.id == id) return line.name;
    }
    return {};
}

void tell_shared(const Server::Shared& shared, const std::string& name, bool notes, std::ostream& out) {
    out << '\n'
        << wrapped("", printable(
                           fmt::format("Opened to others: the steps of the job \"{}\", to read only{}. Anybody in the "
                                       "same network who has one of these addresses can see them{}, and nothing "
                                       "else. It travels unencrypted. It ends when the program ends.",
                                       name, notes ? ", and the notes of what was done and measured, to write" : "",
                                       notes ? " and write these notes" : "")));
    if (shared.addresses.empty()) {
        out << "This machine is in no network just now, so nobody can reach it.\n";
        return;
    }
    // An address must not be broken: it is copied whole.
    for (const auto& address : shared.addresses) out << "  " << address << '\n';
    out << "For the phone:\n" << qr_code(shared.addresses.front(), ::isatty(STDOUT_FILENO) == 1);
}

Exit serve_jobs(const ServeWish& wish, std::istream& in, std::ostream& out, std::ostream& err) {
    const EndSignals signals;
    store::Store store(wish.data.empty() ? store::default_file() : std::filesystem::path(wish.data));
    JobDesk desk(store);
    if (wish.open.empty()) {
        desk.begin_with_an_example();
    } else if (const auto exit = open_job(desk, wish.open, in, err)) {
        return *exit;
    }

    Server::Wish server_wish;
    server_wish.port = wish.port;
    Server server(desk, server_wish);
    if (!server.open()) {
        return wish.port ? refuse(fmt::format("Port {} is in use by another program, or not free to take.", *wish.port),
                                  "Choose another one, or leave --port out.", Exit::cannot_serve, err)
                         : refuse(fmt::format("All ports from {} to {} are in use.", Server::usual_port,
                                              Server::usual_port + Server::ports_tried),
                                  "End other programs, or choose a port with --port.", Exit::cannot_serve, err);
    }
    std::optional<Server::Shared> shared;
    if (wish.share) {
        const auto job = store.last_opened();
        if (!job) {
            return refuse("There is no job to share.", "Open one in the page, then start again with --share.",
                          Exit::bad_input, err);
        }
        shared = server.share(*job, wish.notes);
        if (!shared) {
            return refuse("No port is free for the workshop.", "End other programs, or choose a port with --port.",
                          Exit::cannot_serve, err);
        }
    }
    server.start();
    out << fmt::format("Seamwright is at http://127.0.0.1:{}/ on this computer; Ctrl+C ends it.\n", server.port());
    if (shared) tell_shared(*shared, job_name(store, shared->job), wish.notes, out);
    out.flush();
    signals.wait();
    server.stop();
    out << "Ended. Every change is saved.\n";
    return Exit::good;
}

}  // namespace

Exit serve(const ServeWish& wish, std::istream& in, std::ostream& out, std::ostream& err) {
    try {
        return serve_jobs(wish, in, out, err);
    } catch (const store::StoreFailure& why) {
        return refuse(why.reason(), why.remedy(), Exit::cannot_serve, err);
    }
}

}  // namespace seamwright::app
