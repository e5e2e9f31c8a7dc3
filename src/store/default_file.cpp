#include <cstdlib>

#include "store/store.h"

namespace seamwright::store {
namespace {

namespace fs = std::filesystem;

/// Empty when the variable is missing or relative: "All paths set in these environment variables must be absolute. If
/// an implementation encounters a relative path […] it should consider the path invalid and ignore it."
fs::path absolute_path_in(const char* variable) {
    // Read before any thread is started that could set it.
    const char* value = std::getenv(variable);  // NOLINT(concurrency-mt-unsafe)
    const fs::path path = value == nullptr ? "" : value;
    return path.is_absolute() ? path : fs::path();
}

}  // namespace

fs::path default_file() {
    fs::path data = absolute_path_in("XDG_DATA_HOME");
    if (data.empty()) {
        const fs::path home = absolute_path_in("HOME");
        if (home.empty()) {
            throw StoreFailure("There is no place for the saved jobs: HOME is not set to a folder.",
                               "Set HOME to your home folder, or XDG_DATA_HOME to the folder for your data, as a full "
                               "path that begins with /.");
        }
        data = home / ".local" / "share";
    }
    return data / "seamwright" / "jobs.sqlite";
}

}  // namespace seamwright::store
