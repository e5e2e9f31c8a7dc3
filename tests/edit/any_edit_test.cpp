#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "edit_jobs.h"

namespace {

using namespace seamwright;
using edit::OpenJob;
using geometry::Point;

std::string quoted(const std::string& text) {
    std::string result;
    for (const char c : text) {
        if (c == '"' || c == '\\') result += '\\';
        result += c;
    }
    return result;
}

int number(int low, int high) {
    return *rc::gen::inRange(low, high);
}

/// Mostly on and around the top, now and then far off.
std::string place(const OpenJob& job) {
    const geometry::Box& box = job.plan().box;
    const bool far = number(0, 12) == 0;
    const double reach = far ? 30.0 : 1.3;
    const Point middle = box.empty() ? Point{600, 200} : geometry::midpoint(box.low, box.high);
    const double w = box.empty() ? 1200.0 : box.width_mm(), h = box.empty() ? 400.0 : box.height_mm();
    std::ostringstream text;
    text << "[" << middle.x + reach * w * number(-100, 101) / 200.0 << ", "
         << middle.y + reach * h * number(-100, 101) / 200.0 << "]";
    return text.str();
}

std::string seam(const OpenJob& job) {
    const auto count = static_cast<int>(job.document().job.seams.size());
    return "/seams/" + std::to_string(number(0, std::max(count, 1)));
}

std::string any_handle(const OpenJob& job) {
    std::vector<edit::Handle> handles = job.outline_handles();
    for (std::size_t i = 0; i < job.document().job.seams.size(); ++i) {
        const auto more = job.seam_handles(i);
        handles.insert(handles.end(), more.begin(), more.end());
    }
    if (handles.empty()) return "/seams/0/curve/arc#rise";
    return handles[static_cast<std::size_t>(number(0, static_cast<int>(handles.size())))].id;
}

template <std::size_t N>
std::string one_of(const char* const (&words)[N]) {
    return words[static_cast<std::size_t>(number(0, static_cast<int>(N)))];
}

std::string any_edit(const OpenJob& job) {
    std::ostringstream text;
    const std::string scale = R"("mm_per_px": )" + one_of({"0.05", "0.5", "1", "4"});
    switch (number(0, 14)) {
        case 0:
        case 1:
        case 2:
        case 3:
            text << R"({"move": ")" << any_handle(job) << R"(", "to": )" << place(job) << ", " << scale
                 << R"(, "free": )" << one_of({"true", "false"}) << "}";
            break;
        case 4:
            text << R"({"nudge": ")" << any_handle(job) << R"(", "steps": [)" << number(-30, 31) << ", "
                 << number(-30, 31) << R"(], "size": ")" << one_of({"fine", "rule", "coarse"}) << R"("})";
            break;
        case 5:
            text << R"({"add_pin": ")" << (number(0, 3) == 0 ? "/top/outline" : seam(job)) << R"(", "at": )"
                 << place(job) << ", " << scale << "}";
            break;
        case 6:
        case 7: {
            text << R"({"draw_seam": {"as": ")"
                 << one_of({"straight", "arc", "sprung", "wave", "pins", "oval", "circle", "edging"}) << R"(", )"
                 << scale << R"(, "through": [)";
            const int places = number(0, 6);
            for (int i = 0; i < places; ++i) text << (i > 0 ? ", " : "") << place(job);
            text << "]}}";
            break;
        }
        case 8:
            text << R"({"redraw": ")" << seam(job) << R"(", "as": ")"
                 << one_of({"straight", "arc", "sprung", "wave", "pins", "oval", "circle"}) << R"("})";
            break;
        case 9:
            text << R"({"set": ")" << seam(job) << R"(/kind", "value": ")" << one_of({"open", "inlay", "edging"})
                 << R"("})";
            break;
        case 10:
            text << R"({"remove": ")" << (number(0, 3) > 0 ? any_handle(job) : seam(job)) << R"("})";
            break;
        case 11:
            text << R"({"set": "/unit", "value": ")" << one_of({"mm", "in"}) << R"("})";
            break;
        case 12:
            text << R"({"piece": )" << place(job) << R"(, "species": ")" << one_of({"maple", "Walnut, black", "x"})
                 << R"("})";
            break;
        default: {
            const auto remedies = job.remedies();
            const std::string id =
                remedies.empty() ? "none"
                                 : remedies[static_cast<std::size_t>(number(0, static_cast<int>(remedies.size())))].id;
            text << R"({"remedy": ")" << quoted(id) << R"("})";
        }
    }
    return text.str();
}

void check(const OpenJob& job) {
    const OpenJob again = edit_jobs::opened(job.text());
    RC_ASSERT(again.text() == job.text());
    RC_ASSERT(again.plan().inputs_sha256 == job.plan().inputs_sha256);
    std::vector<edit::Handle> handles = job.outline_handles();
    for (std::size_t i = 0; i < job.document().job.seams.size(); ++i) {
        const auto more = job.seam_handles(i);
        handles.insert(handles.end(), more.begin(), more.end());
    }
    for (const auto& handle : handles) {
        RC_ASSERT(std::isfinite(handle.at.x) && std::isfinite(handle.at.y));
        RC_ASSERT(!handle.name.empty() && !handle.value.empty());
    }
    for (const auto& remedy : job.remedies()) {
        RC_ASSERT(remedy.problem < job.problems().size());
        const auto result = job.edited(R"([{"remedy": ")" + quoted(remedy.id) + R"("}])");
        if (const auto* refused = std::get_if<edit::Refused>(&result)) {
            RC_LOG() << remedy.id << "\n" << job::show(refused->problems.front()) << "\n" << job.text();
            RC_FAIL("a remedy that was offered is refused");
        }
    }
}

// A maker at work: whatever is done, in whatever order, the text can be read, a refusal says why and changes nothing,
// and what is offered as a remedy can be carried out.
RC_GTEST_PROP(AnyEdit, TheJobStaysAJob, ()) {
    OpenJob job = edit_jobs::opened(
        edit_jobs::example(*rc::gen::element<std::string>("hall-console", "bench-top", "round-table")));
    const int count = number(1, 8);
    for (int i = 0; i < count; ++i) {
        const std::string edit = any_edit(job);
        const std::string before = job.text();
        const auto result = job.edited("[" + edit + "]");
        if (const auto* refused = std::get_if<edit::Refused>(&result)) {
            RC_ASSERT(!refused->problems.empty());
            RC_ASSERT(!refused->problems.front().found.empty() && !refused->problems.front().remedy.empty());
            RC_ASSERT(job.text() == before);
            RC_CLASSIFY(true, "refused");
            continue;
        }
        const auto& edited = std::get<OpenJob::Edited>(result);
        RC_ASSERT(!edited.says.empty());
        RC_LOG() << edit << "\n";
        job = edited.job;
        check(job);
    }
}

// All or nothing: a list with one edit that is refused changes nothing at all, wherever it stands.
RC_GTEST_PROP(AnyEdit, AListIsCarriedOutWhollyOrNotAtAll, ()) {
    const OpenJob job = edit_jobs::opened(edit_jobs::example("hall-console"));
    const std::string good = any_edit(job);
    if (std::holds_alternative<edit::Refused>(job.edited("[" + good + "]"))) RC_DISCARD("not a good one");
    const std::string bad = R"({"set": "/limits/gap", "value": "nine"})";
    const std::string list = number(0, 2) == 0 ? good + ", " + bad : bad + ", " + good;
    const std::string before = job.text();
    RC_ASSERT(std::holds_alternative<edit::Refused>(job.edited("[" + list + "]")));
    RC_ASSERT(job.text() == before);
}

}  // namespace
