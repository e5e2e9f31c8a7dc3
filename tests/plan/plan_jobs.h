#pragma once

#include <gtest/gtest.h>

#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "job/job_files.h"
#include "plan/plan.h"

namespace seamwright::plan::testing {

using job::Document;
using job::testing::show_all;

inline const std::vector<std::string>& example_names() {
    static const std::vector<std::string> names{"hall-console", "bench-top", "round-table", "measured-template"};
    return names;
}

inline Document document_of(const std::string& text) {
    const auto reading = job::testing::read(text);
    EXPECT_TRUE(reading.document) << show_all(reading.problems);
    return reading.document.value_or(Document{});
}

inline Document example(const std::string& name) {
    return document_of(job::testing::slurp(job::testing::source("examples/" + name + ".json")));
}

/// A plain top of 1000 × 400 with one straight seam at 200 from the front, one guide of 30 and one cutter of 10.
inline Document small() {
    return document_of(job::testing::small_job());
}

/// The small job with both its pieces named, of walnut, their fibres in one direction.
inline Document two_pieces(double grain_rad = 0.0) {
    Document document = small();
    document.job.pieces.clear();
    for (const auto& [name, y] : {std::pair("near", 50.0), std::pair("far", 350.0)}) {
        job::Piece piece;
        piece.name = name;
        piece.at = {500.0, y};
        piece.species = "Walnut, black";
        piece.grain_rad = grain_rad;
        document.job.pieces.push_back(piece);
    }
    return document;
}

inline Plan plan_of(const Document& document) {
    return make_plan(document.job, document.shelf);
}

inline job::Seam open_seam(const std::string& name, Point from, Point to) {
    job::Seam seam;
    seam.name = name;
    seam.curve = curves::Straight{from, to};
    return seam;
}

inline job::Seam inlay(const std::string& name, const curves::Curve& curve) {
    job::Seam seam;
    seam.name = name;
    seam.kind = job::SeamKind::inlay;
    seam.curve = curve;
    return seam;
}

inline job::Seam edging(const std::string& name, double width_mm) {
    job::Seam seam;
    seam.name = name;
    seam.kind = job::SeamKind::edging;
    seam.edging_width_mm = width_mm;
    return seam;
}

inline std::vector<job::Problem> errors(const Plan& plan) {
    std::vector<job::Problem> list;
    for (const auto& p : plan.problems) {
        if (p.weight == job::Problem::Weight::error) list.push_back(p);
    }
    return list;
}

/// Everything found, but for the pieces that the small job leaves without a name.
inline std::vector<job::Problem> findings(const Plan& plan) {
    std::vector<job::Problem> list;
    for (const auto& p : plan.problems) {
        if (p.pointer != "/pieces") list.push_back(p);
    }
    return list;
}

inline const PiecePlan& piece(const Plan& plan, const std::string& name) {
    for (const auto& p : plan.pieces) {
        if (p.name == name) return p;
    }
    throw std::out_of_range("no piece " + name);
}

}  // namespace seamwright::plan::testing
