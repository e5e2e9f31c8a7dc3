#include "calendar_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "job/job.h"
#include "marks.h"
#include "text_size.h"

namespace seamwright::paper {
namespace {

using Bar = plan::CalendarPicture::Bar;
using process::Moment;

const Stroke thin{.width_mm = 0.12, .dash_mm = {}, .grey = 0.45, .colour = {}};
const Stroke day_line{.width_mm = 0.2, .dash_mm = {}, .grey = 0.25, .colour = {}};
const Stroke bar_line{.width_mm = 0.25, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke chain_line{.width_mm = 0.9, .dash_mm = {}, .grey = 0.0, .colour = {}};
const Stroke none{.width_mm = 0.0, .dash_mm = {}, .grey = 1.0, .colour = {}};

constexpr double names_mm = 56.0, row_mm = 6.6, head_mm = 9.0;
constexpr double work_day_mm = 24.0, night_mm = 2.2;
constexpr double idle_day_mm = 5.0, idle_run_mm = 40.0, least_idle_mm = 1.2;
constexpr double bar_mm = 3.0, least_bar_mm = 0.5;
constexpr double name_mm = 2.5, small_mm = 2.1;

/// One day across.
struct Day {
    std::chrono::local_days day;
    bool worked = false;
    double wide_mm = 0.0;
    int open_min = 0, shut_min = 24 * 60;  ///< of a day of work: what lies outside is night
};

/// Minutes of a day to its width.
double within(const Day& day, double minute) {
    constexpr double midnight = 24.0 * 60.0;
    if (!day.worked) return day.wide_mm * minute / midnight;
    const double open = day.open_min, shut = day.shut_min;
    if (minute <= open) return open > 0.0 ? night_mm * minute / open : 0.0;
    if (minute >= shut)
        return day.wide_mm - (shut < midnight ? night_mm * (midnight - minute) / (midnight - shut) : 0.0);
    return night_mm + (day.wide_mm - 2.0 * night_mm) * (minute - open) / (shut - open);
}

class Calendar {
  public:
    Calendar(TextPages& pages, const plan::CalendarPicture& picture) : pages_(pages), picture_(picture) { lay_days(); }

    void draw() {
        key();
        const double room = pages_.width_mm() - names_mm;
        for (std::size_t from = 0; from < days_.size();) {
            std::size_t until = from;
            double wide = 0.0;
            while (until < days_.size() && wide + days_[until].wide_mm <= room + 1e-9) wide += days_[until++].wide_mm;
            band(from, std::max(until, from + 1));
            from = std::max(until, from + 1);
        }
    }

  private:
    void lay_days() {
        for (auto day = picture_.first; day < picture_.last; day += std::chrono::days(1)) {
            Day d;
            d.day = day;
            const Moment from = day, until = day + std::chrono::days(1);
            int open = 24 * 60, shut = 0;
            for (const auto& row : picture_.rows) {
                for (const Bar& bar : row.bars) {
                    if (bar.kind != Bar::Kind::work || bar.when.until <= from || bar.when.from >= until) continue;
                    d.worked = true;
                    open = std::min(open, static_cast<int>((std::max(bar.when.from, from) - from).count()));
                    shut = std::max(shut, static_cast<int>((std::min(bar.when.until, until) - from).count()));
                }
            }
            // The hours the shop is open, and what is worked outside them.
            int closed_from = 0;
            for (const auto& shade : picture_.shaded) {
                if (shade.when.until <= from || shade.when.from >= until) continue;
                const int a = static_cast<int>((std::max(shade.when.from, from) - from).count());
                const int b = static_cast<int>((std::min(shade.when.until, until) - from).count());
                if (a == 0) open = std::min(open, b);
                if (b == 24 * 60) shut = std::max(shut, a);
                closed_from = b;
            }
            if (closed_from == 0) open = 0, shut = 24 * 60;
            d.open_min = std::min(open, shut);
            d.shut_min = shut;
            days_.push_back(d);
        }
        for (std::size_t i = 0; i < days_.size();) {
            if (days_[i].worked) {
                days_[i++].wide_mm = work_day_mm;
                continue;
            }
            std::size_t end = i;
            while (end < days_.size() && !days_[end].worked) ++end;
            const double each = std::clamp(idle_run_mm / static_cast<double>(end - i), least_idle_mm, idle_day_mm);
            for (; i < end; ++i) days_[i].wide_mm = each;
        }
    }

    void key() {
        constexpr double wide = 9.0, high = 6.0;
        pages_.need(high + 6.0);
        pages_.down(high);
        double x = TextPages::margin_mm;
        const auto field = [&](const std::string& says, auto&& draw) {
            draw(x, x + wide, pages_.y());
            Text t{{x + wide + 1.5, pages_.y() - 0.9}, says, name_mm, 0.0, Text::Anchor::left, false};
            x = t.at.x + text_length_mm(t) + 4.0;
            pages_.page().texts.push_back(std::move(t));
        };
        for (const auto& [kind, says] : {std::pair(Bar::Kind::work, "work"), std::pair(Bar::Kind::clamped, "in clamps"),
                                         std::pair(Bar::Kind::wait, "waits")})
            if (has(kind)) field(says, [&](double a, double b, double y) { bar(kind, a, b, y, false, {}); });
        const bool chain =
            std::any_of(picture_.rows.begin(), picture_.rows.end(), [](const auto& r) { return r.on_chain; });
        if (chain)
            field("underlined: decides the end",
                  [&](double a, double b, double y) { bar(Bar::Kind::wait, a, b, y, true, {}); });
        field("closed", [&](double a, double b, double y) { shade(false, a, b, y - 2.0, y + 2.0, {}); });
        field("day off", [&](double a, double b, double y) { shade(true, a, b, y - 2.0, y + 2.0, {}); });
        pages_.down(4.0);
        pages_.say("Days without work, and nights, are drawn narrow.", 2.6);
        pages_.down(2.0);
    }

    bool has(Bar::Kind kind) const {
        return std::any_of(picture_.rows.begin(), picture_.rows.end(), [&](const auto& row) {
            return std::any_of(row.bars.begin(), row.bars.end(), [&](const Bar& bar) { return bar.kind == kind; });
        });
    }

    void shade(bool whole, double a, double b, double low, double high, const std::string& id) {
        DrawnPath p = drawn(geometry::rectangle({a, low}, {b, high}), none, id);
        p.fill.colour = whole ? "#d8d8d8" : "#efefef";
        pages_.page().paths.push_back(std::move(p));
        if (!whole) return;
        // Told apart from closed hours without the grey, too.
        for (double x = a + 0.6; x < b; x += 2.4)
            pages_.line({x, low}, {x, high}, {.width_mm = 0.12, .dash_mm = {0.3, 0.9}, .grey = 0.3, .colour = {}});
    }

    void bar(Bar::Kind kind, double a, double b, double y, bool chain, const std::string& id) {
        DrawnPath p = drawn(geometry::rectangle({a, y - 0.5 * bar_mm}, {b, y + 0.5 * bar_mm}), bar_line, id);
        if (kind == Bar::Kind::work) {
            p.fill.colour = "#000000";
        } else {
            p.fill = {"#ffffff", kind == Bar::Kind::clamped ? 0.7 : 1.3,
                      kind == Bar::Kind::clamped ? 0.5 * geometry::pi : 0.25 * geometry::pi};
        }
        pages_.page().paths.push_back(std::move(p));
        if (chain) pages_.line({a, y - 0.5 * bar_mm - 0.9}, {b, y - 0.5 * bar_mm - 0.9}, chain_line);
    }

    /// Where a moment lies across a band that begins with the day `from`.
    double x_of(Moment moment, std::size_t from, std::size_t until, double left) const {
        double x = left;
        for (std::size_t i = from; i < until; ++i) {
            const Moment midnight = days_[i].day, next = midnight + std::chrono::days(1);
            if (moment <= midnight) return x;
            if (moment < next) return x + within(days_[i], static_cast<double>((moment - midnight).count()));
            x += days_[i].wide_mm;
        }
        return x;
    }

    void band(std::size_t from, std::size_t until) {
        const Moment begins = days_[from].day, ends = days_[until - 1].day + std::chrono::days(1);
        std::vector<const plan::CalendarPicture::Row*> rows;
        for (const auto& row : picture_.rows)
            if (std::any_of(row.bars.begin(), row.bars.end(),
                            [&](const Bar& bar) { return bar.when.from < ends && begins < bar.when.until; }))
                rows.push_back(&row);
        if (rows.empty()) return;
        // A band too high for a sheet goes on with its days repeated.
        constexpr double between_mm = 6.0;
        for (std::size_t r = 0; r < rows.size();) {
            if (pages_.room_mm() < head_mm + row_mm * std::min<double>(4.0, static_cast<double>(rows.size() - r)))
                pages_.new_page();
            const auto fit = static_cast<std::size_t>(std::max(1.0, std::floor((pages_.room_mm() - head_mm) / row_mm)));
            const std::size_t end = std::min(rows.size(), r + fit);
            rows_of(from, until, {rows.begin() + static_cast<long>(r), rows.begin() + static_cast<long>(end)});
            pages_.down(between_mm);
            r = end;
        }
    }

    void rows_of(std::size_t from, std::size_t until, const std::vector<const plan::CalendarPicture::Row*>& rows) {
        const double left = TextPages::margin_mm + names_mm;
        const double top = pages_.y(), under_head = top - head_mm;
        const double bottom = under_head - row_mm * static_cast<double>(rows.size());
        const Moment begins = days_[from].day, ends = days_[until - 1].day + std::chrono::days(1);
        const auto x_at = [&](Moment m) { return x_of(m, from, until, left); };

        for (const auto& s : picture_.shaded) {
            if (s.when.until <= begins || s.when.from >= ends) continue;
            const double a = x_at(s.when.from), b = x_at(s.when.until);
            if (b > a) shade(s.whole_day, a, b, bottom, under_head, s.whole_day ? "day off" : "closed");
        }
        double x = left;
        for (std::size_t i = from; i < until; ++i) {
            const Day& day = days_[i];
            pages_.line({x, bottom}, {x, top}, day_line);
            if (day.worked) {
                Text name{{x + 0.8, top - 3.2},
                          plan::words::short_day_text(day.day, picture_),
                          name_mm,
                          0.0,
                          Text::Anchor::left,
                          true};
                if (const double length = text_length_mm(name); length > day.wide_mm - 1.4)
                    name.height_mm *= (day.wide_mm - 1.4) / length;
                pages_.page().texts.push_back(std::move(name));
                hour(x, day, day.open_min, under_head);
                hour(x, day, day.shut_min, under_head);
            } else if (day.wide_mm >= 4.0) {
                const std::chrono::year_month_day date(day.day);
                pages_.put(picture_.dated ? fmt::format("{}", static_cast<unsigned>(date.day()))
                                          : fmt::format("{}", (day.day - picture_.first).count() + 1),
                           {x + 0.5 * day.wide_mm, top - 3.2}, small_mm, false, Text::Anchor::middle);
            }
            x += day.wide_mm;
        }
        pages_.line({x, bottom}, {x, top}, day_line);
        pages_.line({TextPages::margin_mm, under_head}, {x, under_head}, day_line);
        double y = under_head;
        for (const auto* row : rows) {
            const double middle = y - 0.5 * row_mm;
            row_name(*row, middle);
            for (const Bar& b : row->bars) {
                if (b.when.until <= begins || b.when.from >= ends) continue;
                const double a = x_at(b.when.from);
                bar(b.kind, a, std::max(x_at(b.when.until), a + least_bar_mm), middle, b.on_chain, id_of(b.kind));
            }
            y -= row_mm;
            pages_.line({TextPages::margin_mm, y}, {x, y}, thin);
        }
        pages_.down(top - bottom);
    }

    void hour(double x, const Day& day, int minute, double under_head) {
        const double at = x + within(day, minute);
        pages_.put(fmt::format("{}", minute / 60), {at, under_head + 1.2}, small_mm, false, Text::Anchor::middle);
        pages_.line({at, under_head}, {at, under_head + 0.9}, day_line);
    }

    static std::string id_of(Bar::Kind kind) {
        return kind == Bar::Kind::work ? "bar work" : kind == Bar::Kind::clamped ? "bar clamped" : "bar wait";
    }

    /// In one line where it fits, else in two.
    void row_name(const plan::CalendarPicture::Row& row, double middle) {
        constexpr double room = names_mm - 2.0, two_mm = 2.3;
        const auto measured = [&](const std::string& said, double height) {
            Text t;
            t.text = said;
            t.height_mm = height;
            t.bold = row.on_chain;
            return text_length_mm(t);
        };
        const auto say = [&](const std::string& said, double y, double height) {
            pages_.put(said, {TextPages::margin_mm, y}, height, row.on_chain);
        };
        if (measured(row.name, name_mm) <= room) {
            say(row.name, middle - 0.9, name_mm);
            return;
        }
        std::size_t at = 0;
        for (std::size_t k = row.name.find(' '); k != std::string::npos; k = row.name.find(' ', k + 1))
            if (measured(row.name.substr(0, k), two_mm) <= room) at = k;
        const std::string upper = row.name.substr(0, at);
        std::string lower = row.name.substr(at == 0 ? 0 : at + 1);
        double height = two_mm;
        if (const double length = measured(lower, height); length > room) height *= room / length;
        if (at > 0) say(upper, middle + 0.5, two_mm);
        say(lower, middle - 2.3, height);
    }

    TextPages& pages_;
    const plan::CalendarPicture& picture_;
    std::vector<Day> days_;
};

}  // namespace

void draw_calendar(TextPages& pages, const plan::CalendarPicture& picture) {
    Calendar(pages, picture).draw();
}

}  // namespace seamwright::paper
