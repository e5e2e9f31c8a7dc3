#include <fmt/format.h>

#include "book_sections.h"

namespace seamwright::paper {

using plan::words::Told;

namespace {

std::vector<Told> tests_to_make() {
    return {{"Before any good wood is cut",
             {"Measure the check bars on every printed sheet.",
              "Rout the test cut and measure it at its numbered places (./run test-cut prints the sheet).",
              "Rout a disc of the very board all round, conventional: does it tear where the feed maps say?",
              "Glue two offcuts with this glue, at this temperature; break them: wood should break, not glue.",
              "Finish an offcut with all coats, sanded as the top will be."},
             {}}};
}

}  // namespace

std::vector<Drawing> test_pages(const JobStudies& s) {
    TextPages pages(sheet_of(s), "Tests to make", s.plan.name);
    for (const Told& told : tests_to_make()) pages.part(told);
    return pages.finish();
}

}  // namespace seamwright::paper
