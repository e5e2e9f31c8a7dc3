#include "process/icalendar.h"

#include <fmt/format.h>

#include <stdexcept>

#include "calendar_check.h"

namespace seamwright::process {
namespace {

using std::chrono::floor;
using std::chrono::hh_mm_ss;
using std::chrono::year_month_day;

constexpr std::size_t most_octets = 75;  // RFC 5545, section 3.1, without the line end

// The first octet of a letter in UTF-8 is none of 10xxxxxx.
bool begins_a_letter(char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
}

std::string date_and_time(const year_month_day& day, int hour, int minute, int second) {
    const int year = static_cast<int>(day.year());
    if (year < 1 || year > 9999) throw std::invalid_argument("write_icalendar: a year has four digits");
    return fmt::format("{:04}{:02}{:02}T{:02}{:02}{:02}", year, static_cast<unsigned>(day.month()),
                       static_cast<unsigned>(day.day()), hour, minute, second);
}

std::string floating(Moment t) {
    const auto day = floor<std::chrono::days>(t);
    const int minutes = static_cast<int>((t - Moment(day)).count());
    return date_and_time(year_month_day{day}, minutes / 60, minutes % 60, 0);
}

std::string utc(std::chrono::sys_seconds t) {
    const auto day = floor<std::chrono::days>(t);
    const hh_mm_ss clock{t - day};
    return date_and_time(year_month_day{day}, static_cast<int>(clock.hours().count()),
                         static_cast<int>(clock.minutes().count()), static_cast<int>(clock.seconds().count())) +
           "Z";
}

/// Letters, digits, '_' and '-' as they are, the rest in hexadecimal: two different ids never become one.
std::string plain(const std::string& id) {
    std::string out;
    for (const char c : id) {
        const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
        if (letter || c == '_' || c == '-')
            out += c;
        else
            out += fmt::format("%{:02X}", static_cast<unsigned>(static_cast<unsigned char>(c)));
    }
    return out;
}

class Writer {
  public:
    Writer(const std::vector<Task>& tasks, const Schedule& schedule, const CalendarText& text)
        : tasks_(tasks), schedule_(schedule), text_(text) {}

    std::string run() {
        line("BEGIN:VCALENDAR");
        line("VERSION:2.0");
        line("PRODID:-//Seamwright//Seamwright//EN");
        line("CALSCALE:GREGORIAN");
        for (std::size_t i = 0; i < tasks_.size(); ++i) task(i);
        event("delivery", text_.delivery, schedule_.delivery, schedule_.delivery, false);
        line("END:VCALENDAR");
        return out_;
    }

  private:
    void line(const std::string& text) { out_ += fold_line(text) + "\r\n"; }

    void task(std::size_t i) {
        const Task& task = tasks_[i];
        const Planned& p = schedule_.tasks[i];
        const std::string name = calendar::called(task);
        const std::string id = "task." + plain(task.id);
        for (std::size_t k = 0; k < p.work.size(); ++k)
            event(fmt::format("{}.work.{}", id, k + 1), name, p.work[k].from, p.work[k].until, true);
        if (p.work.empty() && p.ready == p.end) event(id + ".moment", name, p.end, p.end, false);
        Moment since = p.end;
        if (!task.clamps.empty() && p.clamps_off > since) {
            event(id + ".clamps", name + ": " + text_.in_clamps, since, p.clamps_off, false);
            since = p.clamps_off;
        }
        if (p.ready > since)
            event(id + ".wait", task.wait_name.empty() ? name + ": " + text_.waits : task.wait_name, since, p.ready,
                  false);
    }

    void event(const std::string& id, const std::string& summary, Moment from, Moment until, bool busy) {
        line("BEGIN:VEVENT");
        line("UID:" + id + "." + plain(text_.job_id) + "@seamwright");
        line("DTSTAMP:" + utc(text_.written));
        line("DTSTART:" + floating(from));
        // An event without an end is a moment (section 3.6.1); its end must never equal its start.
        if (until > from) line("DTEND:" + floating(until));
        line("SUMMARY:" + escape_text(summary));
        if (!text_.job_name.empty()) line("DESCRIPTION:" + escape_text(text_.job_name));
        line(busy ? "TRANSP:OPAQUE" : "TRANSP:TRANSPARENT");
        line("END:VEVENT");
    }

    const std::vector<Task>& tasks_;
    const Schedule& schedule_;
    const CalendarText& text_;
    std::string out_;
};

}  // namespace

std::string fold_line(const std::string& line) {
    std::string out;
    std::size_t from = 0, room = most_octets;
    while (line.size() - from > room) {
        std::size_t until = from + room;
        while (until > from && !begins_a_letter(line[until])) --until;
        // Not UTF-8 at all: cut anywhere rather than never end.
        if (until == from) until = from + room;
        out += line.substr(from, until - from) + "\r\n ";
        from = until;
        room = most_octets - 1;  // the space at the beginning counts
    }
    return out + line.substr(from);
}

std::string escape_text(const std::string& text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        const auto octet = static_cast<unsigned char>(c);
        if (c == '\\' || c == ';' || c == ',')
            out += std::string("\\") + c;
        else if (c == '\n' || c == '\r') {
            out += "\\n";
            if (c == '\r' && i + 1 < text.size() && text[i + 1] == '\n') ++i;
        } else if ((octet < 0x20U && c != '\t') || octet == 0x7FU)
            out += ' ';
        else
            out += c;
    }
    return out;
}

std::string write_icalendar(const std::vector<Task>& tasks, const Schedule& schedule, const CalendarText& text) {
    if (text.job_id.empty()) throw std::invalid_argument("write_icalendar: a job has an id");
    if (tasks.size() != schedule.tasks.size())
        throw std::invalid_argument("write_icalendar: the schedule is of other tasks");
    return Writer(tasks, schedule, text).run();
}

}  // namespace seamwright::process
