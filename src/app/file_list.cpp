#include "file_list.h"

#include <glib.h>

#include <algorithm>
#include <memory>
#include <new>

namespace seamwright::app {
namespace {

constexpr std::size_t digits = 64;

}  // namespace

std::string sha256(std::string_view bytes) {
    const std::unique_ptr<gchar, decltype(&g_free)> text(
        g_compute_checksum_for_data(G_CHECKSUM_SHA256, reinterpret_cast<const guchar*>(bytes.data()), bytes.size()),
        &g_free);
    if (!text) throw std::bad_alloc();
    return text.get();
}

bool plain_file_name(std::string_view name) {
    constexpr std::string_view refused("/\n\r\0", 4);
    return !name.empty() && name.front() != '.' && name.find_first_of(refused) == std::string_view::npos;
}

std::optional<FileList> FileList::read(std::string_view text) {
    FileList list;
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        if (end == std::string_view::npos) return {};
        const std::string_view line = text.substr(0, end);
        text.remove_prefix(end + 1);
        if (line.size() < digits + 3 || line.substr(digits, 2) != "  ") return {};
        const std::string_view fingerprint = line.substr(0, digits);
        const std::string_view name = line.substr(digits + 2);
        if (fingerprint.find_first_not_of("0123456789abcdef") != std::string_view::npos) return {};
        if (!plain_file_name(name)) return {};
        list.add(std::string(name), std::string(fingerprint));
    }
    return list;
}

std::string FileList::text() const {
    std::string text;
    for (const auto& [name, fingerprints] : fingerprints_) {
        for (const auto& fingerprint : fingerprints) text.append(fingerprint).append("  ").append(name).append("\n");
    }
    return text;
}

void FileList::add(const std::string& name, const std::string& fingerprint) {
    fingerprints_[name].insert(fingerprint);
}

void FileList::add(const FileList& other) {
    for (const auto& [name, fingerprints] : other.fingerprints_) {
        fingerprints_[name].insert(fingerprints.begin(), fingerprints.end());
    }
}

bool FileList::has(const std::string& name, const std::string& fingerprint) const {
    const auto found = fingerprints_.find(name);
    return found != fingerprints_.end() && found->second.contains(fingerprint);
}

std::set<std::string> FileList::names() const {
    std::set<std::string> names;
    for (const auto& [name, fingerprints] : fingerprints_) names.insert(name);
    return names;
}

}  // namespace seamwright::app
