#include "finished_view.h"

#include <fmt/format.h>

#include <cmath>
#include <map>

#include "path_data.h"

namespace seamwright::screen {
namespace {

/// Lines are told in so many widths, so that many share one path.
constexpr double width_step_mm = 0.2;

std::string data_of(const std::vector<geometry::Path>& paths) {
    std::string data;
    for (const geometry::Path& path : paths) data += path_data(path);
    return data;
}

/// Lines of one width as one path. A tenth of a millimetre is finer than a drawn figure is true.
std::map<int, std::string> figure_data(const std::vector<plan::FigureLine>& figure) {
    std::map<int, std::string> by_width;
    for (const plan::FigureLine& line : figure) {
        std::string& data = by_width[std::max(1, static_cast<int>(std::lround(line.width_mm / width_step_mm)))];
        for (std::size_t i = 0; i < line.points.size(); ++i)
            data += fmt::format("{}{:.1f} {:.1f}", i == 0 ? 'M' : 'L', line.points[i].x, line.points[i].y);
    }
    return by_width;
}

void write_patch(job::JsonWriter& json, const plan::LookPatch& patch) {
    const plan::BoardOnTop& lies = patch.lies;
    json.begin_group();
    json.text("name", patch.name);
    json.text("clip", data_of(patch.clip));
    json.text("within", patch.within ? path_data(*patch.within) : std::string());
    json.text("joints", data_of(patch.joints));
    json.text("ground", patch.ground);
    json.text("line", patch.line);
    // A board is metres long, so its direction needs more than the thousandths of a length.
    json.text("lies", fmt::format("matrix({:.7f} {:.7f} {:.7f} {:.7f} {:.3f} {:.3f})", lies.along.x, lies.along.y,
                                  lies.across.x, lies.across.y, lies.origin.x, lies.origin.y));
    json.number("length", patch.length_mm);
    json.number("width", patch.width_mm);
    json.text("picture", patch.picture);
    json.begin_list("figure");
    for (const auto& [steps, data] : figure_data(patch.figure)) {
        json.begin_group();
        json.number("width", width_step_mm * steps);
        json.text("d", data);
        json.end_group();
    }
    json.end_list();
    json.end_group();
}

}  // namespace

void write_finished(job::JsonWriter& json, const plan::FinishedLook& look) {
    json.begin_group("finished");
    json.numbers("box", {look.box.low.x, look.box.low.y, look.box.high.x, look.box.high.y});
    json.text("outline", path_data(look.outline));
    json.text("seams", data_of(look.seams));
    json.begin_list("patches");
    for (const plan::LookPatch& patch : look.patches) write_patch(json, patch);
    json.end_list();
    json.texts("says", plan::words::finished_look_text(look));
    json.end_group();
}

}  // namespace seamwright::screen
