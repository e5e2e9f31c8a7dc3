#include "paper/papers.h"

#include <fmt/format.h>

#include <set>
#include <stdexcept>

#include "marks.h"
#include "paper/tiles.h"

namespace seamwright::paper {

namespace {

/// File names that differ, also where a file system does not tell capitals apart (slugs have none).
class Names {
  public:
    std::string unique(const std::string& wanted) {
        std::string name = wanted;
        for (int n = 2; !taken_.insert(name).second; ++n) name = fmt::format("{}-{}", wanted, n);
        return name;
    }

  private:
    std::set<std::string> taken_;
};

Tiling tiling_for(const job::Paper& paper) {
    const auto sheet = find_sheet(paper.size);
    if (!sheet)
        throw std::invalid_argument(
            fmt::format("/paper/size: no sheet is called \"{}\"; allowed are {}", paper.size, known_sheets()));
    if (!(paper.correction.measured_x_mm > 0.0 && paper.correction.measured_y_mm > 0.0))
        throw std::invalid_argument("/paper/correction: a measured bar must be longer than nothing");
    Tiling t;
    t.sheet = *sheet;
    t.overlap_mm = paper.overlap_mm;
    t.margin_mm = paper.margin_mm;
    t.correction = Correction::measured(paper.correction.measured_x_mm, paper.correction.measured_y_mm);
    return t;
}

}  // namespace

std::vector<PaperFile> all_papers(const plan::Plan& plan) {
    const Tiling tiling = tiling_for(plan.paper);
    std::vector<PaperFile> files;
    Names names;
    if (!plan.outline.empty()) {
        const Drawing overview = overview_drawing(plan, tiling.sheet);
        const std::string name = names.unique("overview");
        files.push_back({name + ".pdf", sheet_pdf({overview}),
                         fmt::format("the whole top to scale, on one sheet of {}", tiling.sheet.name)});
        files.push_back({name + ".svg", svg(overview), "the same, as a drawing file"});
    }
    for (const auto& seam : plan.seams) {
        for (const auto& t : seam.templates) {
            const Drawing drawing = template_drawing(plan, seam, t);
            const std::string name = names.unique(slug(t.title.empty() ? t.seam + " " + t.hand : t.title));
            const TileGrid grid = tile_grid(drawing, tiling);
            const Box box = drawing.box();
            files.push_back({name + "-sheets.pdf", tiled_pdf({drawing}, tiling),
                             fmt::format("{}, full size on {} sheet{} of {}, with a key map", t.title, grid.used(),
                                         grid.used() == 1 ? "" : "s", tiling.sheet.name)});
            // The correction was measured on the printer for sheets; another machine prints the roll.
            files.push_back(
                {name + "-roll.pdf", roll_pdf({drawing}, {}),
                 fmt::format("{}, full size on one page for a roll, {} × {}, without printer correction", t.title,
                             units::show(box.width_mm(), plan.style), units::show(box.height_mm(), plan.style))});
            files.push_back(
                {name + ".svg", svg(drawing), fmt::format("{}, full size as a drawing file, true arcs", t.title)});
        }
    }
    return files;
}

}  // namespace seamwright::paper
