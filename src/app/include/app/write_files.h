#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "app/read_files.h"

namespace seamwright::app {

struct OutputFile {
    std::string name;  ///< no folders, does not begin with a dot
    std::string bytes;
};

/// Name of the list of fingerprints that lies beside the files; `sha256sum -c seamwright.sha256` checks them.
inline constexpr const char* list_name = "seamwright.sha256";

/// Writes all files into the folder, or none: on any failure the folder is as it was before, and folders made on the
/// way are gone. Names are unique and plain (std::invalid_argument otherwise).
///
/// The list tells own files from the maker's. Own files of an earlier run are replaced, and removed when the new plan
/// has no such file: a template of last week's seam must not lie among today's. A file that the list does not know, or
/// that was changed since it was written, is the maker's: it is left alone, and stands in the way (refusal) when it has
/// a name that is needed.
///
/// A new folder appears whole, by one rename. In a folder that exists already each file is replaced by one rename; when
/// the machine stops half-way, each file is either the old or the new one, and the list knows both.
/// One run at a time: a second one in the same folder is refused.
std::optional<FileRefusal> write_files(const std::filesystem::path& folder, const std::vector<OutputFile>& files);

/// Writes one file: beside its place under another name, then renamed. What lay there is replaced.
std::optional<FileRefusal> write_file(const std::filesystem::path& file, const std::string& bytes);

}  // namespace seamwright::app
