#include "server_fault.h"

#include <fmt/format.h>

#include <array>
#include <nlohmann/json.hpp>

namespace seamwright::app {
namespace {

struct Meaning {
    int status;
    std::string_view reason;  ///< RFC 9110
    std::string_view says, remedy;
};

constexpr std::string_view load_again = "Load the page again.";

constexpr std::array<Meaning, 15> meanings = {{
    {400, "Bad Request", "The program could not understand what was asked.", load_again},
    {403, "Forbidden", "This was not asked by Seamwright's own page.",
     "Open the page at the address the program printed when it started."},
    {404, "Not Found", "There is nothing at this address.", "Go back to the list of jobs."},
    {405, "Method Not Allowed", "This address cannot be used in that way.", load_again},
    {408, "Request Timeout", "The request did not arrive in time.", "Try again."},
    {411, "Length Required", "The request did not say how long it is.", load_again},
    {413, "Content Too Large", "This is larger than the program takes.",
     "A job file may have 64 MiB, a single change 1 MiB. Make a drawn curve lighter and try again."},
    {414, "URI Too Long", "The address is too long.", load_again},
    {415, "Unsupported Media Type", "The request came in a form the program does not read.", load_again},
    {417, "Expectation Failed", "The request expects something the program does not do.", load_again},
    {431, "Request Header Fields Too Large", "The request carries too many particulars.",
     "Clear the cookies of this address in the browser and load the page again."},
    {500, "Internal Server Error", "The program has a fault and could not do this. Your saved jobs are as they were.",
     "Load the page again. If it happens again, please report what you did."},
    {501, "Not Implemented", "The program does not do this.", load_again},
    {503, "Service Unavailable", "The program cannot do this just now.", "Wait a moment and try again."},
    {505, "HTTP Version Not Supported", "The program speaks HTTP/1.1 only.", "Use an ordinary web browser."},
}};

const Meaning& meaning_of(int status) {
    for (const auto& meaning : meanings) {
        if (meaning.status == status) return meaning;
    }
    return status >= 500 ? meanings[11] : meanings[0];
}

}  // namespace

Answer fault(int status, std::string_view says, std::string_view remedy) {
    nlohmann::ordered_json body = {{"says", says}, {"remedy", remedy}};
    Answer answer;
    answer.status = status;
    answer.body = body.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
    answer.fields.emplace_back("Cache-Control", "no-store");
    if (status == 405) answer.fields.emplace_back("Allow", "GET, HEAD, POST");
    return answer;
}

Answer fault(int status) {
    const Meaning& meaning = meaning_of(status);
    return fault(status, meaning.says, meaning.remedy);
}

std::string written_out(const Answer& answer) {
    std::string text = fmt::format("HTTP/1.1 {} {}\r\n", answer.status, meaning_of(answer.status).reason);
    const auto add = [&](std::string_view name, std::string_view value) {
        text += fmt::format("{}: {}\r\n", name, value);
    };
    for (const auto& [name, value] : safety_fields()) add(name, value);
    for (const auto& [name, value] : answer.fields) add(name, value);
    add("Content-Type", answer.type);
    add("Content-Length", fmt::format("{}", answer.body.size()));
    add("Connection", "close");
    return text + "\r\n" + answer.body;
}

}  // namespace seamwright::app
