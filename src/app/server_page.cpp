#include "server_page.h"

#include <algorithm>
#include <string>

#include "embedded/page_files.h"

namespace seamwright::app {

std::optional<Answer> page_answer(const Asked& asked) {
    std::string_view path = asked.path;
    if (path == "/") path = "/index.html";
    if (path == "/shop") path = "/shop.html";
    const auto& files = embedded::page_files();
    const auto file = std::find_if(files.begin(), files.end(), [&](const auto& each) { return each.path == path; });
    if (file == files.end()) return {};

    Answer answer;
    answer.type = file->type;
    const std::string tag = '"' + std::string(file->fingerprint.substr(0, 32)) + '"';
    answer.fields.emplace_back("ETag", tag);
    // Names under /assets/ carry a fingerprint: other bytes come under another name.
    answer.fields.emplace_back("Cache-Control",
                               path.starts_with("/assets/") ? "max-age=31536000, immutable" : "no-cache");
    if (asked.if_none_match == tag) {
        answer.status = 304;
    } else {
        answer.body = file->bytes;
    }
    return answer;
}

}  // namespace seamwright::app
