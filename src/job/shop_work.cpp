#include "job/shop_work.h"

#include <fmt/format.h>

#include <charconv>

namespace seamwright::job {
namespace {

std::optional<int> digits(std::string_view text) {
    int value = 0;
    for (const char c : text) {
        if (c < '0' || c > '9') return std::nullopt;
        value = 10 * value + (c - '0');
    }
    return value;
}

}  // namespace

std::string show(Day day) {
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                       static_cast<unsigned>(day.day()));
}

std::optional<Day> read_day(std::string_view text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
    const auto year = digits(text.substr(0, 4)), month = digits(text.substr(5, 2)), day = digits(text.substr(8, 2));
    if (!year || !month || !day || *year < 1900 || *year > 2999) return std::nullopt;
    const Day out{std::chrono::year(*year), std::chrono::month(static_cast<unsigned>(*month)),
                  std::chrono::day(static_cast<unsigned>(*day))};
    return out.ok() ? std::optional(out) : std::nullopt;
}

std::optional<int> read_time(std::string_view text) {
    if (text.size() != 5 || text[2] != ':') return std::nullopt;
    const auto hours = digits(text.substr(0, 2)), minutes = digits(text.substr(3, 2));
    if (!hours || !minutes || *minutes > 59) return std::nullopt;
    const int out = 60 * *hours + *minutes;
    return out <= 24 * 60 ? std::optional(out) : std::nullopt;
}

std::string show_time(int minutes) {
    return fmt::format("{:02}:{:02}", minutes / 60, minutes % 60);
}

std::string_view name_of(EdgeShape::Kind kind) {
    switch (kind) {
        case EdgeShape::Kind::square:
            return "square";
        case EdgeShape::Kind::round_over:
            return "round_over";
        case EdgeShape::Kind::chamfer:
            return "chamfer";
        case EdgeShape::Kind::cove:
            return "cove";
    }
    return "";
}

std::array<std::vector<Calendar::Hours>, 7> usual_week() {
    std::array<std::vector<Calendar::Hours>, 7> week;
    for (std::size_t day = 0; day < 5; ++day) week[day] = {{8 * 60, 12 * 60}, {13 * 60, 17 * 60}};
    return week;
}

std::string_view name_of_weekday(std::size_t from_monday) {
    constexpr std::array<std::string_view, 7> names{"monday", "tuesday",  "wednesday", "thursday",
                                                    "friday", "saturday", "sunday"};
    return names.at(from_monday);
}

}  // namespace seamwright::job
