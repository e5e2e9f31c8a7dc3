#pragma once

#include <array>
#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

// What a job says of the work after the seams: edges, finish, calendar, prices, and what was measured while it was
// made.
namespace seamwright::job {

using Day = std::chrono::year_month_day;
/// "2026-12-07".
std::string show(Day day);
/// nullopt for anything but an existing day written like that, from 1900 to 2999.
std::optional<Day> read_day(std::string_view text);
/// Minutes of the day from "08:30"; "24:00" is its end. nullopt for anything else.
std::optional<int> read_time(std::string_view text);
std::string show_time(int minutes);

/// What is routed along one rim of the top, all round.
struct EdgeShape {
    enum class Kind { square, round_over, chamfer, cove };
    Kind kind = Kind::square;
    double size_mm = 0.0;  ///< radius, or the width of the chamfer; 0 for a square edge
    friend bool operator==(const EdgeShape&, const EdgeShape&) = default;
};
std::string_view name_of(EdgeShape::Kind kind);

struct Edges {
    EdgeShape top, underside;
    friend bool operator==(const Edges&, const Edges&) = default;
};

/// How the top is finished; the names of systems stand in docs/shop.md.
struct Finish {
    std::string system;
    std::string apply;  ///< "brush", "wipe", "spray"; empty: as the system is usually applied
    int coats = 0;      ///< 0: as many as the system wants
    friend bool operator==(const Finish&, const Finish&) = default;
};

/// When the shop works.
struct Calendar {
    std::optional<Day> start;  ///< the first day of work; without it no day is told
    int people = 1;            ///< 1 or 2
    /// Minutes of the day, by weekday from Monday; empty lists: closed. In order, apart from each other.
    struct Hours {
        int from = 0, to = 0;
        friend bool operator==(const Hours&, const Hours&) = default;
    };
    std::array<std::vector<Hours>, 7> week;
    std::vector<Day> off;
    friend bool operator==(const Calendar&, const Calendar&) = default;
};
/// Monday to Friday from eight to twelve and from one to five (our choice).
std::array<std::vector<Calendar::Hours>, 7> usual_week();
std::string_view name_of_weekday(std::size_t from_monday);

/// The maker's own prices and rates, in the maker's own money; what is absent is left open in the quote.
struct Prices {
    std::string currency;
    std::optional<double> labour_per_hour, sheet_per_m2, adhesive_per_kg, finish_per_litre, abrasive_per_sheet,
        cutter_per_metre;
    std::optional<double> wood_per_m3;  ///< for pieces that come from no priced board
    double waste_percent = 25.0;        ///< of such wood (common practice, from memory)
    double overhead_percent = 0.0;
    std::string customer, terms;
    friend bool operator==(const Prices&, const Prices&) = default;
};

/// What was measured while the top was made.
struct Made {
    std::string step;  ///< which step, as the shop plan calls it
    Day on{};
    std::optional<double> hours, gap_mm, offset_mm, litres;
    std::string note;
    friend bool operator==(const Made&, const Made&) = default;
};

}  // namespace seamwright::job
