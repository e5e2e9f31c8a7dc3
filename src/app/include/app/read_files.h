#pragma once

#include <iosfwd>
#include <string>
#include <variant>

#include "job/read.h"

namespace seamwright::app {

/// Why a file cannot be used, and what to do about it; plain sentences.
struct FileRefusal {
    std::string reason;
    std::string remedy;
};

/// The bytes of a job file; "-" reads `standard_input`. At most job::largest_document_bytes.
std::variant<std::string, FileRefusal> read_job_text(const std::string& name, std::istream& standard_input);

/// Fetches files that a job names. They have to lie in the folder of the job file or below it (the current folder for
/// "-"): a job that came from somebody else must not pull in whatever else lies on the maker's disk. So a name that
/// starts at the root, that climbs out with "..", or that is a link leading out, is refused, and so is anything but an
/// ordinary file.
job::FetchFile fetch_beside(const std::string& job_name);

}  // namespace seamwright::app
