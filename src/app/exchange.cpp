#include "app/exchange.h"

#include <system_error>
#include <utility>

#include "posix_file.h"

namespace seamwright::app {

namespace fs = std::filesystem;

Exchange::Exchange(fs::path folder, fs::path old_files)
    : folder_(std::move(folder)), old_files_(std::move(old_files)) {}

Exchange::~Exchange() {
    std::error_code ignored;
    for (auto step = steps_.rbegin(); step != steps_.rend(); ++step) {
        if (step->old.empty()) {
            fs::remove(step->place, ignored);
        } else {
            fs::rename(step->old, step->place, ignored);
        }
    }
}

void Exchange::place(const fs::path& new_file, const std::string& name) {
    Step step{folder_ / name, {}};
    if (fs::exists(fs::symlink_status(step.place))) {
        step.old = old_files_ / std::to_string(steps_.size());
        // A second name keeps the old file in place until the new one takes over; not every file system has that.
        std::error_code failed;
        fs::create_hard_link(step.place, step.old, failed);
        if (failed) move_file(step.place, step.old);
        steps_.push_back(step);
        move_file(new_file, step.place);
    } else {
        move_file(new_file, step.place);
        steps_.push_back(step);
    }
}

void Exchange::remove(const std::string& name) {
    const Step step{folder_ / name, old_files_ / std::to_string(steps_.size())};
    move_file(step.place, step.old);
    steps_.push_back(step);
}

}  // namespace seamwright::app
