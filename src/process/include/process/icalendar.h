#pragma once

#include <string>
#include <vector>

#include "process/calendar.h"

namespace seamwright::process {

/// What a calendar file says besides its times. Texts are UTF-8.
struct CalendarText {
    std::string job_id;  ///< with a task's id it makes what a calendar program knows an event by; not empty
    std::string job_name;
    std::string delivery = "Ready to deliver";
    std::string waits = "waiting";  ///< written after the name of a task whose wait has no name of its own
    std::string in_clamps = "in clamps";
    std::chrono::sys_seconds written;  ///< when the file was made; in UTC
};

/// A schedule as an iCalendar file (RFC 5545): an event for every stretch of work (busy), for every wait (free) and for
/// the delivery. Times float (form 1 of section 3.3.5): they are the shop's clock wherever the file is read. An event
/// keeps its UID while its task keeps its id, however it moves, so that a newer file replaces an older one. Lines are
/// no longer than 75 octets and end in CRLF; letters are never cut in two. Throws std::invalid_argument for an empty
/// job id, a schedule that does not belong to these tasks, or years beyond 1 … 9999.
std::string write_icalendar(const std::vector<Task>& tasks, const Schedule& schedule, const CalendarText& text);

/// The same rules for one line, without its end (section 3.1) and for a text in it (section 3.3.11). What a text must
/// not hold, control characters but tab and line feed, becomes a space; CR LF and CR count as a line feed.
std::string fold_line(const std::string& line);
std::string escape_text(const std::string& text);

}  // namespace seamwright::process
