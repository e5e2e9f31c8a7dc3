#pragma once

#include <string>
#include <vector>

#include "paper/job_book.h"
#include "text_pages.h"

namespace seamwright::paper {

// The sections of the job book, each in a source of its own.

SheetSize sheet_of(const JobStudies& studies);
std::string weight_of(const JobStudies& studies);
std::string size_of(const JobStudies& studies);  ///< "1510.0 mm × 640.0 mm, 22.0 mm thick"
/// The picture of the top, as wide as the text.
void put_picture(TextPages& pages, const JobStudies& studies, double highest_mm);

std::vector<Drawing> cover_pages(const JobStudies& studies);
std::vector<Drawing> cut_list_pages(const JobStudies& studies);
std::vector<Drawing> test_pages(const JobStudies& studies);
std::vector<Drawing> chain_pages(const JobStudies& studies);
std::vector<Drawing> step_pages(const JobStudies& studies);
std::vector<Drawing> feed_pages(const JobStudies& studies);
std::vector<Drawing> surface_pages(const JobStudies& studies);
std::vector<Drawing> calendar_pages(const JobStudies& studies);

}  // namespace seamwright::paper
