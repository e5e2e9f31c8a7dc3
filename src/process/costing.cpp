#include "process/costing.h"

#include <fmt/format.h>

#include <cmath>
#include <stdexcept>
#include <utility>

#include "process/film.h"

namespace seamwright::process {
namespace {

constexpr std::int64_t thousand = 1000, hundred = 100;
constexpr std::int64_t most_hundredths = 100'000'000'000;  // 1e9 of money
constexpr double most_money = 1e9, most_quantity = 1e6;
/// Decimal numbers such as 1.005 lie a hair beside what was written: they are rounded as written.
constexpr double as_written = 1e-7;

std::int64_t whole(double value) {
    return std::llround(value + std::copysign(as_written, value));
}

/// a / b to the nearest whole number, halves away from nought; b > 0.
std::int64_t divided(std::int64_t a, std::int64_t b) {
    return a < 0 ? -((-a + b / 2) / b) : (a + b / 2) / b;
}

void check_share(const char* what, double waste) {
    if (!(waste >= 0.0) || !(waste <= 10.0))
        throw std::invalid_argument(std::string(what) + ": waste is a share, 0 or more");
}

std::string more(double waste) {
    return waste > 0.0 ? fmt::format(", {:.0f} % more for waste", 100.0 * waste) : "";
}

}  // namespace

Money money(double value) {
    if (!(std::abs(value) <= most_money)) throw std::invalid_argument("money: at most 1,000,000,000");
    return {whole(static_cast<double>(hundred) * value)};
}

std::string show(Money money, const std::string& currency) {
    const std::int64_t size = money.hundredths < 0 ? -money.hundredths : money.hundredths;
    return fmt::format("{}{}.{:02}{}{}", money.hundredths < 0 ? "-" : "", size / hundred, size % hundred,
                       currency.empty() ? "" : " ", currency);
}

const char* says(CostLine::Kind kind) {
    switch (kind) {
        case CostLine::Kind::wood:
            return "wood";
        case CostLine::Kind::sheet:
            return "sheet goods";
        case CostLine::Kind::adhesive:
            return "adhesive";
        case CostLine::Kind::finish:
            return "finish";
        case CostLine::Kind::abrasive:
            return "abrasives";
        case CostLine::Kind::cutter:
            return "cutters";
        case CostLine::Kind::labour:
            return "labour";
        case CostLine::Kind::share:
            return "added shares";
        case CostLine::Kind::other:
            break;
    }
    return "other";
}

std::string show_quantity(std::int64_t thousandths) {
    std::string text = fmt::format("{}.{:03}", thousandths / thousand, thousandths % thousand);
    while (text.back() == '0') text.pop_back();
    if (text.back() == '.') text.pop_back();
    return text;
}

CostLine cost_line(CostLine::Kind kind, const std::string& what, double quantity, const std::string& unit,
                   std::optional<Money> price, const std::string& how) {
    if (!(quantity >= 0.0) || !(quantity <= most_quantity))
        throw std::invalid_argument("cost_line: quantities are 0 to 1,000,000");
    if (price && std::abs(price->hundredths) > most_hundredths)
        throw std::invalid_argument("cost_line: the price is beyond 1,000,000,000");
    CostLine out;
    out.kind = kind;
    out.what = what;
    out.thousandths = whole(static_cast<double>(thousand) * quantity);
    out.unit = unit;
    out.price = price;
    out.how = how;
    if (price) {
        // Whole units and the rest apart: their products stay within 64 bits at the largest quantity and price.
        const std::int64_t units = out.thousandths / thousand, rest = out.thousandths % thousand;
        out.amount = Money{units * price->hundredths + divided(rest * price->hundredths, thousand)};
    }
    return out;
}

CostLine boards_line(const std::string& what, const std::vector<YardBoard>& boards,
                     std::optional<Money> per_board_foot) {
    const Tally counted = tally(boards);
    return cost_line(
        CostLine::Kind::wood, what, counted.total, "board feet", per_board_foot,
        fmt::format("{} {}, each to whole square feet", boards.size(), boards.size() == 1 ? "board" : "boards"));
}

CostLine board_feet_line(const std::string& what, double area_m2, double planed_mm, double waste,
                         std::optional<Money> per_board_foot) {
    check_share("board_feet_line", waste);
    const ThicknessClass* bought = class_for_planed(planed_mm);
    if (bought == nullptr || !(area_m2 >= 0.0))
        throw std::invalid_argument("board_feet_line: no class of the trade is so thick, or the area is none");
    const double feet = area_m2 / m2_per_ft2 * (1.0 + waste) * bought->counted_in();
    return cost_line(CostLine::Kind::wood, what, feet, "board feet", per_board_foot, bought->name + more(waste));
}

CostLine cubic_line(const std::string& what, double area_m2, double rough_mm, double waste,
                    std::optional<Money> per_m3) {
    check_share("cubic_line", waste);
    return cost_line(CostLine::Kind::wood, what, (1.0 + waste) * cubic_metres(area_m2, rough_mm), "m³", per_m3,
                     fmt::format("{:.0f} mm rough{}", rough_mm, more(waste)));
}

CostLine sheets_line(const std::string& what, double area_m2, double waste, double sheet_m2,
                     std::optional<Money> per_sheet) {
    check_share("sheets_line", waste);
    if (!(area_m2 >= 0.0) || !(sheet_m2 > 0.0)) throw std::invalid_argument("sheets_line: an area that is none");
    constexpr double nothing = 1e-9;
    const double sheets = std::ceil((1.0 + waste) * area_m2 / sheet_m2 - nothing);
    return cost_line(CostLine::Kind::sheet, what, sheets, "sheets", per_sheet, "by area, whole sheets" + more(waste));
}

CostLine adhesive_line(const std::string& what, double grams, std::optional<Money> per_kg) {
    return cost_line(CostLine::Kind::adhesive, what, 1e-3 * grams, "kg", per_kg, "");
}

CostLine litres_line(const std::string& what, double litres, std::optional<Money> per_litre) {
    return cost_line(CostLine::Kind::finish, what, litres, "L", per_litre, "what is used");
}

CostLine cans_line(const std::string& what, const Bought& cans, std::optional<Money> per_can) {
    return cost_line(CostLine::Kind::finish, what, cans.count, "× " + cans.size.name, per_can, "whole cans");
}

CostLine abrasives_line(const std::string& what, int count, std::optional<Money> each) {
    return cost_line(CostLine::Kind::abrasive, what, count, "pieces", each, "");
}

CostLine cutter_line(const std::string& what, double routed_m, double life_m, std::optional<Money> per_cutter) {
    if (!(routed_m >= 0.0) || !(life_m > 0.0)) throw std::invalid_argument("cutter_line: a length that is none");
    return cost_line(CostLine::Kind::cutter, what, routed_m / life_m, "cutters", per_cutter,
                     fmt::format("{:.1f} m of {:.0f} m until it is dull", routed_m, life_m));
}

CostLine labour_line(const std::string& what, double minutes, std::optional<Money> per_hour) {
    constexpr double per_h = 60.0;
    return cost_line(CostLine::Kind::labour, what, minutes / per_h, "h", per_hour, fmt::format("{:.0f} min", minutes));
}

CostLine share_line(const std::string& what, double percent, Money of) {
    constexpr double most_percent = 1000.0;
    if (!(percent >= 0.0) || !(percent <= most_percent) || std::abs(of.hundredths) > most_hundredths)
        throw std::invalid_argument("share_line: shares are 0 to 1000 %");
    CostLine out = cost_line(CostLine::Kind::share, what, percent, "%", std::nullopt, "of " + show(of, ""));
    out.price = of;
    out.amount = Money{divided(out.thousandths * of.hundredths, hundred * thousand)};
    return out;
}

CostSheet cost_sheet(std::vector<CostLine> lines, const std::string& currency) {
    CostSheet out;
    out.lines = std::move(lines);
    for (const CostLine& line : out.lines) {
        if (!line.amount) {
            out.complete = false;
            out.missing.push_back(line.what);
            continue;
        }
        out.sum.hundredths += line.amount->hundredths;
        if (std::abs(out.sum.hundredths) > most_hundredths)
            throw std::invalid_argument("cost_sheet: the sum is beyond 1,000,000,000");
    }
    if (out.complete) {
        out.says = fmt::format("Together {}.", show(out.sum, currency));
    } else {
        std::string names;
        for (const std::string& name : out.missing) names += (names.empty() ? "" : "; ") + name;
        out.says = fmt::format("So far {}. Incomplete: no price for {}.", show(out.sum, currency), names);
    }
    out.rounding =
        "Quantities are rounded to thousandths, each amount to hundredths, halves up; the sum adds the amounts as "
        "shown.";
    return out;
}

Money sum_of(const CostSheet& sheet, CostLine::Kind kind) {
    Money out;
    for (const CostLine& line : sheet.lines)
        if (line.kind == kind && line.amount) out.hundredths += line.amount->hundredths;
    return out;
}

}  // namespace seamwright::process
