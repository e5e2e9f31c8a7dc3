// Reference marks in a picture. libapriltag sees the squares and reads their numbers on a coarse copy of the picture;
// its corners are off by up to half a pixel. Each side is then fitted to the picture itself (mark_edge.cpp), and the
// corners are where the sides meet. What is not clean is left out, with the reason: one bad mark would pull the whole
// view.

#include "trace/marks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "mark_edge.h"
#include "mark_family.h"
#include "trace/view.h"

namespace seamwright::trace {

namespace {

using geometry::norm;

/// Larger pictures are looked at coarsely first, every second, third… pixel of each row: about so many pixels.
constexpr double plenty_of_pixels = 4e6;
constexpr double few_pixels = 1.5e6;
/// With fewer marks than this a picture of usual size is looked at once more, every pixel.
constexpr std::size_t enough_marks = 4;
constexpr double most_pixels_looked_at_fully = 16e6;
/// The library goes over the picture in tiles of 4 of its pixels; smaller pictures hold no mark that could be used.
constexpr int smallest_side_px = 48;
/// Steps of 255 that black and white must differ by within a few pixels. Noise and grain differ less.
constexpr int least_step = 20;
constexpr int read_errors_allowed = 1;  // of 36; two marks differ in 11 or more
constexpr float least_margin = 8.0F;    // of the library's measure how clearly the cells were read, steps of 255

constexpr double least_cell_px = 3.5;
constexpr double least_rim_cells = 0.5;  // of the white rim that must be in the picture
constexpr double least_contrast = 24.0;  // steps of 255
constexpr double most_blur_cells = 0.33;
constexpr double most_misfit_part = 0.08;  // of the contrast: what the greys' own curve, sharpening and JPEG leave
constexpr double most_misfit_noise = 4.0;  // steps of 255
/// No corner is known better, however smooth the picture: light that bends at the paper's edge, the lens, the JPEG.
constexpr double least_corner_px = 0.015;
/// Noise of neighbouring pixels goes together once a camera has smoothed it.
constexpr double noise_together = 1.4;

struct DetectorEnds {
    void operator()(apriltag_detector_t* detector) const { apriltag_detector_destroy(detector); }
};
struct DetectionsEnd {
    void operator()(zarray_t* detections) const { apriltag_detections_destroy(detections); }
};

/// A mark as the library sees it.
struct SeenMark {
    int id = 0;
    std::array<Point, 4> corners_px;
};

std::vector<SeenMark> look(Picture& picture, int coarse) {
    const MarkFamily family(tag36h11_create());
    const std::unique_ptr<apriltag_detector_t, DetectorEnds> detector(apriltag_detector_create());
    apriltag_detector_add_family_bits(detector.get(), family.get(), read_errors_allowed);
    detector->nthreads = 1;  // so that the result is the same on every machine
    detector->quad_decimate = static_cast<float>(coarse);
    detector->qtp.min_white_black_diff = least_step;
    image_u8_t image{picture.width, picture.height, picture.width, picture.grey.data()};
    const std::unique_ptr<zarray_t, DetectionsEnd> found(apriltag_detector_detect(detector.get(), &image));
    std::vector<SeenMark> marks;
    for (int i = 0; i < zarray_size(found.get()); ++i) {
        apriltag_detection_t* d = nullptr;
        zarray_get(found.get(), i, static_cast<void*>(&d));
        if (d->hamming > read_errors_allowed || d->decision_margin < least_margin) continue;
        SeenMark mark;
        mark.id = d->id;
        // The library begins at the bottom left and goes the other way round.
        for (std::size_t k = 0; k < 4; ++k) mark.corners_px[k] = {d->p[3 - k][0], d->p[3 - k][1]};
        marks.push_back(mark);
    }
    std::sort(marks.begin(), marks.end(), [](const SeenMark& a, const SeenMark& b) {
        return a.id != b.id ? a.id < b.id : a.corners_px[0].x < b.corners_px[0].x;
    });
    return marks;
}

Point middle_of(const std::array<Point, 4>& q) {
    return 0.25 * (q[0] + q[1] + q[2] + q[3]);
}

TraceProblem left_out(const SeenMark& mark, const std::string& why, const std::string& remedy) {
    return {fmt::format("Mark {} {}, and was left out.", mark.id, why), remedy, middle_of(mark.corners_px)};
}

std::variant<FoundMark, TraceProblem> refine(const Picture& picture, const SeenMark& seen) {
    const Point middle = middle_of(seen.corners_px);
    std::array<MarkEdge, 4> edges;
    FoundMark mark;
    mark.id = seen.id;
    double shortest = 1e300;
    for (std::size_t i = 0; i < 4; ++i)
        shortest = std::min(shortest, norm(seen.corners_px[(i + 1) % 4] - seen.corners_px[i]));
    const double cell_px = shortest / mark_cells_across;
    if (cell_px < least_cell_px)
        return left_out(seen, fmt::format("is too small in the picture, {:.0f} pixels wide", shortest),
                        "Come nearer, or use the camera's full resolution.");
    for (const Point corner : seen.corners_px) {
        const double to_edge =
            std::min(std::min(corner.x, picture.width - corner.x), std::min(corner.y, picture.height - corner.y));
        if (to_edge < least_rim_cells * cell_px)
            return left_out(seen, "is cut off by the edge of the picture", "Have all of it in the picture.");
    }
    mark.contrast = 255.0;
    bool clean = true;
    for (std::size_t i = 0; i < 4; ++i) {
        edges[i] = fit_mark_edge(picture, seen.corners_px[i], seen.corners_px[(i + 1) % 4], middle, cell_px);
        const MarkEdge& e = edges[i];
        if (!e.found) return left_out(seen, "has a side that is covered or cut off", "Uncover it with its white rim.");
        mark.contrast = std::min(mark.contrast, e.contrast);
        mark.blur_px = std::max(mark.blur_px, e.blur_px);
        clean = clean && e.misfit <= most_misfit_part * e.contrast + most_misfit_noise;
    }
    if (mark.contrast < least_contrast)
        return left_out(seen, "is hardly darker than its paper", "Give it more light, and no shadow or glare.");
    if (mark.blur_px > most_blur_cells * cell_px)
        return left_out(seen, "is blurred", "Hold the camera still and let it focus on the marks.");
    if (!clean)
        return left_out(seen, "has a side that is partly covered, creased or in a hard shadow",
                        "Uncover it with its white rim, and lay it flat.");
    double scatter2 = 0.0;
    for (std::size_t i = 0; i < 4; ++i) {
        const MarkEdge& before = edges[(i + 3) % 4];
        const MarkEdge& after = edges[i];
        mark.corners_px[i] = meeting(before, after, seen.corners_px[i]);
        const double turn = std::abs(geometry::cross(before.outward, after.outward));
        scatter2 = std::max(scatter2, (before.scatter2(before.half_px) + after.scatter2(-after.half_px)) /
                                          (2.0 * std::max(turn * turn, 0.05)));
        if (norm(mark.corners_px[i] - seen.corners_px[i]) > cell_px)
            return left_out(seen, "has corners that its sides do not lead to", "Uncover it and lay it flat.");
    }
    mark.corner_px = std::hypot(least_corner_px, noise_together * std::sqrt(scatter2));
    return mark;
}

/// Marks of a strip that was seen in part: where they ought to be.
void tell_missing(FoundMarks& found, const std::vector<SeenMark>& seen) {
    std::map<int, std::vector<const SeenMark*>> strips;
    for (const SeenMark& mark : seen) strips[mark.id / marks_a_strip].push_back(&mark);
    for (const auto& [strip, marks] : strips) {
        for (int id = strip * marks_a_strip; id < std::min((strip + 1) * marks_a_strip, mark_count); ++id) {
            if (std::any_of(marks.begin(), marks.end(), [id](const SeenMark* m) { return m->id == id; })) continue;
            const SeenMark& near = *marks.front();
            const Point row = 0.5 * (near.corners_px[1] - near.corners_px[0] + near.corners_px[2] - near.corners_px[3]);
            found.remarks.push_back({fmt::format("Mark {} was not seen, though its strip was.", id),
                                     "Look whether it is covered, creased, in glare or out of the picture.",
                                     middle_of(near.corners_px) + (id - near.id) * (mark_apart_mm / mark_mm) * row});
        }
    }
}

Picture turned_over(const Picture& picture) {
    Picture turned = picture;
    for (auto row = turned.grey.begin(); row != turned.grey.end(); row += picture.width)
        std::reverse(row, row + picture.width);
    return turned;
}

}  // namespace

FoundMarks find_marks(const Picture& picture) {
    FoundMarks found;
    if (std::min(picture.width, picture.height) < smallest_side_px) return found;
    const double size = static_cast<double>(picture.width) * picture.height;
    const int coarse =
        size <= few_pixels ? 1 : std::max(2, static_cast<int>(std::ceil(std::sqrt(size / plenty_of_pixels))));
    // The library takes a picture it may write on.
    Picture own = picture;
    std::vector<SeenMark> seen = look(own, coarse);
    if (seen.size() < enough_marks && coarse > 1 && size <= most_pixels_looked_at_fully) seen = look(own, 1);
    if (seen.size() < 2) {
        own = turned_over(picture);
        std::vector<SeenMark> in_mirror = look(own, coarse);
        if (in_mirror.size() > seen.size()) {
            found.mirrored = true;
            found.remarks.push_back({"The marks can only be read in a mirror: the picture was turned over.",
                                     "Take the picture as the camera wrote it, not mirrored.",
                                     {}});
            return found;
        }
    }
    for (std::size_t i = 0; i < seen.size();) {
        std::size_t next = i + 1;
        while (next < seen.size() && seen[next].id == seen[i].id) ++next;
        if (next - i > 1) {
            found.remarks.push_back(left_out(seen[i], fmt::format("is in the picture {} times", next - i),
                                             "Use each strip once; print other numbers for more strips."));
        } else {
            auto mark = refine(picture, seen[i]);
            if (auto* problem = std::get_if<TraceProblem>(&mark)) {
                found.remarks.push_back(std::move(*problem));
            } else {
                found.marks.push_back(std::get<FoundMark>(mark));
            }
        }
        i = next;
    }
    tell_missing(found, seen);
    return found;
}

}  // namespace seamwright::trace
