#include "papers_view.h"

#include <stdexcept>

#include "paper/papers.h"
#include "paper/tiles.h"
#include "path_data.h"

namespace seamwright::screen {
namespace {

void write_file(job::JsonWriter& json, const std::string& name, const std::string& says) {
    json.begin_group();
    json.text("name", name);
    json.text("says", says);
    json.count("bytes", 0);
    json.end_group();
}

/// Empty where the template does not go onto sheets: too large for any number that can be joined, or margins that leave
/// no room. Who fetches the file is told why.
std::vector<paper::Tile> sheets_of(const plan::Plan& plan, const plan::SeamPlan& seam, const plan::TemplatePlan& which,
                                   const plan::RoughCutStudy& rough, const paper::Tiling& tiling) {
    // The strokes of the router do not make a drawing larger; their legend does.
    const plan::FeedStudy no_strokes;
    try {
        return paper::tile_grid(paper::template_drawing(plan, seam, which, &rough, &no_strokes), tiling).tiles;
    } catch (const std::invalid_argument&) {
        return {};
    }
}

void write_sheets(job::JsonWriter& json, const plan::Plan& plan, std::size_t seam, const plan::TemplatePlan& which,
                  const plan::RoughCutStudy& rough, const paper::Tiling& tiling) {
    json.begin_group();
    json.count("seam", seam);
    json.text("template", which.title);
    json.begin_list("sheets");
    for (const paper::Tile& tile : sheets_of(plan, plan.seams[seam], which, rough, tiling)) {
        if (!tile.used) continue;
        json.begin_group();
        json.text("name", tile.name);
        json.text("d", path_data(geometry::rectangle(tile.cell.low, tile.cell.high)));
        json.point("label", geometry::midpoint(tile.cell.low, tile.cell.high));
        json.end_group();
    }
    json.end_list();
    json.end_group();
}

}  // namespace

void write_papers(job::JsonWriter& json, const edit::OpenJob& job, bool live) {
    const plan::Plan& plan = job.plan();
    const bool printable = !live && !job::any_error(job.problems());
    json.begin_group("papers");
    json.text("size", plan.paper.size);
    json.begin_list("files");
    if (printable) {
        for (const auto& file : paper::paper_names(plan, &job.document())) write_file(json, file.name, file.says);
        write_file(json, "plan.json", "everything computed, in millimetres");
    }
    json.end_list();
    json.begin_list("tiles");
    if (printable) {
        const paper::Tiling tiling = paper::tiling_for(plan.paper);
        const plan::RoughCutStudy rough = plan::study_rough_cut(plan, job.document().job);
        for (std::size_t i = 0; i < plan.seams.size(); ++i) {
            for (const auto& which : plan.seams[i].templates) write_sheets(json, plan, i, which, rough, tiling);
        }
    }
    json.end_list();
    json.end_group();
}

}  // namespace seamwright::screen
