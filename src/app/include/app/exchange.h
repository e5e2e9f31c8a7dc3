#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace seamwright::app {

/// Puts new files into a folder in the place of old ones. Unless told to keep the result, puts the old ones back when
/// it goes out of scope: that is how an exchange that fails half-way is taken back.
class Exchange {
  public:
    /// The old files wait in `old_files`, an empty folder on the same file system.
    Exchange(std::filesystem::path folder, std::filesystem::path old_files);
    Exchange(const Exchange&) = delete;
    Exchange& operator=(const Exchange&) = delete;
    ~Exchange();

    /// Moves `new_file` to `name` in the folder, by one rename. Throws FileFailure.
    void place(const std::filesystem::path& new_file, const std::string& name);
    /// Takes a file out of the folder. Throws FileFailure.
    void remove(const std::string& name);
    void keep() { steps_.clear(); }

  private:
    struct Step {
        std::filesystem::path place;
        std::filesystem::path old;  ///< empty: there was no file
    };
    std::filesystem::path folder_;
    std::filesystem::path old_files_;
    std::vector<Step> steps_;
};

}  // namespace seamwright::app
