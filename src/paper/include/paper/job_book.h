#pragma once

#include <optional>
#include <string>
#include <vector>

#include "paper/drawing.h"
#include "paper/finished_picture.h"
#include "plan/body_study.h"
#include "plan/build_up_study.h"
#include "plan/feed_study.h"
#include "plan/outline_study.h"
#include "plan/rough_cut_study.h"
#include "plan/shop_study.h"

namespace seamwright::paper {

/// All that is known of a job, of one and the same plan.
struct JobStudies {
    const plan::Plan& plan;
    const job::Job& job;
    const shelf::Shelf& shelf;
    const std::optional<plan::BoardsStudy>& boards;
    const plan::RoughCutStudy& rough;
    const plan::MovementStudy& movement;
    const plan::BodyStudy* body = nullptr;  ///< nullptr: could not be worked out
    const std::vector<std::optional<plan::ClosingStudy>>& closing;
    const plan::FeedStudy& feed;
    const plan::ShopStudy& shop;
    const BoardPictures& pictures;
    const plan::OutlineStudy* outline = nullptr;   ///< nullptr: without its chapter
    const plan::BuildUpStudy* build_up = nullptr;  ///< nullptr: the job asks for none
};

/// The booklet that lies beside the router: cover with the picture of the top, cut list, boards, templates, every step
/// in order with a box to tick and room for what was measured, feed along each edge, closing and gluing, edge, sanding
/// and finish, calendar, tests. Upright sheets of the job's paper, black on white.
std::vector<Drawing> job_book(const JobStudies& studies);

/// What the customer sees: the picture, what it is made of, what it costs, when it can be there, the maker's terms.
std::vector<Drawing> quote_pages(const JobStudies& studies);

/// One line for each part that is sawn from a board, sizes in the job's unit as written and in mm; RFC 4180.
std::string cut_list_csv(const JobStudies& studies);

}  // namespace seamwright::paper
