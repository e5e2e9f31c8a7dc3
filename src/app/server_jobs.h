#pragma once

#include <cstdint>
#include <list>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "app/server_listener.h"
#include "edit/open_job.h"
#include "screen/screen.h"
#include "server_json.h"
#include "store/store.h"

namespace seamwright::app {

/// Carries out what the page asks about jobs: takes and gives the JSON of web/src/protocol.ts, knows nothing of HTTP
/// but the status. Safe to use from several threads. What the store throws goes through.
class JobDesk {
  public:
    explicit JobDesk(store::Store& store) : store_(store) {}

    /// A data file without any job, deleted ones included, gets the first example, and the shop its shelf.
    void begin_with_an_example();
    struct NotOpened {
        std::vector<job::Problem> problems;
    };
    /// A job file as a new job, opened; when the same document is there already, that job.
    std::variant<store::JobId, NotOpened> take_in(const std::string& document);

    Answer list() const;
    /// `query`: of the address, "find=" and the question as addresses write it.
    Answer search(std::string_view query) const;
    Answer begin(std::string_view body);
    Answer screen(store::JobId id);
    Answer version(store::JobId id) const;
    Answer attempt(store::JobId id, std::string_view body);
    Answer edit(store::JobId id, std::string_view body);
    Answer undo(store::JobId id, std::string_view body);
    Answer redo(store::JobId id, std::string_view body);
    Answer duplicate(store::JobId id, std::string_view body);
    Answer remove(store::JobId id, std::string_view body);
    Answer restore(store::JobId id, std::string_view body);
    Answer history(store::JobId id) const;
    Answer go_back(store::JobId id, std::string_view body);
    Answer paper(store::JobId id, const std::string& name);
    Answer document(store::JobId id) const;
    Answer shop(store::JobId id);
    Answer wood(store::JobId id);
    Answer work(store::JobId id);
    /// Who may write of a job: all of it, or notes of the work alone.
    enum class Writes { all, notes };
    Answer made(store::JobId id, Writes writes = Writes::all);
    /// Edits of notes of the work, and of nothing else.
    Answer note(store::JobId id, std::string_view body, Writes writes = Writes::all);
    /// A photo of a board: its picture is made and kept.
    Answer board_photo(std::string_view query, std::string_view body);
    /// The picture of a board by its name.
    Answer picture(const std::string& name) const;
    /// `seam`: digits.
    Answer closing(store::JobId id, const std::string& seam);
    Answer feed(store::JobId id, const std::string& seam);

  private:
    /// A job as it stands, read and planned.
    struct Current {
        store::JobId id = 0;
        std::int64_t version = 0;
        std::string undo, redo;
        edit::OpenJob job;
        std::string shelf;  ///< in one spelling, to compare
    };
    using CurrentOrAnswer = std::variant<std::shared_ptr<const Current>, Answer>;
    struct Outline {
        std::int64_t version = 0;
        std::size_t seams = 0;
        units::Unit unit = units::Unit::millimetre;
    };

    CurrentOrAnswer current(store::JobId id);
    /// What `write` makes of the job as it stands.
    template <typename Write>
    Answer view_of(store::JobId id, const Write& write);
    CurrentOrAnswer opened(const store::Saved& saved);
    std::shared_ptr<const Current> keep(const store::Saved& saved, edit::OpenJob job);
    std::shared_ptr<const Current> kept(store::JobId id, std::int64_t version);
    Outline outline_of(store::JobId id) const;
    std::string shop_shelf() const;
    store::JobId create(const edit::OpenJob& job, std::string_view says);

    /// Edits carried out on the job as it stands, and not saved.
    struct CarriedOut {
        std::shared_ptr<const Current> base;
        edit::OpenJob::Edited edited;
        std::optional<std::size_t> looks_at;  ///< as in Change
    };

    class Stopwatch;
    std::variant<CarriedOut, Answer> carry_out(store::JobId id, std::string_view body, With with,
                                               const Stopwatch& watch);
    Answer work_paper(const Current& now, const std::string& name) const;
    static Answer screen_answer(const edit::OpenJob& job, const screen::Around& around, const Stopwatch& watch);
    Answer screen_of(const Current& current, const Stopwatch& watch) const;
    Answer overtaken(const Current& current, std::int64_t base, const Stopwatch& watch);
    Answer after(const std::variant<store::Saved, store::Overtaken, store::Missing>& result, const Stopwatch& watch);
    Answer overtaken(const store::Overtaken& by, const Stopwatch& watch);

    store::Store& store_;
    /// Jobs opened last first. A handle that is dragged asks for the same one sixty times a second.
    mutable std::mutex mutex_;
    std::list<std::shared_ptr<const Current>> current_;
    mutable std::map<store::JobId, Outline> outlines_;
};

}  // namespace seamwright::app
