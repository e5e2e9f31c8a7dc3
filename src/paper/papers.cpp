#include "paper/papers.h"

#include <fmt/format.h>

#include <set>
#include <stdexcept>
#include <utility>

#include "marks.h"
#include "paper/closing_page.h"
#include "paper/disc_sheet.h"
#include "paper/mark_sheets.h"
#include "paper/outline_page.h"
#include "paper/test_cut_sheet.h"
#include "paper/tiles.h"

namespace seamwright::paper {

namespace {

enum class Form {
    overview_pdf,
    overview_svg,
    sheets_pdf,
    roll_pdf,
    drawing_svg,
    sanding_pdf,
    closing_pdf,
    outline_pdf
};

/// A file before it is made.
struct Listed {
    std::string name;
    Form form = Form::overview_pdf;
    const plan::SeamPlan* seam = nullptr;
    const plan::TemplatePlan* which = nullptr;
    const plan::OutlineTemplate* outline = nullptr;  ///< which it is the sheet of
};

/// What is known only with the document.
struct Known {
    const job::Document* document = nullptr;
    std::optional<plan::OutlineStudy> outline;
    std::optional<plan::RoughCutStudy> rough;
    std::optional<plan::FeedStudy> feed;
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

Known known_of(const plan::Plan& plan, const job::Document* document) {
    Known out{document, std::nullopt, std::nullopt, std::nullopt};
    if (document != nullptr) out.outline = plan::study_outline(plan, document->job, document->shelf);
    return out;
}

void list_template(std::vector<Listed>& files, Names& names, const Listed& of) {
    const plan::TemplatePlan& t = *of.which;
    const std::string name = names.unique(slug(t.title.empty() ? t.seam + " " + t.hand : t.title));
    for (const auto& [end, form] : {std::pair{"-sheets.pdf", Form::sheets_pdf}, std::pair{"-roll.pdf", Form::roll_pdf},
                                    std::pair{".svg", Form::drawing_svg}}) {
        Listed file = of;
        file.name = name + end;
        file.form = form;
        files.push_back(std::move(file));
    }
}

std::vector<Listed> listed(const plan::Plan& plan, const Known& known) {
    const job::Document* document = known.document;
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
            list_template(files, names, {{}, {}, &seam, &t});
        }
    }
    if (known.outline && !known.outline->cuts.empty()) {
        files.push_back({names.unique("outline-how-it-is-cut") + ".pdf", Form::outline_pdf});
        for (const auto& t : known.outline->templates) list_template(files, names, {{}, {}, nullptr, &t.sheet, &t});
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
        case Form::outline_pdf:
            return "how the top is cut to its outline, in order, with what to set and to measure";
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

/// How the edges are cut that templates of seams guide.
void know_cuts(const plan::Plan& plan, Known& known) {
    if (known.document == nullptr || known.rough) return;
    known.rough = plan::study_rough_cut(plan, known.document->job);
    if (known.rough->cuts.empty()) return;
    const auto boards = plan::study_boards(plan, known.document->job, known.document->shelf);
    known.feed = plan::study_feed(plan, known.document->shelf, *known.rough, boards ? &*boards : nullptr);
}

PaperFile made(const plan::Plan& plan, const Listed& file, const Tiling& tiling, Known& known) {
    const job::Document* document = known.document;
    if (file.form == Form::outline_pdf)
        return {file.name, sheet_pdf(outline_pages(plan, *known.outline, document->job)), says_before(file, tiling)};
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
    if (file.seam != nullptr) know_cuts(plan, known);
    const Drawing drawing = file.outline != nullptr
                                ? outline_template_drawing(plan, *file.outline)
                                : template_drawing(plan, *file.seam, t, known.rough ? &*known.rough : nullptr,
                                                   known.feed ? &*known.feed : nullptr);
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
    const Known all = known_of(plan, document);
    for (const Listed& file : listed(plan, all)) names.push_back({file.name, says_before(file, tiling)});
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
    Known all = known_of(plan, document);
    for (const Listed& file : listed(plan, all))
        if (file.name == name) return made(plan, file, tiling, all);
    return std::nullopt;
}

std::vector<PaperFile> all_papers(const plan::Plan& plan, const job::Document* document) {
    const Tiling tiling = tiling_for(plan.paper);
    std::vector<PaperFile> files;
    Known all = known_of(plan, document);
    for (const Listed& file : listed(plan, all)) files.push_back(made(plan, file, tiling, all));
    return files;
}

}  // namespace seamwright::paper
