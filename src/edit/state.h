#pragma once

#include <string>
#include <variant>
#include <vector>

#include "edit/open_job.h"
#include "tree.h"

namespace seamwright::edit {

/// What an open job holds, all of one moment.
struct State {
    std::string text;
    Json tree;
    job::Document document;
    plan::Plan plan;
    std::vector<job::Problem> problems;  ///< of reading, then of planning
};

struct OpenJob::Whole : State {};

/// Reads a text; files that it names are refused with a remedy.
job::Reading read_text(std::string_view text);

/// One problem that is an error.
job::Problem error_at(std::string pointer, std::string found, std::string allowed, std::string remedy);

/// Plans what was read; where there is a state before it, sooner.
State state_of(std::string text, Json tree, job::Document document, std::vector<job::Problem> warnings,
               const State* before);
plan::Plan plan_of(const job::Document& document, const State* before);

}  // namespace seamwright::edit
