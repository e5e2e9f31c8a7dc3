#include "write_pdf.h"

#define POINTERHOLDER_TRANSITION 4
#include <map>
#include <qpdf/Buffer.hh>
#include <qpdf/QPDF.hh>
#include <qpdf/QPDFObjectHandle.hh>
#include <qpdf/QPDFPageObjectHelper.hh>
#include <qpdf/QPDFWriter.hh>
#include <utility>

namespace seamwright::paper {

namespace {

QPDFObjectHandle real_object(double value) {
    return QPDFObjectHandle::newReal(value, 6);
}

QPDFObjectHandle text_object(const std::string& utf8) {
    return QPDFObjectHandle::newUnicodeString(utf8);
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

std::string write_pdf(const std::string& drawn_file, const std::vector<FilePage>& pages, const std::string& title) {
    QPDF pdf;
    // Cairo lists a picture that is drawn twice on a page twice under one name; that is no matter for the maker.
    pdf.setSuppressWarnings(true);
    pdf.processMemoryFile("drawing", drawn_file.data(), drawn_file.size());
    const std::vector<QPDFObjectHandle> drawn = pdf.getAllPages();

    // Forms are made before any page is touched: a form reads its page's contents as they are then.
    std::map<std::size_t, QPDFObjectHandle> forms;
    for (const auto& p : pages) {
        if (p.drawing && forms.count(*p.drawing) == 0)
            forms.emplace(*p.drawing,
                          pdf.makeIndirectObject(QPDFPageObjectHelper(drawn[*p.drawing]).getFormXObjectForPage(false)));
    }

    std::vector<std::pair<std::string, QPDFObjectHandle>> bookmarks;
    auto labels = QPDFObjectHandle::newArray();
    std::vector<bool> kept(drawn.size(), false);
    for (std::size_t i = 0; i < pages.size(); ++i) {
        const FilePage& p = pages[i];
        kept[p.page] = true;
        QPDFObjectHandle page = drawn[p.page];
        QPDFPageObjectHelper helper(page);
        if (p.drawing) {
            QPDFObjectHandle resources = helper.getAttribute("/Resources", true);
            if (!resources.hasKey("/XObject")) resources.replaceKey("/XObject", QPDFObjectHandle::newDictionary());
            resources.getKey("/XObject").replaceKey("/Drawing", forms.at(*p.drawing));
        }
        helper.addPageContents(pdf.newStream(p.before), true);
        helper.addPageContents(pdf.newStream(p.after), false);
        page.replaceKey("/MediaBox",
                        QPDFObjectHandle::newArray({QPDFObjectHandle::newInteger(0), QPDFObjectHandle::newInteger(0),
                                                    real_object(p.width), real_object(p.height)}));
        if (p.unit > 1) page.replaceKey("/UserUnit", QPDFObjectHandle::newInteger(p.unit));
        for (const std::string& bookmark : p.bookmarks) bookmarks.emplace_back(bookmark, page);
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
