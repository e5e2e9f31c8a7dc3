#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "geometry/path_index.h"
#include "plan_jobs.h"

namespace seamwright::plan::testing {
namespace {

/// A length between two others, in steps that shrink well.
double between(double low_mm, double high_mm) {
    return low_mm + (high_mm - low_mm) * *rc::gen::inRange(0, 1001) / 1000.0;
}

job::Edge any_edge(double side_mm) {
    switch (*rc::gen::inRange(0, 3)) {
        case 0:
            return job::BowedEdge{between(-0.06, 0.3) * side_mm};
        default:
            return job::StraightEdge{};
    }
}

job::Outline any_outline() {
    switch (*rc::gen::inRange(0, 3)) {
        case 0:
            return job::RoundOutline{between(300.0, 2000.0)};
        case 1:
            return job::OvalOutline{between(300.0, 2000.0), between(300.0, 1200.0)};
        default: {
            job::RectangleOutline shape;
            shape.length_mm = between(300.0, 2500.0);
            shape.width_mm = between(200.0, 1000.0);
            shape.front = any_edge(shape.length_mm);
            shape.right = any_edge(shape.width_mm);
            shape.back = any_edge(shape.length_mm);
            shape.left = any_edge(shape.width_mm);
            for (double& r : shape.corner_radius_mm) r = *rc::gen::inRange(0, 3) == 0 ? between(1.0, 80.0) : 0.0;
            return shape;
        }
    }
}

/// Seams near the middle of a top of that size; some are right and some are not.
job::Seam any_seam(const geometry::Box& box, int number) {
    const Point middle = geometry::midpoint(box.low, box.high);
    const std::string name = "seam " + std::to_string(number);
    const double reach = 0.5 * box.width_mm() + between(-20.0, 80.0);
    const double y = middle.y + between(-0.45, 0.45) * box.height_mm();
    const Point from{middle.x - reach, y}, to{middle.x + reach, y + between(-60.0, 60.0)};
    switch (*rc::gen::inRange(0, 5)) {
        case 0:
            return open_seam(name, from, to);
        case 1: {
            auto seam = open_seam(name, from, to);
            seam.curve = curves::Wave{from, to, {{between(1.0, 40.0), between(40.0, 900.0), between(0.0, 1.0)}}};
            return seam;
        }
        case 2: {
            auto seam = open_seam(name, from, to);
            seam.curve = curves::Pins{{from, {middle.x, y + between(-50.0, 50.0)}, to}, false, {}, {}};
            return seam;
        }
        case 3:
            return edging(name, between(5.0, 120.0));
        default:
            return inlay(name, curves::Oval{{middle.x, y}, between(10.0, 300.0), between(10.0, 200.0), between(0, 3)});
    }
}

Document any_job() {
    Document document = small();
    document.job.thickness_mm = between(8.0, 48.0);
    document.job.outline = any_outline();
    document.job.sheet = {between(4.0, 20.0), between(0.0, 120.0), between(20.0, 200.0)};
    document.shelf.guides[0].barrel_length_mm = document.job.sheet.thickness_mm - between(-0.2, 3.0);
    document.job.limits.reveal_mm = between(1.0, 20.0);
    document.shelf.cutters[0].cutting.nominal_mm = between(4.0, 20.0);
    document.shelf.guides[0].outside.nominal_mm =
        document.shelf.cutters[0].cutting.nominal_mm * (*rc::gen::arbitrary<bool>() ? 3.0 : between(1.2, 4.0));
    document.shelf.guides[0].bore_mm.reset();
    if (*rc::gen::arbitrary<bool>())
        document.shelf.cutters[0].cutting.measured_mm =
            document.shelf.cutters[0].cutting.nominal_mm - between(0.0, 0.3);
    document.job.seams.clear();
    const auto top = plan_of(document);
    if (top.outline.empty()) return document;
    const int count = *rc::gen::inRange(1, 4);
    for (int i = 0; i < count; ++i) document.job.seams.push_back(any_seam(top.box, i));
    return document;
}

// Blind spot: shapes and sizes of a usual bench; documents beyond them are the job room's business.
RC_GTEST_PROP(AnyJob, IsPlannedOrRefusedWithAReason, ()) {
    const Document document = any_job();
    const Plan plan = plan_of(document);
    RC_CLASSIFY(!errors(plan).empty(), "refused");
    RC_CLASSIFY(errors(plan).empty() && !plan.seams.empty(), "planned with seams");
    RC_ASSERT(write_plan(plan) == write_plan(plan_of(document)));
    for (const auto& p : plan.problems) {
        RC_ASSERT(!p.pointer.empty() && !p.found.empty() && !p.allowed.empty() && !p.remedy.empty());
    }
    if (!plan.pieces.empty()) {
        double sum = 0.0;
        for (const auto& p : plan.pieces) {
            RC_ASSERT(p.area_mm2 > 0.0);
            sum += p.area_mm2;
        }
        RC_ASSERT(std::abs(sum - plan.area_mm2) <= 1e-9 * plan.area_mm2);
    }
    for (const auto& seam : plan.seams) {
        RC_ASSERT(!seam.verdict.empty());
        if (seam.chains.empty()) continue;
        RC_ASSERT(seam.steps.size() == seam.chains.at(seam.chosen).steps.size());
        if (seam.closes) {
            RC_ASSERT(seam.simulation.carried_out);
            RC_ASSERT(seam.simulation.largest_gap_mm <= plan.limits.gap_mm);
        } else {
            RC_ASSERT(!findings(plan).empty());
        }
        for (const auto& t : seam.templates) {
            RC_ASSERT(!t.edge.empty());
            const geometry::PathIndex edge(t.edge), body(t.body);
            for (const Point p : t.fastening) {
                RC_ASSERT(t.body.empty() || body.contains(p));
                RC_ASSERT(edge.distance_mm(p) >= 0.99 * std::min(40.0, 0.5 * plan.sheet.body_mm));
            }
        }
    }
}

/// Something a maker might change in it.
void change(Document& document) {
    job::Job& job = document.job;
    const auto box = plan_of(document).box;
    const auto some_seam = [&]() -> job::Seam& {
        return job.seams[*rc::gen::inRange<std::size_t>(0, job.seams.size())];
    };
    switch (*rc::gen::inRange(0, 14)) {
        case 0:
            job.seams.push_back(any_seam(box, 9));
            break;
        case 1:
            job.seams.erase(job.seams.begin());
            break;
        case 2:
            some_seam().name += " anew";
            break;
        case 3:
            some_seam().master = job::Seam::Hand::right;
            break;
        case 4:
            some_seam().chain = "no such way";
            break;
        case 5:
            job.thickness_mm += 1.0;
            break;
        case 6:
            job.limits.gap_mm = 1e-6;
            break;
        case 7:
            job.sheet.body_mm += 10.0;
            break;
        case 8:
            job.style.decimals = 3;
            break;
        case 9:
            document.shelf.cutters[0].cutting.measured_mm = document.shelf.cutters[0].cutting.nominal_mm - 0.05;
            break;
        case 10:
            document.shelf = {};
            break;
        case 11:
            job.outline = any_outline();
            break;
        case 12:
            job.pieces.push_back({"a part", geometry::midpoint(box.low, box.high), "", 0.0, {}});
            break;
        default:
            some_seam() = any_seam(box, 0);
    }
}

RC_GTEST_PROP(AnyJob, WhatIsTakenOverFromThePlanBeforeChangesNothing, ()) {
    const Document before = any_job();
    if (before.job.seams.empty()) return;
    const Plan plan_before = plan_of(before);
    Document after = before;
    change(after);
    const Plan plan_after = plan_of(after);
    const auto same = [](const Plan& a, const Plan& b) {
        RC_ASSERT(write_plan(a) == write_plan(b));
        RC_ASSERT(a.problems == b.problems);
    };
    same(make_plan(after.job, after.shelf, {before.job, before.shelf, plan_before}), plan_after);
    same(make_plan(before.job, before.shelf, {after.job, after.shelf, plan_after}), plan_before);
    same(make_plan(after.job, after.shelf, {after.job, after.shelf, plan_after}), plan_after);
}

}  // namespace
}  // namespace seamwright::plan::testing
