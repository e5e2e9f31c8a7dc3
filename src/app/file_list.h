#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>

namespace seamwright::app {

/// SHA-256 (FIPS 180-4) in lower-case hexadecimal.
std::string sha256(std::string_view bytes);

/// Files this program wrote into a folder, by name, with the fingerprints they may have. While files are being replaced
/// a name has two: the one before and the one after.
class FileList {
  public:
    /// The form of `sha256sum`: 64 hexadecimal digits, two spaces, name. nullopt when a line is anything else, or a
    /// name could lead out of the folder: then somebody else wrote it.
    static std::optional<FileList> read(std::string_view text);
    std::string text() const;

    void add(const std::string& name, const std::string& fingerprint);
    void add(const FileList& other);
    bool has(const std::string& name, const std::string& fingerprint) const;
    std::set<std::string> names() const;

  private:
    std::map<std::string, std::set<std::string>> fingerprints_;
};

/// No folders, no leading dot, not empty, no line end.
bool plain_file_name(std::string_view name);

}  // namespace seamwright::app
