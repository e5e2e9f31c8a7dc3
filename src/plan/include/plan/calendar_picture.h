#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "plan/shop_study.h"

namespace seamwright::plan {

/// The calendar as it is drawn: days across, steps down. Times only; how wide an hour is, is for who draws it.
struct CalendarPicture {
    struct Bar {
        enum class Kind {
            work,     ///< by hand
            clamped,  ///< its clamps are on
            wait      ///< it dries, cures, comes to strength or to rest
        };
        Kind kind = Kind::work;
        process::Stretch when;
        bool on_chain = false;  ///< of the chain that decides the end
        friend bool operator==(const Bar&, const Bar&) = default;
    };
    struct Row {
        std::string name;
        std::size_t step = 0;   ///< index into ShopStudy::steps; of a stage its first
        std::vector<Bar> bars;  ///< in order of time, of a step apart from each other
        bool on_chain = false;
    };
    /// Nobody works then.
    struct Shade {
        bool whole_day = false;  ///< a day off; else hours closed on a day of work
        process::Stretch when;
    };
    std::chrono::local_days first, last;  ///< from the morning of the first to the end of the last day
    std::vector<Row> rows;
    std::vector<Shade> shaded;  ///< in order, apart
    process::Moment delivery;
    bool dated = false;
};

/// Every step a row, as the schedule has it; nullopt without a schedule. No bar is shorter than a minute.
std::optional<CalendarPicture> calendar_picture(const ShopStudy& study);

/// A few stages a row (wood and templates, cutting and fitting, gluing, surface, finish, delivery): of each day with
/// any work one bar from its first to its last hand, and waits between and after them. For who waits for the top.
std::optional<CalendarPicture> stages_picture(const ShopStudy& study);

namespace words {
/// "Mon 2027-01-11"; without a date "day 3, Wed".
std::string short_day_text(std::chrono::local_days day, const CalendarPicture& picture);
}  // namespace words

}  // namespace seamwright::plan
