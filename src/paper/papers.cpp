#include "paper/papers.h"

#include <fmt/format.h>

#include <set>
#include <stdexcept>

#include "marks.h"
#include "paper/closing_page.h"
#include "paper/disc_sheet.h"
#include "paper/mark_sheets.h"
#include "paper/test_cut_sheet.h"
#include "paper/tiles.h"

namespace seamwright::paper {

namespace {

enum class Form { overview_pdf, overview_svg, sheets_pdf, roll_pdf, drawing_svg, sanding_pdf, closing_pdf };

/// A file before it is made.
struct Listed {
    std::string name;
    Form form = Form::overview_pdf;
    const plan::SeamPlan* seam = nullptr;
    const plan::TemplatePlan* which = nullptr;
};

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

std::vector<Listed> listed(const plan::Plan& plan, const job::Document* document) {
    std::vector<Listed> files;
    Names names;
    if (!plan.outline.empty()) {
        const std::string name = names.unique("overview");
        files.push_back({name + ".pdf", Form::overview_pdf, nullptr, nullptr});
        files.push_back({name + ".svg", Form::overview_svg, nullptr, nullptr});
    }
    for (const auto& seam : plan.seams) {
        if (document != nullptr && plan::has_two_edges(seam)) {
            files.push_back(
                {names.unique(slug(seam.name + " how it closes")) + ".pdf", Form::closing_pdf, &seam, nullptr});
        }
        if (seam.as_made) {
            files.push_back(
                {names.unique(slug(seam.name + " sanding map")) + ".pdf", Form::sanding_pdf, &seam, nullptr});
        }
        for (const auto& t : seam.templates) {
            const std::string name = names.unique(slug(t.title.empty() ? t.seam + " " + t.hand : t.title));
            files.push_back({name + "-sheets.pdf", Form::sheets_pdf, &seam, &t});
            files.push_back({name + "-roll.pdf", Form::roll_pdf, &seam, &t});
            files.push_back({name + ".svg", Form::drawing_svg, &seam, &t});
        }
    }
    return files;
}

std::string says_before(const Listed& file, const Tiling& tiling) {
    switch (file.form) {
        case Form::overview_pdf:
            return fmt::format("the whole top to scale, on one sheet of {}", tiling.sheet.name);
        case Form::overview_svg:
            return "the same, as a drawing file";
        case Form::sheets_pdf:
            return fmt::format("{}, full size on sheets of {}, with a key map", file.which->title, tiling.sheet.name);
        case Form::roll_pdf:
            return fmt::format("{}, full size on one page for a roll, without printer correction", file.which->title);
        case Form::sanding_pdf:
            return fmt::format("{}: where to sand its template, full size along the edge", file.seam->name);
        case Form::closing_pdf:
            return fmt::format("{}: how it closes, is pushed together, clamped and glued", file.seam->name);
        case Form::drawing_svg:
            return fmt::format("{}, full size as a drawing file, true arcs", file.which->title);
    }
    return {};
}

/// Of a seam with two edges.
std::string closing_pdf(const plan::Plan& plan, const plan::SeamPlan& seam, const job::Document& document) {
    const auto index = static_cast<std::size_t>(&seam - plan.seams.data());
    const auto study = plan::study_closing(plan, index, document.job, document.shelf, {1000, 1, true});
    return sheet_pdf(closing_pages(plan, seam, study.value(), document.job));
}

/// How the edges are cut that the templates guide.
struct Cuts {
    std::optional<plan::RoughCutStudy> rough;
    std::optional<plan::FeedStudy> feed;
};
Cuts cuts_of(const plan::Plan& plan, const job::Document* document) {
    if (document == nullptr) return {};
    Cuts cuts{plan::study_rough_cut(plan, document->job), std::nullopt};
    if (cuts.rough->cuts.empty()) return cuts;
    const auto boards = plan::study_boards(plan, document->job, document->shelf);
    cuts.feed = plan::study_feed(plan, document->shelf, *cuts.rough, boards ? &*boards : nullptr);
    return cuts;
}

PaperFile made(const plan::Plan& plan, const Listed& file, const Tiling& tiling, const job::Document* document,
               const Cuts& cuts) {
    if (file.form == Form::closing_pdf)
        return {file.name, closing_pdf(plan, *file.seam, *document), says_before(file, tiling)};
    if (file.form == Form::sanding_pdf) {
        return {file.name, tiled_pdf({sanding_map(plan, *file.seam)}, tiling), says_before(file, tiling)};
    }
    if (file.which == nullptr) {
        const Drawing overview = overview_drawing(plan, tiling.sheet);
        if (file.form == Form::overview_svg) return {file.name, svg(overview), "the same, as a drawing file"};
        return {file.name, sheet_pdf({overview}),
                fmt::format("the whole top to scale, on one sheet of {}", tiling.sheet.name)};
    }
    const plan::TemplatePlan& t = *file.which;
    const Drawing drawing = template_drawing(plan, *file.seam, t, cuts.rough ? &*cuts.rough : nullptr,
                                             cuts.feed ? &*cuts.feed : nullptr);
    if (file.form == Form::sheets_pdf) {
        const TileGrid grid = tile_grid(drawing, tiling);
        return {file.name, tiled_pdf({drawing}, tiling),
                fmt::format("{}, full size on {} sheet{} of {}, with a key map", t.title, grid.used(),
                            grid.used() == 1 ? "" : "s", tiling.sheet.name)};
    }
    if (file.form == Form::roll_pdf) {
        const Box box = drawing.box();
        // The correction was measured on the printer for sheets; another machine prints the roll.
        return {file.name, roll_pdf({drawing}, {}),
                fmt::format("{}, full size on one page for a roll, {} × {}, without printer correction", t.title,
                            units::show(box.width_mm(), plan.style), units::show(box.height_mm(), plan.style))};
    }
    return {file.name, svg(drawing), fmt::format("{}, full size as a drawing file, true arcs", t.title)};
}

}  // namespace

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

std::vector<PaperName> paper_names(const plan::Plan& plan, const job::Document* document) {
    const Tiling tiling = tiling_for(plan.paper);
    std::vector<PaperName> names;
    for (const Listed& file : listed(plan, document)) names.push_back({file.name, says_before(file, tiling)});
    return names;
}

/// "test-cut-2.pdf": the sheet of the second test cut on the shelf.
static std::optional<PaperFile> test_cut_sheet(const job::Document* document, const std::string& name) {
    if (document == nullptr) return std::nullopt;
    const auto& cuts = document->shelf.test_cuts;
    for (std::size_t i = 0; i < cuts.size(); ++i) {
        if (name != fmt::format("test-cut-{}.pdf", i + 1)) continue;
        try {
            return PaperFile{name,
                             sheet_pdf(test_cut_sheets(document->shelf, cuts[i].guide, cuts[i].cutter, document->job)),
                             fmt::format("test cut of {} and {}", cuts[i].guide, cuts[i].cutter)};
        } catch (const std::invalid_argument&) {
            // Tools that have gone from the shelf, or a cutter that does not pass the guide.
            return std::nullopt;
        }
    }
    return std::nullopt;
}

std::optional<PaperFile> one_paper(const plan::Plan& plan, const std::string& name, const job::Document* document) {
    const Tiling tiling = tiling_for(plan.paper);
    if (name == reference_marks_name) {
        constexpr int strips = 8;
        return PaperFile{name, marks_pdf({strips, tiling.sheet, tiling.correction}), "reference marks for photographs"};
    }
    if (document != nullptr && name == disc_sheet_name)
        return PaperFile{name, sheet_pdf(disc_sheets(document->job)), "a disc to rout all round, and its table"};
    if (auto sheet = test_cut_sheet(document, name)) return sheet;
    for (const Listed& file : listed(plan, document)) {
        if (file.name != name) continue;
        return made(plan, file, tiling, document, cuts_of(plan, file.which != nullptr ? document : nullptr));
    }
    return std::nullopt;
}

std::vector<PaperFile> all_papers(const plan::Plan& plan, const job::Document* document) {
    const Tiling tiling = tiling_for(plan.paper);
    std::vector<PaperFile> files;
    const Cuts cuts = cuts_of(plan, document);
    for (const Listed& file : listed(plan, document)) files.push_back(made(plan, file, tiling, document, cuts));
    return files;
}

}  // namespace seamwright::paper
