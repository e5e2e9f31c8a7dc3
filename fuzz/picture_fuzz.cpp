// Any bytes as a picture file: JPEG, PNG, and the notes cameras write (EXIF). Besides memory errors this looks for:
// pictures whose size and greys do not agree, sizes beyond what is allowed, refusals without words; and whether the
// same file is read, or refused for the same reason, in colours.

#include <cmath>
#include <cstddef>
#include <cstdint>

#include "promise.h"
#include "trace/colour_picture.h"

using namespace seamwright;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto read = trace::read_picture({data, size});
    const auto colours = trace::read_colour_picture({data, size});
    promise(read.index() == colours.index());
    if (const auto* problem = std::get_if<trace::TraceProblem>(&read)) {
        promise(!problem->reason.empty() && !problem->remedy.empty());
        return 0;
    }
    const auto& picture = std::get<trace::Picture>(read);
    const auto least = static_cast<int>(trace::fewest_pixels_across);
    promise(picture.width >= least && picture.height >= least);
    const std::size_t pixels = static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height);
    promise(pixels <= trace::most_pixels && picture.grey.size() == pixels);
    const auto& coloured = std::get<trace::ColourPicture>(colours);
    promise(coloured.width == picture.width && coloured.height == picture.height && coloured.rgb.size() == 3 * pixels);
    promise(!picture.focal_px || (*picture.focal_px > 0.0 && std::isfinite(*picture.focal_px)));
    promise(picture.per_mm_x.has_value() == picture.per_mm_y.has_value());
    promise(!picture.per_mm_x || (*picture.per_mm_x > 0.0 && std::isfinite(*picture.per_mm_x)));
    return 0;
}
