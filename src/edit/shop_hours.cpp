#include "shop_hours.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <iterator>

#include "job/shop_work.h"

namespace seamwright::edit {
namespace {

std::string without_spaces(std::string_view text) {
    std::string out;
    std::copy_if(text.begin(), text.end(), std::back_inserter(out), [](char c) { return c != ' ' && c != '\t'; });
    return out;
}

/// Every dash as '-', "and" and ';' as ','.
std::string in_plain_marks(std::string_view text) {
    struct Mark {
        std::string_view from;
        char to;
    };
    constexpr std::array<Mark, 5> marks{{{"–", '-'}, {"—", '-'}, {"−", '-'}, {" and ", ','}, {";", ','}}};
    std::string out;
    while (!text.empty()) {
        const auto mark =
            std::find_if(marks.begin(), marks.end(), [&](const Mark& m) { return text.starts_with(m.from); });
        out += mark == marks.end() ? text.front() : mark->to;
        text.remove_prefix(mark == marks.end() ? 1 : mark->from.size());
    }
    return out;
}

/// "8" and "8:30" as "08:00" and "08:30".
std::string whole_time(const std::string& time) {
    if (time.empty() || time.find_first_not_of("0123456789:") != std::string::npos) return time;
    const auto colon = time.find(':');
    const std::size_t hours = std::min(colon, time.size());
    return fmt::format("{}{}{}", hours == 1 ? "0" : "", time, colon == std::string::npos ? ":00" : "");
}

std::string whole_hours(std::string_view typed) {
    const std::string text = without_spaces(typed);
    const auto dash = text.find('-');
    if (dash == std::string::npos) return std::string(typed);
    return whole_time(text.substr(0, dash)) + '-' + whole_time(text.substr(dash + 1));
}

}  // namespace

bool is_weekday(const Steps& steps) {
    return steps.size() == 3 && steps[0] == "calendar" && steps[1] == "hours";
}

Json typed_hours(std::string_view text) {
    const std::string plain = in_plain_marks(text);
    Json day = Json::array();
    if (const std::string word = without_spaces(plain); word.empty() || word == "closed") return day;
    std::size_t from = 0;
    while (from <= plain.size()) {
        const std::size_t comma = std::min(plain.find(',', from), plain.size());
        day.push_back(whole_hours(std::string_view(plain).substr(from, comma - from)));
        from = comma + 1;
    }
    return day;
}

void begin_week(Json& tree) {
    Json* calendar = find(tree, {"calendar"});
    if (calendar == nullptr || !calendar->is_object() || calendar->contains("hours")) return;
    const auto week = job::usual_week();
    Json hours = Json::object();
    for (std::size_t d = 0; d < week.size(); ++d) {
        if (week[d].empty()) continue;
        Json& day = hours[std::string(job::name_of_weekday(d))];
        day = Json::array();
        for (const auto& h : week[d]) day.push_back(job::show_time(h.from) + '-' + job::show_time(h.to));
    }
    (*calendar)["hours"] = std::move(hours);
}

}  // namespace seamwright::edit
