#include "bind.h"

#define POINTERHOLDER_TRANSITION 4
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <qpdf/Buffer.hh>
#include <qpdf/QPDF.hh>
#include <qpdf/QPDFObjectHandle.hh>
#include <qpdf/QPDFPageObjectHelper.hh>
#include <qpdf/QPDFWriter.hh>

#include "canvas.h"

namespace seamwright::paper {

namespace {

constexpr double longest_side_pt = 14400.0;

std::string real(double value) {
    return fmt::format("{:.9f}", value);
}

QPDFObjectHandle real_object(double value) {
    return QPDFObjectHandle::newReal(value, 6);
}

QPDFObjectHandle text_object(const std::string& utf8) {
    return QPDFObjectHandle::newUnicodeString(utf8);
}

std::string show_window(const Shown& shown, double per_pt, const std::string& name) {
    // per_pt: page units in one point; 1 / user unit.
    const double u = pt_per_mm * per_pt;
    const Box& w = shown.window;
    return fmt::format("q {} {} {} {} re W n {} 0 0 {} {} {} cm {} Do Q\n", real(w.low.x * u), real(w.low.y * u),
                       real(w.width_mm() * u), real(w.height_mm() * u), real(shown.scale.x / fine * per_pt),
                       real(shown.scale.y / fine * per_pt), real(shown.shift.x * u), real(shown.shift.y * u), name);
}

void add_outline(QPDF& pdf, const std::vector<std::pair<std::string, QPDFObjectHandle>>& entries) {
    if (entries.empty()) return;
    auto root = pdf.makeIndirectObject(QPDFObjectHandle::newDictionary());
    std::vector<QPDFObjectHandle> items;
    for (const auto& [title, page] : entries) {
        auto item = pdf.makeIndirectObject(QPDFObjectHandle::newDictionary());
        item.replaceKey("/Title", text_object(title));
        item.replaceKey("/Parent", root);
        item.replaceKey("/Dest", QPDFObjectHandle::newArray({page, QPDFObjectHandle::newName("/Fit")}));
        items.push_back(item);
    }
    for (std::size_t i = 0; i + 1 < items.size(); ++i) {
        items[i].replaceKey("/Next", items[i + 1]);
        items[i + 1].replaceKey("/Prev", items[i]);
    }
    root.replaceKey("/Type", QPDFObjectHandle::newName("/Outlines"));
    root.replaceKey("/First", items.front());
    root.replaceKey("/Last", items.back());
    root.replaceKey("/Count", QPDFObjectHandle::newInteger(static_cast<long long>(items.size())));
    pdf.getRoot().replaceKey("/Outlines", root);
    if (items.size() > 1) pdf.getRoot().replaceKey("/PageMode", QPDFObjectHandle::newName("/UseOutlines"));
}

}  // namespace

int user_unit(double width_mm, double height_mm) {
    return std::max(1, static_cast<int>(std::ceil(std::max(width_mm, height_mm) * pt_per_mm / longest_side_pt)));
}

std::string bind(const std::string& canvas_bytes, const std::vector<BoundPage>& pages, const std::string& title) {
    QPDF pdf;
    pdf.processMemoryFile("drawing", canvas_bytes.data(), canvas_bytes.size());
    const std::vector<QPDFObjectHandle> drawn = pdf.getAllPages();

    // Forms are made before any page is touched: a form reads its page's contents as they are then.
    std::map<std::size_t, QPDFObjectHandle> forms;
    for (const auto& p : pages) {
        if (p.shown && !forms.contains(p.shown->page))
            forms.emplace(p.shown->page, pdf.makeIndirectObject(
                                             QPDFPageObjectHelper(drawn[p.shown->page]).getFormXObjectForPage(false)));
    }

    std::vector<std::pair<std::string, QPDFObjectHandle>> bookmarks;
    auto labels = QPDFObjectHandle::newArray();
    std::vector<bool> kept(drawn.size(), false);
    for (std::size_t i = 0; i < pages.size(); ++i) {
        const BoundPage& p = pages[i];
        kept[p.page] = true;
        QPDFObjectHandle page = drawn[p.page];
        QPDFPageObjectHelper helper(page);
        const int unit = user_unit(p.width_mm, p.height_mm);
        const double per_pt = 1.0 / unit;
        std::string before =
            fmt::format("q {} 0 0 {} 0 0 cm\n", real(p.scale.x / fine * per_pt), real(p.scale.y / fine * per_pt));
        if (p.shown) {
            QPDFObjectHandle resources = helper.getAttribute("/Resources", true);
            if (!resources.hasKey("/XObject")) resources.replaceKey("/XObject", QPDFObjectHandle::newDictionary());
            resources.getKey("/XObject").replaceKey("/Drawing", forms.at(p.shown->page));
            before = show_window(*p.shown, per_pt, "/Drawing") + before;
        }
        helper.addPageContents(pdf.newStream(before), true);
        helper.addPageContents(pdf.newStream("\nQ\n"), false);
        page.replaceKey("/MediaBox",
                        QPDFObjectHandle::newArray({QPDFObjectHandle::newInteger(0), QPDFObjectHandle::newInteger(0),
                                                    real_object(p.width_mm * pt_per_mm * per_pt),
                                                    real_object(p.height_mm * pt_per_mm * per_pt)}));
        if (unit > 1) page.replaceKey("/UserUnit", QPDFObjectHandle::newInteger(unit));
        if (p.bookmark) bookmarks.emplace_back(*p.bookmark, page);
        auto label = QPDFObjectHandle::newDictionary();
        label.replaceKey("/P", text_object(p.label));
        labels.appendItem(QPDFObjectHandle::newInteger(static_cast<long long>(i)));
        labels.appendItem(label);
    }
    for (std::size_t i = 0; i < drawn.size(); ++i) {
        if (!kept[i]) pdf.removePage(drawn[i]);
    }

    add_outline(pdf, bookmarks);
    auto tree = QPDFObjectHandle::newDictionary();
    tree.replaceKey("/Nums", labels);
    pdf.getRoot().replaceKey("/PageLabels", tree);
    // A viewer must not shrink the page to its own margins when it prints.
    auto preferences = QPDFObjectHandle::newDictionary();
    preferences.replaceKey("/PrintScaling", QPDFObjectHandle::newName("/None"));
    pdf.getRoot().replaceKey("/ViewerPreferences", preferences);
    auto info = pdf.makeIndirectObject(QPDFObjectHandle::newDictionary());
    info.replaceKey("/Title", text_object(title));
    info.replaceKey("/Producer", text_object("Seamwright"));
    pdf.getTrailer().replaceKey("/Info", info);

    QPDFWriter writer(pdf);
    writer.setOutputMemory();
    writer.setDeterministicID(true);
    writer.setMinimumPDFVersion("1.6");  // UserUnit and PrintScaling
    writer.write();
    const auto buffer = writer.getBufferSharedPointer();
    // qpdf hands over bytes as unsigned char.
    return {reinterpret_cast<const char*>(buffer->getBuffer()), buffer->getSize()};
}

}  // namespace seamwright::paper
