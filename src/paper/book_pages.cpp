#include <fmt/format.h>

#include "book_sections.h"

namespace seamwright::paper {

BookPages::BookPages(const std::vector<Drawing>& book) : known_(true) {
    for (std::size_t i = 0; i < book.size(); ++i) {
        for (const std::string& place : book[i].places) number_.emplace(place, i + 1);
        for (const std::string& title : book[i].begins) contents_.emplace_back(title, i + 1);
    }
}

std::string BookPages::page(const std::string& place) const {
    const auto found = number_.find(place);
    if (found != number_.end()) return fmt::format("page {}", found->second);
    if (known_) wanting_.insert(place);
    return "page 00";
}

namespace place {
std::string seam(std::size_t seam) {
    return fmt::format("seam {}", seam);
}
std::string operation(std::size_t seam, std::size_t step) {
    return fmt::format("operation {} {}", seam, step);
}
std::string rough(std::size_t piece) {
    return fmt::format("rough {}", piece);
}
std::string feed(std::size_t seam, bool on_left) {
    return fmt::format("feed {} {}", seam, on_left ? "left" : "right");
}
std::string closing(std::size_t seam) {
    return fmt::format("closing {}", seam);
}
}  // namespace place

}  // namespace seamwright::paper
