#include "layout.h"

#include <array>

namespace seamwright::store {
namespace {

// job       where each job stands. `version` counts the steps that moved it; `moved` is the last of these.
// change    the tree of its documents. `redo` is the child that was left last. A large document may hold only what
//           differs from the whole one of `base`: the first `head` and last `tail` bytes are those of the base.
// step      everything that was ever done to a job, in the order in which it was done.
// shelf     every shelf of the shop that was ever kept; the last one counts.
// opened    which jobs were opened, the last one last.
//
// Documents stand at the end of their rows, so that lists of names never read them.
constexpr const char* first_layout = R"(
CREATE TABLE job (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    change INTEGER NOT NULL,
    version INTEGER NOT NULL CHECK (version >= 1),
    moved INTEGER NOT NULL REFERENCES step (id) DEFERRABLE INITIALLY DEFERRED,
    deleted INTEGER REFERENCES step (id) DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY (id, change) REFERENCES change (job, id) DEFERRABLE INITIALLY DEFERRED
) STRICT;
CREATE TABLE change (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    job INTEGER NOT NULL REFERENCES job (id),
    parent INTEGER,
    redo INTEGER,
    name TEXT NOT NULL,
    says TEXT NOT NULL CHECK (says <> ''),
    at TEXT NOT NULL,
    base INTEGER,
    head INTEGER NOT NULL DEFAULT 0 CHECK (head >= 0),
    tail INTEGER NOT NULL DEFAULT 0 CHECK (tail >= 0),
    document BLOB NOT NULL,
    UNIQUE (job, id),
    CHECK (parent < id AND base < id AND redo > id),
    CHECK (base IS NOT NULL OR (head = 0 AND tail = 0)),
    FOREIGN KEY (job, parent) REFERENCES change (job, id),
    FOREIGN KEY (job, redo) REFERENCES change (job, id),
    FOREIGN KEY (job, base) REFERENCES change (job, id)
) STRICT;
CREATE TABLE step (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    job INTEGER NOT NULL REFERENCES job (id),
    version INTEGER NOT NULL,
    change INTEGER NOT NULL,
    how TEXT NOT NULL CHECK (how IN ('made', 'undone', 'redone', 'deleted', 'restored')),
    at TEXT NOT NULL,
    FOREIGN KEY (job, change) REFERENCES change (job, id)
) STRICT;
CREATE UNIQUE INDEX step_of_version ON step (job, version) WHERE how IN ('made', 'undone', 'redone');
CREATE TABLE shelf (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    at TEXT NOT NULL,
    document TEXT NOT NULL
) STRICT;
CREATE TABLE opened (
    turn INTEGER PRIMARY KEY AUTOINCREMENT,
    job INTEGER NOT NULL UNIQUE REFERENCES job (id)
) STRICT;
)";

// picture   pictures of boards, each once: its name is made of its bytes. Documents hold the name alone.
constexpr const char* second_layout = R"(
CREATE TABLE picture (
    name TEXT PRIMARY KEY,
    bytes BLOB NOT NULL
) STRICT;
)";

// spoken      the words of each job that can be searched, and where they stand in it.
// spoken_of   from which change of the job they were taken, and by which way of taking them: others are out of date.
constexpr const char* third_layout = R"(
CREATE TABLE spoken (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    job INTEGER NOT NULL REFERENCES job (id),
    place TEXT NOT NULL,
    text TEXT NOT NULL
) STRICT;
CREATE INDEX spoken_by_job ON spoken (job);
CREATE TABLE spoken_of (
    job INTEGER PRIMARY KEY REFERENCES job (id),
    change INTEGER NOT NULL REFERENCES change (id),
    taken_by INTEGER NOT NULL
) STRICT;
)";

constexpr std::array all_layouts = {first_layout, second_layout, third_layout};

}  // namespace

std::span<const char* const> layouts() {
    return all_layouts;
}

}  // namespace seamwright::store
