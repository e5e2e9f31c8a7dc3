#include "searched.h"

#include <fmt/format.h>

#include "job/read.h"
#include "plan/made_study.h"
#include "plan/words.h"
#include "process/finishing.h"

namespace seamwright::app {
namespace {

using store::Spoken;

class Words {
  public:
    void add(std::string place, const std::string& text) {
        if (!text.empty()) words_.push_back({std::move(place), text});
    }
    std::vector<Spoken> take() { return std::move(words_); }

  private:
    std::vector<Spoken> words_;
};

std::vector<Spoken> words_in(const std::string& document) {
    const auto reading = job::read_document(document, [](const std::string&, std::string& why) {
        why = "files beside a saved job are not read";
        return std::optional<std::string>();
    });
    if (!reading.document) return {};
    const job::Job& job = reading.document->job;
    Words words;
    words.add("name", job.name);
    words.add("note", job.note);
    if (job.prices) {
        words.add("customer", job.prices->customer);
        words.add("terms", job.prices->terms);
    }
    for (const job::Seam& seam : job.seams) words.add("seam", seam.name);
    for (const job::Piece& piece : job.pieces) {
        words.add("piece", piece.name);
        words.add(piece.name.empty() ? "wood" : "wood of " + piece.name, piece.species);
    }
    if (job.finish) {
        const process::FinishSystem* system = process::find_finish(job.finish->system);
        words.add("finish",
                  system != nullptr ? fmt::format("{}, {}", system->name, job.finish->system) : job.finish->system);
    }
    for (const job::Made& made : job.made) {
        const std::string step = plan::words::step_text(made.step, job);
        words.add("noted on " + job::show(made.on), plan::words::capitalised(step));
        words.add(fmt::format("note on {}, {}", step, job::show(made.on)), made.note);
    }
    return words.take();
}

}  // namespace

store::Extract searched_words() {
    // Goes up when words_in() takes others.
    return {1, words_in};
}

}  // namespace seamwright::app
