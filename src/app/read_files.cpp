#include "app/read_files.h"

#include <fmt/format.h>

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <istream>
#include <system_error>

namespace seamwright::app {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t mebibyte = 1U << 20U;

/// Reads one byte more than allowed, so that the caller sees that it is too much.
std::string read_bounded(std::istream& in) {
    std::string text;
    const std::size_t most = job::largest_document_bytes + 1;
    while (in && text.size() < most) {
        const std::size_t have = text.size();
        const std::size_t block = std::min(mebibyte, most - have);
        text.resize(have + block);
        in.read(text.data() + have, static_cast<std::streamsize>(block));
        text.resize(have + static_cast<std::size_t>(in.gcount()));
    }
    return text;
}

std::string last_reason() {
    return std::generic_category().message(errno == 0 ? EIO : errno);
}

bool inside(const fs::path& file, const fs::path& folder) {
    const fs::path way = file.lexically_relative(folder);
    return !way.empty() && *way.begin() != "..";
}

}  // namespace

std::variant<std::string, FileRefusal> read_job_text(const std::string& name, std::istream& standard_input) {
    std::string text;
    if (name == "-") {
        text = read_bounded(standard_input);
        if (standard_input.bad()) {
            return FileRefusal{"The job cannot be read from standard input.", "Give the name of a job file instead."};
        }
    } else {
        std::error_code ignored;
        if (fs::is_directory(name, ignored)) {
            return FileRefusal{fmt::format("{} is a folder.", name), "Give the name of the job file in it."};
        }
        errno = 0;
        std::ifstream file(name, std::ios::binary);
        if (file) text = read_bounded(file);
        if (!file.is_open() || file.bad()) {
            return FileRefusal{fmt::format("The job file {} cannot be read: {}.", name, last_reason()),
                               "Check the name, and that you may read the file."};
        }
    }
    if (text.size() > job::largest_document_bytes) {
        return FileRefusal{
            fmt::format("{} is larger than {} MiB.", name == "-" ? "The job on standard input" : "The job file " + name,
                        job::largest_document_bytes / mebibyte),
            "Keep long lists of points in CSV files beside the job file, and name them in it."};
    }
    return text;
}

job::FetchFile fetch_beside(const std::string& job_name) {
    fs::path folder = job_name == "-" ? fs::path(".") : fs::path(job_name).parent_path();
    if (folder.empty()) folder = ".";
    return [folder](const std::string& name, std::string& why) -> std::optional<std::string> {
        const fs::path asked(name);
        if (name.empty() || name.find('\0') != std::string::npos) {
            why = "this is no file name";
            return {};
        }
        if (asked.is_absolute()) {
            why = "only files in the folder of the job file, or below it, are read";
            return {};
        }
        std::error_code failed;
        const fs::path home = fs::canonical(folder, failed);
        if (!failed && !inside((home / asked).lexically_normal(), home)) {
            why = "this leads out of the folder of the job file";
            return {};
        }
        const fs::path real = failed ? fs::path() : fs::canonical(home / asked, failed);
        if (failed) {
            why = failed == std::errc::no_such_file_or_directory
                      ? "there is no such file beside the job file"
                      : fmt::format("the file cannot be read ({})", failed.message());
            return {};
        }
        if (!inside(real, home)) {
            why = "this leads out of the folder of the job file";
            return {};
        }
        // A pipe or a device could keep the program waiting for ever.
        if (!fs::is_regular_file(real, failed)) {
            why = "this is not an ordinary file";
            return {};
        }
        errno = 0;
        std::ifstream file(real, std::ios::binary);
        std::string text;
        if (file) text = read_bounded(file);
        if (!file.is_open() || file.bad()) {
            why = fmt::format("the file cannot be read ({})", last_reason());
            return {};
        }
        return text;
    };
}

}  // namespace seamwright::app
