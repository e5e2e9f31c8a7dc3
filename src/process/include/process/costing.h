#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "process/board_measure.h"
#include "process/finish_plan.h"

namespace seamwright::process {

// What a job costs. Every price is the shop's own; where one is missing the line stands without an amount and the sum
// says that it is incomplete.
//
// Money is counted in whole hundredths, quantities in whole thousandths. An amount is one multiplication of the two
// numbers as they are shown, rounded once, halves away from nought; a sum adds the amounts as they are shown. So the
// sheet can be checked with a pocket calculator and never drifts.

struct Money {
    std::int64_t hundredths = 0;
    friend bool operator==(const Money&, const Money&) = default;
};
/// As a person writes it; halves of a hundredth away from nought. |value| <= 1e9, else std::invalid_argument.
Money money(double value);
/// "1234.50 EUR"; without a currency "1234.50".
std::string show(Money money, const std::string& currency);

struct CostLine {
    enum class Kind { wood, sheet, adhesive, finish, abrasive, cutter, labour, other, share };
    Kind kind = Kind::other;
    std::string what;              ///< "Walnut, 5/4"
    std::int64_t thousandths = 0;  ///< of the unit
    std::string unit;              ///< "board feet", "m³", "kg", "L", "h", "%"
    std::optional<Money> price;    ///< for one unit; of a share: what it is a share of
    std::optional<Money> amount;
    std::string how;  ///< how the quantity came about, a few words
};
const char* says(CostLine::Kind kind);
/// "12.5", "0.085", "3".
std::string show_quantity(std::int64_t thousandths);

/// Quantity (0 to 1e6, rounded to thousandths, halves up) times price. std::invalid_argument beyond.
CostLine cost_line(CostLine::Kind kind, const std::string& what, double quantity, const std::string& unit,
                   std::optional<Money> price, const std::string& how);

// The lines of a job. Shares (waste) are 0 or more: 0.25 is a quarter more than the finished work.

/// Boards that are there, by the trade's tally.
CostLine boards_line(const std::string& what, const std::vector<YardBoard>& boards,
                     std::optional<Money> per_board_foot);
/// Wood yet to be bought for a finished area: in board feet of the class that planes to the thickness (its name in
/// `how`), or in cubic metres of a rough thickness. The first throws where wood is not sold so thick.
CostLine board_feet_line(const std::string& what, double area_m2, double planed_mm, double waste,
                         std::optional<Money> per_board_foot);
CostLine cubic_line(const std::string& what, double area_m2, double rough_mm, double waste,
                    std::optional<Money> per_m3);
/// Whole sheets.
CostLine sheets_line(const std::string& what, double area_m2, double waste, double sheet_m2,
                     std::optional<Money> per_sheet);
CostLine adhesive_line(const std::string& what, double grams, std::optional<Money> per_kg);
/// Finish by what is used, or by whole cans.
CostLine litres_line(const std::string& what, double litres, std::optional<Money> per_litre);
CostLine cans_line(const std::string& what, const Bought& cans, std::optional<Money> per_can);
CostLine abrasives_line(const std::string& what, int count, std::optional<Money> each);
/// The part of a cutter's life that the cut takes.
CostLine cutter_line(const std::string& what, double routed_m, double life_m, std::optional<Money> per_cutter);
CostLine labour_line(const std::string& what, double minutes, std::optional<Money> per_hour);
/// A share of a sum: overhead, profit, tax. percent 0 to 1000.
CostLine share_line(const std::string& what, double percent, Money of);

struct CostSheet {
    std::vector<CostLine> lines;
    Money sum;  ///< of the lines that have an amount
    bool complete = true;
    std::vector<std::string> missing;  ///< what has no price, in order
    std::string says;                  ///< the sum in a sentence, and what is missing
    std::string rounding;              ///< how it was rounded, in a sentence
};
/// Throws std::invalid_argument where the sum is beyond 1e9.
CostSheet cost_sheet(std::vector<CostLine> lines, const std::string& currency);
/// Sum of the lines of one kind that have an amount.
Money sum_of(const CostSheet& sheet, CostLine::Kind kind);

}  // namespace seamwright::process
