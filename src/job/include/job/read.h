#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "job/job.h"

namespace seamwright::job {

inline constexpr std::size_t largest_document_bytes = 64u << 20;
inline constexpr int deepest_nesting = 32;
/// The list of problems is cut off here, and says so.
inline constexpr std::size_t most_problems = 1000;

/// Fetches a file that the job names (a CSV of points). Relative names are the caller's business. Returns nullopt and
/// fills `why` when it cannot.
using FetchFile = std::function<std::optional<std::string>(const std::string& name, std::string& why)>;

struct Document {
    Job job;
    shelf::Shelf shelf;
};
struct Reading {
    std::optional<Document> document;  ///< absent when any problem is an error
    std::vector<Problem> problems;     ///< in order of the document
};

/// Reads a job document: UTF-8 JSON that follows schema/job.schema.json. Every problem is listed, not only the first;
/// unknown keys are refused with the nearest known name. Never throws for bad input.
Reading read_document(std::string_view text, const FetchFile& fetch);

/// Writes a document back: reading it again gives the same Job and Shelf. Lengths in mm, keys in the order of the
/// schema.
std::string write_document(const Document& document);

/// A trace as it stands at "traced" in a document of any unit: every length with its own. Where it lies on the top is
/// left out.
std::string write_traced(const curves::Traced& traced);

/// The published JSON Schema (2020-12) of the job document, as compiled in.
std::string_view document_schema();

}  // namespace seamwright::job
