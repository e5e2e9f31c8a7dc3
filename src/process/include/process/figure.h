#pragma once

namespace seamwright::process {

/// Where a number of the tables under data/ comes from, as data/README.md has it. `mixed`: one end of a range was read,
/// the other recalled.
enum class Provenance { read, computed, mixed, memory };

/// For a person: "read", "computed", "partly from memory", "from memory".
const char* says(Provenance from);

/// A value or a range of a table; a single value has low == high.
struct Figure {
    double low = 0.0, high = 0.0;
    Provenance from = Provenance::memory;
};

}  // namespace seamwright::process
