// Any bytes as a job document. Besides memory errors this looks for: a refusal without a problem, a document beside an
// error, problems without place, finding or remedy, and accepted documents that do not survive being written.

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "job/read.h"
#include "promise.h"

using namespace seamwright::job;

namespace {

/// Files that the fuzzer may name: the name itself is the file.
std::optional<std::string> name_as_file(const std::string& name, std::string& /*why*/) {
    return name;
}

void check(const Reading& reading) {
    promise(reading.document.has_value() != any_error(reading.problems));
    promise(reading.problems.size() <= most_problems + 1);
    for (const Problem& problem : reading.problems) {
        promise(problem.pointer.empty() || problem.pointer.front() == '/');
        promise(!problem.found.empty() && !problem.allowed.empty() && !problem.remedy.empty());
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(data, data + size);
    const Reading reading = read_document(text, name_as_file);
    check(reading);
    if (!reading.document) return 0;
    const std::string written = write_document(*reading.document);
    const Reading again = read_document(written, name_as_file);
    check(again);
    promise(again.document.has_value());
    promise(write_document(*again.document) == written);
    return 0;
}
