// A photo of a board becomes its picture: by the command, by the page's server, and then on the papers. The photograph
// is made by the tests' own camera (tests/trace/camera.h).

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "run_program.h"
#include "serving.h"
#include "source_folder.h"
#include "trace/colour_picture.h"
#include "trace/laid_board.h"

namespace seamwright::app {
namespace {

using test::ask;
using test::get;
using test::Json;
using test::put;
using test::Reply;
using test::run_program;
using test::Serving;
using test::TemporaryFolder;
using ::testing::HasSubstr;
using ::testing::Not;

struct Sample {
    std::string jpeg;
    std::vector<std::string> corners;
    Json places = Json::array();
};
const Sample& sample() {
    static const Sample made = [] {
        const trace::LaidBoard laid = trace::laid_board(1000.0, 240.0, 3, 0.0, trace::held_above(1600, 1200, 1200.0));
        const auto bytes = trace::jpeg_file(trace::photograph(laid.bench, laid.camera, {}), 92);
        Sample out;
        out.jpeg.assign(bytes.begin(), bytes.end());
        for (const auto p : laid.corners_px) {
            out.corners.push_back(fmt::format("{:.1f},{:.1f}", p.x, p.y));
            out.places.push_back({p.x, p.y});
        }
        return out;
    }();
    return made;
}
std::vector<std::string> command(const std::string& output, const std::vector<std::string>& more = {}) {
    std::vector<std::string> words{"board-photo", "photo.jpg", "-o", output, "--corners"};
    words.insert(words.end(), sample().corners.begin(), sample().corners.end());
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

TEST(BoardPhoto, TheCommandWritesThePictureAndTellsHowGoodItIs) {
    const TemporaryFolder here;
    put(here.path() / "photo.jpg", sample().jpeg);
    const auto ran = run_program(here.path(), command("ash-1.jpg", {"--length", "1000"}));
    ASSERT_EQ(ran.exit, 0) << ran.err;
    EXPECT_THAT(ran.out, HasSubstr("9 marks agree within 0."));
    EXPECT_THAT(ran.out, HasSubstr("Written to ash-1.jpg"));
    EXPECT_THAT(ran.out, HasSubstr("marks lie on the board and hide the wood"));
    const std::string file = get(here.path() / "ash-1.jpg");
    const auto read = trace::read_colour_picture(std::vector<std::uint8_t>(file.begin(), file.end()));
    ASSERT_TRUE(std::holds_alternative<trace::ColourPicture>(read));
    const auto& picture = std::get<trace::ColourPicture>(read);
    EXPECT_NEAR(static_cast<double>(picture.width) / picture.height, 1000.0 / 240.0, 0.03);
    // In inches.
    const auto inches = run_program(here.path(), command("b.jpg", {"--unit", "in"}));
    ASSERT_EQ(inches.exit, 0) << inches.err;
    EXPECT_THAT(inches.out, HasSubstr("the board is ≈ 39 25/64 in long"));
}

TEST(BoardPhoto, WhatIsWrongIsToldAndNothingIsWritten) {
    const TemporaryFolder here;
    put(here.path() / "photo.jpg", sample().jpeg);
    put(here.path() / "none.jpg", "no picture at all");
    const auto refused = [&](const std::vector<std::string>& words) {
        const auto ran = run_program(here.path(), words);
        EXPECT_EQ(ran.exit, 2);
        EXPECT_FALSE(std::filesystem::exists(here.path() / "out.jpg"));
        return ran.err;
    };
    EXPECT_THAT(refused(command("out.png")), HasSubstr("written as JPEG"));
    EXPECT_THAT(refused(command("out.jpg", {"--length", "far"})), HasSubstr("--length far"));
    EXPECT_THAT(refused(command("out.jpg", {"--length", "900"})), HasSubstr("by the marks it is"));
    EXPECT_THAT(refused({"board-photo", "none.jpg", "-o", "out.jpg", "--corners", "1,1", "90,1", "90,50", "1,50"}),
                HasSubstr("JPEG and PNG pictures can be read"));
    EXPECT_THAT(refused({"board-photo", "photo.jpg", "-o", "out.jpg", "--corners", "1,1", "90,1", "90,50", "x"}),
                HasSubstr("no place in a picture"));
    EXPECT_THAT(refused({"board-photo", "photo.jpg", "-o", "out.jpg"}), HasSubstr("--corners"));
}

TEST(BoardPhoto, ThePapersShowItBeneathThePieces) {
    const TemporaryFolder here;
    put(here.path() / "photo.jpg", sample().jpeg);
    ASSERT_EQ(run_program(here.path(), command("maple.jpg")).exit, 0);
    Json job = Json::parse(get(source_folder() + "/examples/stack-of-boards.json"));
    for (Json& board : job["shelf"]["boards"]) {
        if (board["name"] == "maple 1") board["picture"] = "maple.jpg";
        if (board["name"] == "walnut 1") board["picture"] = "lost.jpg";
        if (board["name"] == "walnut 4") board["picture"] = "text.png";
    }
    put(here.path() / "text.png", "not a picture");
    put(here.path() / "job.json", job.dump());
    const auto ran = run_program(here.path(), {"wood", "job.json", "-o", "wood.pdf"});
    ASSERT_EQ(ran.exit, 0) << ran.err;
    EXPECT_THAT(ran.out, HasSubstr("The picture lost.jpg of walnut 1 is not shown: there is no such file"));
    EXPECT_THAT(ran.out, HasSubstr("The picture text.png of walnut 4 is not shown."));
    EXPECT_EQ(ran.err, "");
    // The board and the finished top show it; the file holds it once.
    const std::string pdf = get(here.path() / "wood.pdf");
    std::size_t held = 0;
    for (std::size_t at = pdf.find("/DCTDecode"); at != std::string::npos; at = pdf.find("/DCTDecode", at + 1)) ++held;
    EXPECT_EQ(held, 1u);
}

class BoardPhotos : public ::testing::Test {
  protected:
    BoardPhotos() : serving_(folder_ / "jobs.sqlite") {}

    Reply post(const std::string& wish, const std::string& body, const std::string& type = "application/octet-stream") {
        std::string encoded;
        for (const char c : wish) encoded += fmt::format("%{:02X}", static_cast<unsigned char>(c));
        return ask(serving_.port(), fmt::format("POST /api/board-photo?wish={} HTTP/1.1\r\nHost: {}\r\nContent-Type: "
                                                "{}\r\nContent-Length: {}\r\n\r\n{}",
                                                encoded, host(), type, body.size(), body));
    }
    Reply fetch(const std::string& path) {
        return ask(serving_.port(), fmt::format("GET {} HTTP/1.1\r\nHost: {}\r\n\r\n", path, host()));
    }
    std::string host() const { return fmt::format("127.0.0.1:{}", serving_.port()); }

    TemporaryFolder folder_;
    Serving serving_;
};

TEST_F(BoardPhotos, AreMadeToPicturesThatAreKeptByTheirBytes) {
    const Json wish = {{"unit", "mm"}, {"corners", sample().places}, {"length", "1 m"}};
    const Reply reply = post(wish.dump(), sample().jpeg);
    ASSERT_EQ(reply.status, 200) << reply.body;
    const Json view = Json::parse(reply.body);
    const auto name = view["picture"].get<std::string>();
    EXPECT_THAT(view["says"][1].get<std::string>(), HasSubstr("9 marks"));
    EXPECT_FALSE(view["minds"].empty());
    const Reply picture = fetch("/api/pictures/" + name);
    ASSERT_EQ(picture.status, 200);
    const auto read = trace::read_colour_picture(std::vector<std::uint8_t>(picture.body.begin(), picture.body.end()));
    EXPECT_TRUE(std::holds_alternative<trace::ColourPicture>(read));
    EXPECT_EQ(Json::parse(post(wish.dump(), sample().jpeg).body)["picture"], name);
    EXPECT_EQ(fetch("/api/pictures/board-0.jpg").status, 404);
    EXPECT_EQ(fetch("/api/pictures/..%2Fjobs.sqlite").status, 404);

    // A board of a job has it: the view of the wood names it.
    const std::string edit = Json{{"base", 1},
                                  {"edits", Json::array({{{"insert", "/shelf/boards/-"},
                                                          {"value",
                                                           {{"name", "dark"},
                                                            {"species", "Walnut, black"},
                                                            {"length", 1700},
                                                            {"width", 600},
                                                            {"thickness", 40},
                                                            {"picture", name}}}}})}}
                                 .dump();
    const Reply edited = ask(serving_.port(), fmt::format("POST /api/jobs/1/edit HTTP/1.1\r\nHost: {}\r\nContent-Type: "
                                                          "application/json\r\nContent-Length: {}\r\n\r\n{}",
                                                          host(), edit.size(), edit));
    ASSERT_EQ(edited.status, 200) << edited.body;
    EXPECT_EQ(Json::parse(edited.body)["shelf"]["boards"][0]["picture"], name);
    const Json wood = Json::parse(fetch("/api/jobs/1/wood").body);
    ASSERT_EQ(wood["boards"].size(), 1u);
    EXPECT_EQ(wood["boards"][0]["picture"], name);
    bool shown = false;
    for (const Json& patch : wood["finished"]["patches"]) shown = shown || patch["picture"] == name;
    EXPECT_TRUE(shown);
}

TEST_F(BoardPhotos, WhatIsWrongIsTold) {
    const Json turned = {{"corners", {sample().places[3], sample().places[2], sample().places[1], sample().places[0]}}};
    const Reply mirrored = post(turned.dump(), sample().jpeg);
    EXPECT_EQ(mirrored.status, 422);
    EXPECT_THAT(Json::parse(mirrored.body)["says"].get<std::string>(), HasSubstr("the wrong way round"));
    EXPECT_EQ(post(turned.dump(), "no picture").status, 422);
    for (const char* wish : {"", "[]", "{}", R"({"corners":[[1,2],[3,4],[5,6]]})", R"({"corners":[1,2,3,4]})",
                             R"({"corners":[[1,1],[90,1],[90,50],[1,50]],"length":12})",
                             R"({"corners":[[1,1],[90,1],[90,50],[1,50]],"length":"-3"})"})
        EXPECT_EQ(post(wish, sample().jpeg).status, 400) << wish;
    EXPECT_EQ(post(turned.dump(), sample().jpeg, "multipart/form-data; boundary=x").status, 415);
    EXPECT_EQ(fetch("/api/board-photo").status, 405);
}

}  // namespace
}  // namespace seamwright::app
