#include "trace/line.h"

#include <gtest/gtest.h>
#include <chrono>
#include "painted.h"

namespace seamwright::trace {
namespace {
using namespace testing;

void report(const char* name, const Picture& picture, const LineSettings& settings, const Course* course) {
    const auto t0 = std::chrono::steady_clock::now();
    auto result = find_line(picture, settings);
    const double ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - t0).count();
    if (auto* p = std::get_if<TraceProblem>(&result)) {
        std::printf("%-20s %6.0f ms REFUSED %s | %s\n", name, ms, p->reason.c_str(), p->remedy.c_str());
        return;
    }
    auto& l = std::get<FoundLine>(result);
    std::printf("%-20s %6.0f ms n=%zu closed=%d width=%.2f blur=%.2f contrast=%.1f gaps=%zu ends=%zu rem=%zu from (%.1f,%.1f) to (%.1f,%.1f)\n", name, ms, l.points_px.size(), l.closed, l.width_px, l.blur_px, l.contrast, l.gaps_px.size(), l.free_ends_px.size(), l.remarks.size(), l.points_px.front().x, l.points_px.front().y, l.points_px.back().x, l.points_px.back().y);
    for (auto& r : l.remarks) std::printf("      %s\n", r.reason.c_str());
    if (course) {
        auto off = offsets(l.points_px, *course);
        double worst = 0, z2 = 0; for (size_t i=0;i<off.size();++i){ worst=std::max(worst,std::abs(off[i])); z2+=off[i]*off[i]/(l.scatter_px[i]*l.scatter_px[i]); }
        auto sc=l.scatter_px; std::nth_element(sc.begin(), sc.begin()+sc.size()/2, sc.end());
        std::printf("      rms %.4f mean %.4f worst %.4f stated %.4f chi %.3f\n", rms(off), mean(off), worst, sc[sc.size()/2], std::sqrt(z2/off.size()));
    }
}

TEST(FindLine, Experiments) {
    const Course c = wave(1500, 250, 1900);
    {
        Painting p(4000, 3000); p.line(c, 1.2, 0.5, 0.9, 200, 3800); p.shade(0.3);
        report("pencil 12MP", p.picture(2.0, 1), {}, &c);
    }
    {
        Painting p(4000, 3000); p.line(c, 3, 0.7, 0.9, 200, 3800); p.shade(0.3); p.specks(3000, 4);
        report("ink specks", p.picture(2.0, 1), {}, &c);
    }
    {
        Painting p(4000, 3000); p.edge(c, 0.5, 1.0); p.shade(0.3);
        LineSettings s; s.kind = LineKind::edge; s.may_leave = true;
        report("edge", p.picture(2.0, 1), s, &c);
    }
    {
        Painting p(4000, 3000); p.line(c, 1.2, 0.4, 0.9, 200, 3800); p.figure(0.12, 5); p.shade(0.3);
        report("pencil on wood", p.picture(2.0, 1), {}, &c);
    }
    {
        Painting p(4000, 3000); p.figure(0.12, 5); p.shade(0.3);
        report("wood only", p.picture(2.0, 1), {}, &c);
        LineSettings s; s.kind = LineKind::edge; s.may_leave = true;
        report("wood only edge", p.picture(2.0, 1), s, &c);
    }
    {
        Painting p(4000, 3000);
        report("noise only", p.picture(4.0, 1), {}, &c);
    }
    {
        Painting p(1600, 1200); p.ring(800, 600, 400, 2, 0.5, 0.9); p.line(straight(300, 0.4), 2, 0.5, 0.9, 0, 1600);
        report("ring and line", p.picture(2.0, 1), {}, nullptr);
    }
    {
        Painting p(1600, 1200); const Course w = wave(600, 100, 900); p.line(w, 17, 0.5, 2.5, 100, 1500);
        report("wide line", p.picture(4.0, 1), {}, &w);
    }
    {
        Painting p(1600, 1200); const Course w = wave(600, 100, 900); p.line(w, 1.2, 0.12, 0.9, 100, 1500);
        report("faint", p.picture(3.0, 1), {}, &w);
        Painting q(1600, 1200);  q.line(w, 1.2, 0.04, 0.9, 100, 1500);
        report("fainter", q.picture(3.0, 1), {}, &w);
        Painting r(1600, 1200);  r.line(w, 2, 0.8, 9, 100, 1500);
        report("blurred", r.picture(3.0, 1), {}, &w);
        Painting t(1600, 1200);  t.line(w, 2, 0.8, 1, -10, 1500);
        report("leaves", t.picture(3.0, 1), {}, &w);
    }
}
}  // namespace
}  // namespace seamwright::trace
