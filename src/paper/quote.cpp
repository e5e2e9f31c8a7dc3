#include <fmt/format.h>

#include <algorithm>

#include "book_sections.h"
#include "calendar_drawing.h"
#include "plan/calendar_picture.h"
#include "plan/words.h"

namespace seamwright::paper {

using plan::words::Told;

std::vector<Drawing> quote_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), "Quote", s.plan.name);
    const job::Prices prices = s.job.prices.value_or(job::Prices{});
    if (!prices.customer.empty()) pages.say("For " + prices.customer, 3.6, true);
    pages.down(2.0);
    if (!s.plan.pieces.empty()) put_picture(pages, s, 110.0);
    Told what{"The top", {}, {}};
    what.lines.push_back(size_of(s) + fmt::format(", about {}.", weight_of(s)));
    for (const plan::PiecePlan& piece : s.plan.pieces)
        what.lines.push_back(fmt::format("{}: {}.", plan::words::capitalised(piece.name), piece.species));
    if (s.shop.finish) what.lines.push_back(fmt::format("Finish: {}.", s.shop.finish->system->name));
    what.lines.push_back(
        "The picture shows the wood as laid out; wood is a grown thing, and its colour changes in light.");
    pages.part(what);
    Told sum{"Price", {}, {}};
    const std::string& currency = prices.currency;
    using Kind = process::CostLine::Kind;
    for (const Kind kind : {Kind::wood, Kind::sheet, Kind::adhesive, Kind::finish, Kind::abrasive, Kind::cutter,
                            Kind::labour, Kind::other, Kind::share}) {
        const process::Money part = process::sum_of(s.shop.costs, kind);
        if (part.hundredths != 0)
            sum.lines.push_back(
                fmt::format("{}: {}.", plan::words::capitalised(process::says(kind)), process::show(part, currency)));
    }
    sum.lines.push_back(s.shop.costs.says);
    sum.lines.push_back(s.shop.costs.rounding);
    pages.part(sum);
    const auto calendar = plan::words::calendar_text(s.shop);
    if (s.shop.dated && s.shop.calendar.schedule) {
        pages.part({"Delivery", {calendar.front().lines.front()}, {}});
        if (const auto picture = plan::stages_picture(s.shop)) draw_calendar(pages, *picture);
    }
    if (!prices.terms.empty()) {
        Told terms{"Terms", {}, {}};
        for (std::size_t from = 0; from <= prices.terms.size();) {
            const std::size_t to = std::min(prices.terms.find('\n', from), prices.terms.size());
            if (to > from) terms.lines.push_back(prices.terms.substr(from, to - from));
            from = to + 1;
        }
        pages.part(terms);
    }
    return pages.finish();
}

}  // namespace seamwright::paper
