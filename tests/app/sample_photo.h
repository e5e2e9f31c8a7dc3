#pragma once

#include <string>

#include "trace/camera.h"

namespace seamwright::app {

/// A photograph by the tests' own camera (tests/trace/camera.h), smaller than a phone's.
struct Sample {
    std::string jpeg;
    std::string tape;
    double length_mm = 0.0;
};
inline const Sample& sample() {
    static const Sample made = [] {
        trace::UsualSettings usual;
        usual.length_mm = 1200.0;
        usual.strips = 6;
        usual.width = 2000;
        usual.height = 1500;
        const trace::UsualCase one = trace::usual_case(4, usual);
        const auto bytes = trace::jpeg_file(trace::photograph(one.bench, one.camera, one.light), 92);
        Sample out;
        out.jpeg.assign(bytes.begin(), bytes.end());
        const trace::Taped& taped = one.taped.front();
        out.tape = std::to_string(taped.from_mark) + "-" + std::to_string(taped.to_mark) + "=" +
                   std::to_string(taped.apart_mm);
        for (std::size_t i = 1; i < one.curve.size(); ++i)
            out.length_mm += geometry::distance(one.curve[i - 1], one.curve[i]);
        return out;
    }();
    return made;
}

}  // namespace seamwright::app
