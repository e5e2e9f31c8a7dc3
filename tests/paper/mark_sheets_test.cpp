// The sheets of reference marks, printed into a picture by another program (Debian's pdftocairo) and read back.

#include "paper/mark_sheets.h"

#include <gtest/gtest.h>
#include <stdlib.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <map>
#include <memory>
#include <sstream>

#include "trace/marks.h"
#include "trace/view.h"

namespace seamwright::paper {
namespace {

namespace fs = std::filesystem;
constexpr double per_inch = 200.0, px_per_mm = per_inch / 25.4;

class Folder {
  public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "seamwright-marks-XXXXXX").string();
        if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder");
        path_ = name;
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    fs::path operator/(const char* name) const { return path_ / name; }

  private:
    fs::path path_;
};

std::string output_of(const std::string& command) {
    const std::unique_ptr<FILE, int (*)(FILE*)> pipe(::popen(command.c_str(), "r"), ::pclose);
    std::string out;
    char block[4096];
    while (const std::size_t got = std::fread(block, 1, sizeof block, pipe.get())) out.append(block, got);
    return out;
}

/// Page `page` in greys. (pdftoppm fills whole pixels, pdftocairo parts of them.)
trace::Picture printed(const std::string& pdf, int page, const Folder& folder) {
    std::ofstream(folder / "marks.pdf", std::ios::binary) << pdf;
    std::ostringstream command;
    command << "pdftocairo -png -gray -r " << per_inch << " -f " << page << " -l " << page << " -singlefile "
            << (folder / "marks.pdf").string() << ' ' << (folder / "page").string();
    if (std::system(command.str().c_str()) != 0) throw std::runtime_error("pdftocairo failed");
    std::ifstream file(folder / "page.png", std::ios::binary);
    const std::vector<char> bytes{std::istreambuf_iterator<char>(file), {}};
    const auto read = trace::read_picture({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
    return std::get<trace::Picture>(read);
}

/// Corners as our own detector numbers them, where they must be: top left first, clockwise as printed.
std::array<Point, 4> corners_at(const SheetSize& sheet, int mark, double scale_x, double scale_y) {
    const Point middle = mark_on_sheet(sheet, mark / 3, mark % 3);
    const double h = 0.5 * trace::mark_mm, height = std::min(sheet.width_mm, sheet.height_mm);
    std::array<Point, 4> out;
    const Point offsets[] = {{-h, h}, {h, h}, {h, -h}, {-h, -h}};
    for (std::size_t i = 0; i < 4; ++i) {
        const Point p = middle + offsets[i];
        out[i] = {px_per_mm * scale_x * p.x, px_per_mm * (height - scale_y * p.y)};
    }
    return out;
}

TEST(MarkSheets, AreReadBackWhereTheyWerePrinted) {
    for (const char* name : {"A4", "Letter", "A3"}) {
        const Folder folder;
        const SheetSize sheet = *find_sheet(name);
        const trace::Picture page = printed(marks_pdf({4, sheet, {}}), 3, folder);
        const auto found = trace::find_marks(page);
        ASSERT_EQ(found.marks.size(), 6u) << name;
        EXPECT_TRUE(found.remarks.empty());
        for (std::size_t i = 0; i < 6; ++i) {
            EXPECT_EQ(found.marks[i].id, 6 + static_cast<int>(i));
            const auto expected = corners_at(sheet, found.marks[i].id, 1.0, 1.0);
            // A pixel that is half black is written as the middle grey, where a camera writes what it sees of half the
            // light: so each square looks larger by a fifth of a pixel all round.
            for (std::size_t c = 0; c < 4; ++c)
                EXPECT_LT(geometry::distance(found.marks[i].corners_px[c], expected[c]), 0.4) << name << ' ' << i;
        }
    }
}

TEST(MarkSheets, ThePrintersCorrectionIsCarriedOut) {
    const Folder folder;
    const SheetSize sheet = *find_sheet("A4");
    // x is along the short side of the sheet, which lies on its side.
    const trace::Picture page = printed(marks_pdf({2, sheet, Correction::measured(99.0, 100.5)}), 2, folder);
    const auto found = trace::find_marks(page);
    ASSERT_EQ(found.marks.size(), 6u);
    for (const auto& mark : found.marks) {
        const auto expected = corners_at(sheet, mark.id, 100.0 / 100.5, 100.0 / 99.0);
        for (std::size_t c = 0; c < 4; ++c) EXPECT_LT(geometry::distance(mark.corners_px[c], expected[c]), 0.4);
    }
}

// The detector of OpenCV (objdetect/aruco, DICT_APRILTAG_36h11), where it is installed: another program's word that
// these are marks of the open family. It counts the middle of the first pixel as 0, 0.
TEST(MarkSheets, AnotherDetectorReadsThemToo) {
    const Folder folder;
    if (output_of("/usr/bin/python3 -c 'import cv2; print(cv2.__version__)' 2>/dev/null").empty())
        GTEST_SKIP() << "OpenCV for Python is not installed";
    const SheetSize sheet = *find_sheet("A4");
    printed(marks_pdf({2, sheet, {}}), 2, folder);
    std::ofstream(folder / "read.py") << R"(import cv2, sys
picture = cv2.imread(sys.argv[1], cv2.IMREAD_GRAYSCALE)
marks = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
settings = cv2.aruco.DetectorParameters_create() if hasattr(cv2.aruco, 'DetectorParameters_create') else cv2.aruco.DetectorParameters()
settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
corners, ids, _ = cv2.aruco.detectMarkers(picture, marks, parameters=settings)
for i, c in zip(ids.flatten(), corners):
    print(i, *c.flatten())
)";
    std::istringstream read(
        output_of("/usr/bin/python3 " + (folder / "read.py").string() + ' ' + (folder / "page.png").string()));
    std::map<int, std::array<Point, 4>> seen;
    for (int id = 0; read >> id;)
        for (Point& corner : seen[id]) read >> corner.x >> corner.y;
    ASSERT_EQ(seen.size(), 6u);
    for (const auto& [id, corners] : seen) {
        const auto expected = corners_at(sheet, id, 1.0, 1.0);
        // Which corner comes first is a matter of the dictionary's own turn; places are not.
        for (const Point& corner : corners) {
            double nearest = HUGE_VAL;
            for (const Point& e : expected)
                nearest = std::min(nearest, geometry::distance(corner + Point{0.5, 0.5}, e));
            EXPECT_LT(nearest, 1.0) << id;
        }
    }
}

TEST(MarkSheets, SameBytesEveryTimeAndBadWishesRefused) {
    const SheetSize sheet = *find_sheet("A4");
    EXPECT_EQ(marks_pdf({3, sheet, {}}), marks_pdf({3, sheet, {}}));
    EXPECT_THROW(marks_pdf({1, sheet, {}}), std::invalid_argument);
    EXPECT_THROW(marks_pdf({1000, sheet, {}}), std::invalid_argument);
    EXPECT_THROW(marks_pdf({2, {"A5", 148.0, 210.0}, {}}), std::invalid_argument);
    EXPECT_THROW(marks_pdf({2, sheet, {0.5, 1.0}}), std::invalid_argument);
}

}  // namespace
}  // namespace seamwright::paper
