#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "edit/open_job.h"
#include "plan/shop_study.h"

namespace seamwright::screen {

// The files of the work.
inline constexpr std::string_view book_name = "job-book.pdf";
inline constexpr std::string_view quote_name = "quote.pdf";
inline constexpr std::string_view cut_list_name = "cut-list.csv";
inline constexpr std::string_view calendar_name = "calendar.ics";

struct WorkFile {
    std::string name;
    std::string says;   ///< what it is, for the list the maker sees
    std::string lacks;  ///< why it cannot be made, and what to do; empty: it can
};
std::vector<WorkFile> work_files(const plan::ShopStudy& shop);

/// `WorkView` of web/src/protocol.ts: the work from the boards to the delivery, its calendar drawn, what it costs, and
/// what stands open. Takes longer than a screen, so it is asked for on its own.
std::string write_work(const edit::OpenJob& job, std::int64_t version);

}  // namespace seamwright::screen
