#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "process/figure.h"
#include "shelf/table.h"

namespace seamwright::process {

/// A built-in table of figures by topic and item: columns topic, item, value_low, value_high, provenance.
class Figures {
  public:
    Figures(std::string_view file, std::string_view text);

    std::optional<Figure> find(const std::string& topic, const std::string& item) const;
    /// Throws std::logic_error naming the row where there is none: a fault of the table, not of the maker.
    Figure at(const std::string& topic, const std::string& item) const;
    const shelf::Table& table() const { return table_; }

  private:
    std::string file_;
    shelf::Table table_;
};

/// data/finishing.csv and data/lumber.csv, read once.
const Figures& finishing_figures();
const Figures& lumber_figures();

}  // namespace seamwright::process
