#include "pdf_lines.h"

#define POINTERHOLDER_TRANSITION 4
#include <qpdf/QPDF.hh>
#include <qpdf/QPDFObjectHandle.hh>
#include <qpdf/QPDFPageObjectHelper.hh>
#include <utility>

namespace seamwright::paper::test {

namespace {

class PdfReader : public QPDFObjectHandle::ParserCallbacks {
  public:
    PdfReader(PdfPage& page, QPDFObjectHandle resources, double mm_per_unit)
        : page_(page), resources_(std::move(resources)), ctm_{mm_per_unit, 0, 0, mm_per_unit, 0, 0} {}

    void handleObject(QPDFObjectHandle object) override {
        if (!object.isOperator()) {
            operands_.push_back(object);
            return;
        }
        act(object.getOperatorValue());
        operands_.clear();
    }
    void handleEOF() override {}

  private:
    PdfPage& page_;
    QPDFObjectHandle resources_;
    std::array<double, 6> ctm_;
    std::vector<std::array<double, 6>> saved_;
    std::vector<QPDFObjectHandle> operands_;
    std::vector<PdfLine> lines_;
    std::vector<PdfCurve> curves_;
    std::vector<std::array<PaperPoint, 2>> rectangles_;
    PaperPoint at_, begin_;
    bool in_drawing_ = false;

    double number(std::size_t i) { return operands_.at(i).getNumericValue(); }
    PaperPoint placed(double x, double y) const {
        return {ctm_[0] * x + ctm_[2] * y + ctm_[4], ctm_[1] * x + ctm_[3] * y + ctm_[5]};
    }
    void multiply(const std::array<double, 6>& m) {
        const auto c = ctm_;
        ctm_ = {m[0] * c[0] + m[1] * c[2], m[0] * c[1] + m[1] * c[3],        m[2] * c[0] + m[3] * c[2],
                m[2] * c[1] + m[3] * c[3], m[4] * c[0] + m[5] * c[2] + c[4], m[4] * c[1] + m[5] * c[3] + c[5]};
    }
    void line_to(PaperPoint p) {
        lines_.push_back({at_, p, in_drawing_});
        at_ = p;
    }
    void drop_path() {
        lines_.clear();
        curves_.clear();
        rectangles_.clear();
    }
    void act(const std::string& op) {
        if (op == "q") {
            saved_.push_back(ctm_);
        } else if (op == "Q") {
            ctm_ = saved_.back();
            saved_.pop_back();
        } else if (op == "cm") {
            multiply({number(0), number(1), number(2), number(3), number(4), number(5)});
        } else if (op == "m") {
            at_ = begin_ = placed(number(0), number(1));
        } else if (op == "l") {
            line_to(placed(number(0), number(1)));
        } else if (op == "c") {
            const PaperPoint p1 = placed(number(0), number(1)), p2 = placed(number(2), number(3)),
                             p3 = placed(number(4), number(5));
            curves_.push_back({{at_, p1, p2, p3}});
            at_ = p3;
        } else if (op == "h") {
            line_to(begin_);
        } else if (op == "re") {
            const double x = number(0), y = number(1), w = number(2), h = number(3);
            const PaperPoint low = placed(x, y), high = placed(x + w, y + h);
            rectangles_.push_back({low, high});
            at_ = begin_ = low;
            line_to(placed(x + w, y));
            line_to(high);
            line_to(placed(x, y + h));
            line_to(low);
        } else if (op == "W" || op == "W*") {
            page_.clips.insert(page_.clips.end(), rectangles_.begin(), rectangles_.end());
        } else if (op == "n" || op == "f" || op == "f*") {
            drop_path();
        } else if (op == "S" || op == "s" || op == "B" || op == "B*") {
            if (op == "s") line_to(begin_);
            page_.lines.insert(page_.lines.end(), lines_.begin(), lines_.end());
            page_.curves.insert(page_.curves.end(), curves_.begin(), curves_.end());
            drop_path();
        } else if (op == "Do") {
            QPDFObjectHandle form = resources_.getKey("/XObject").getKey(operands_.at(0).getName());
            PdfReader inner(page_, form.getDict().getKey("/Resources"), 1.0);
            inner.ctm_ = ctm_;
            inner.in_drawing_ = true;
            form.parseAsContents(&inner);
        }
    }
};

}  // namespace

std::vector<PdfPage> read_pages(const std::string& bytes) {
    QPDF pdf;
    pdf.processMemoryFile("test", bytes.data(), bytes.size());
    std::vector<PdfPage> pages;
    for (QPDFObjectHandle page : pdf.getAllPages()) {
        QPDFPageObjectHelper helper(page);
        PdfPage out;
        if (page.hasKey("/UserUnit")) out.user_unit = static_cast<int>(page.getKey("/UserUnit").getIntValue());
        const auto box = page.getKey("/MediaBox").getArrayAsRectangle();
        const double mm = 25.4 / 72.0 * out.user_unit;
        out.media_width_pt = box.urx - box.llx;
        out.media_height_pt = box.ury - box.lly;
        out.width_mm = out.media_width_pt * mm;
        out.height_mm = out.media_height_pt * mm;
        PdfReader reader(out, helper.getAttribute("/Resources", false), mm);
        helper.parseContents(&reader);
        pages.push_back(std::move(out));
    }
    return pages;
}

PdfGuide read_guide(const std::string& bytes) {
    QPDF pdf;
    pdf.processMemoryFile("test", bytes.data(), bytes.size());
    const auto pages = pdf.getAllPages();
    PdfGuide guide;
    guide.pages = pages.size();
    for (auto item = pdf.getRoot().getKey("/Outlines").getKey("/First"); item.isDictionary();
         item = item.getKey("/Next")) {
        PdfBookmark mark{item.getKey("/Title").getUTF8Value(), pages.size()};
        for (std::size_t i = 0; i < pages.size(); ++i) {
            if (item.getKey("/Dest").getArrayItem(0).getObjGen() == pages[i].getObjGen()) mark.page = i;
        }
        guide.bookmarks.push_back(mark);
    }
    auto labels = pdf.getRoot().getKey("/PageLabels").getKey("/Nums");
    for (int i = 0; i + 1 < labels.getArrayNItems(); i += 2)
        guide.labels.push_back(labels.getArrayItem(i + 1).getKey("/P").getUTF8Value());
    return guide;
}

}  // namespace seamwright::paper::test
