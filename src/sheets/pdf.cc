// SPDX-License-Identifier: Apache-2.0
#include "sheets/pdf.h"

#include <cairo-ft.h>
#include <cairo-pdf.h>

#include <algorithm>
#include <map>
#include <memory>
#include <mutex>
#include <stdexcept>
#include <string_view>
#include <utility>

#include "sheets/lettering.h"

namespace garthwright::sheets {

namespace {

constexpr double kPointsPerMm = 72 / 25.4;

struct Destroy {
  void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
  void operator()(cairo_t* c) const { cairo_destroy(c); }
};
template <class T>
using Owned = std::unique_ptr<T, Destroy>;

// The built-in fonts as cairo wants them. Kept for the life of the program: cairo caches a face beyond its last use.
cairo_font_face_t* cairo_face(Lettering lettering, Font font) {
  static const auto open = [](Lettering l, Font f) {
    static FT_Library library = [] {
      FT_Library made = nullptr;
      FT_Init_FreeType(&made);
      return made;
    }();
    const auto file = font_file(l, f);
    FT_Face face = nullptr;
    FT_New_Memory_Face(library, file.data(), static_cast<FT_Long>(file.size()), 0, &face);
    return cairo_ft_font_face_create_for_ft_face(face, FT_LOAD_NO_HINTING);
  };
  static cairo_font_face_t* const plain = open(Lettering::plain, Font::usual);
  static cairo_font_face_t* const bold = open(Lettering::bold, Font::usual);
  if (font == Font::usual) return lettering == Lettering::bold ? bold : plain;
  static cairo_font_face_t* const more = open(Lettering::plain, Font::more);
  static cairo_font_face_t* const more_bold = open(Lettering::bold, Font::more);
  return lettering == Lettering::bold ? more_bold : more;
}

void trace(cairo_t* c, const Path& path) {
  cairo_new_path(c);
  for (const Path::Step& s : path.steps) {
    switch (s.kind) {
      case Path::Step::Kind::move:
        cairo_move_to(c, s.to.x, s.to.y);
        break;
      case Path::Step::Kind::line:
        cairo_line_to(c, s.to.x, s.to.y);
        break;
      case Path::Step::Kind::cubic:
        cairo_curve_to(c, s.handle1.x, s.handle1.y, s.handle2.x, s.handle2.y, s.to.x, s.to.y);
        break;
      case Path::Step::Kind::close:
        cairo_close_path(c);
        break;
    }
  }
}

void set_ink(cairo_t* c, double ink) { cairo_set_source_rgb(c, 1 - ink, 1 - ink, 1 - ink); }

void draw(cairo_t* c, const Stroke& stroke) {
  trace(c, stroke.path);
  set_ink(c, 1);
  cairo_set_line_width(c, stroke.weight);
  const std::vector<double> pattern = dash_pattern(stroke.dash);
  cairo_set_dash(c, pattern.data(), static_cast<int>(pattern.size()), 0);
  cairo_stroke(c);
}

void draw(cairo_t* c, const Fill& fill) {
  trace(c, fill.path);
  set_ink(c, fill.ink);
  cairo_set_fill_rule(c, CAIRO_FILL_RULE_EVEN_ODD);
  cairo_fill(c);
}

// Placed letter by letter as it was measured, with the words beside it so that a reader can search and copy them.
void draw(cairo_t* c, const Text& text) {
  const SetLine set = set_line(text.words, text.lettering);
  cairo_save(c);
  cairo_translate(c, text.at.x, text.at.y);
  cairo_rotate(c, -text.turn_deg * 3.14159265358979323846 / 180);
  set_ink(c, 1);
  const char* words = text.words.data();
  for (std::size_t from = 0; from < set.glyphs.size();) {
    const Font font = set.glyphs[from].font;
    std::vector<cairo_glyph_t> glyphs;
    std::vector<cairo_text_cluster_t> clusters;
    int bytes = 0;
    for (; from < set.glyphs.size() && set.glyphs[from].font == font; ++from) {
      const SetGlyph& g = set.glyphs[from];
      glyphs.push_back({g.glyph, g.x * text.size, 0});
      clusters.push_back({g.bytes, 1});
      bytes += g.bytes;
    }
    cairo_set_font_face(c, cairo_face(text.lettering, font));
    cairo_set_font_size(c, text.size);
    cairo_show_text_glyphs(c, words, bytes, glyphs.data(), static_cast<int>(glyphs.size()), clusters.data(),
                           static_cast<int>(clusters.size()), static_cast<cairo_text_cluster_flags_t>(0));
    words += bytes;
  }
  cairo_restore(c);
}

void draw(cairo_t* c, const Items& items);
void draw(cairo_t* c, const Group& group) { draw(c, group.items); }
void draw(cairo_t* c, const Items& items) {
  for (const Item& item : items) std::visit([&](const auto& value) { draw(c, value); }, item.value);
}

// ---- structure, for who has the pages read out (ISO 32000-1:2008 14.8)
// ------------------------------------------------

/// What a line of lettering is by its looks: the title of a sheet, a heading on it, or words.
const char* role(const Text& text) {
  if (text.lettering != Lettering::bold || text.turn_deg != 0) return "P";
  return text.size >= 5 ? "H1" : text.size >= 3.5 ? "H2" : "P";
}

/// Whether the line goes on where the one before it ended: the same paragraph.
bool goes_on(const Text& before, const Text& text) {
  const double down = text.at.y - before.at.y;
  return before.lettering == text.lettering && before.size == text.size && before.turn_deg == 0 && text.turn_deg == 0 &&
         before.at.x == text.at.x && down > 0 && down < 1.6 * text.size;
}

class Tag {
 public:
  Tag(cairo_t* c, const char* name) : c_(c), name_(name) { cairo_tag_begin(c_, name_, ""); }
  ~Tag() { cairo_tag_end(c_, name_); }
  Tag(const Tag&) = delete;
  Tag& operator=(const Tag&) = delete;

 private:
  cairo_t* c_;
  const char* name_;
};

/// What is read out in place of a drawing: which it is, and the lettering in it.
std::string alternative(const Group& group, const std::string& sheet_title) {
  Sheet alone;
  alone.items = group.items;
  std::string words;
  for (const Text* text : all_text(alone)) words += (words.empty() ? "" : "; ") + text->words;
  return "Drawing \"" + group.name + "\" of: " + sheet_title + (words.empty() ? "." : ". Lettered: " + words + ".");
}

/// Words as headings and paragraphs in the order in which they were set, each drawing as a figure, whose alternative
/// is added to `told`. Every page is a section of its own: cairo 1.16 keeps no element open from page to page.
void draw_tagged(cairo_t* c, const Items& items, const std::string& sheet_title, std::vector<std::string>& told) {
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (const auto* text = std::get_if<Text>(&items[i].value)) {
      const Tag tag(c, role(*text));
      draw(c, *text);
      for (; i + 1 < items.size(); ++i) {
        const auto* next = std::get_if<Text>(&items[i + 1].value);
        if (next == nullptr || !goes_on(std::get<Text>(items[i].value), *next)) break;
        draw(c, *next);
      }
    } else if (const auto* group = std::get_if<Group>(&items[i].value)) {
      if (group->name == "title block") {
        const Tag tag(c, "Div");
        draw_tagged(c, group->items, sheet_title, told);
      } else {
        const Tag tag(c, "Figure");
        told.push_back(alternative(*group, sheet_title));
        draw(c, group->items);
      }
    } else {
      std::visit([&](const auto& value) { draw(c, value); }, items[i].value);
    }
  }
}

cairo_status_t append(void* to, const unsigned char* data, unsigned length) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

struct Document {
  std::string bytes;
  std::vector<std::string> figures;  ///< what is read out in place of each, in the order in which they were drawn
};

Document drawn(const std::vector<Sheet>& sheets, const PdfInfo& info) {
  // One document at a time: FreeType's faces are shared.
  static std::mutex mutex;
  const std::lock_guard lock(mutex);
  Document out;
  {
    const Owned<cairo_surface_t> surface(cairo_pdf_surface_create_for_stream(append, &out.bytes, 1, 1));
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, printable(info.title).c_str());
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "Garthwright");
    // cairo puts the clock's time in when it is told none, so it is always told one.
    const std::string day = info.date.size() == 10 ? info.date : "2000-01-01";
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, (day + "T00:00:00Z").c_str());
    const Owned<cairo_t> c(cairo_create(surface.get()));
    int page = 0;
    for (const Sheet& sheet : sheets) {
      ++page;
      cairo_pdf_surface_set_size(surface.get(), sheet.width * kPointsPerMm, sheet.height * kPointsPerMm);
      if (page == 1 || sheets[static_cast<std::size_t>(page) - 2].title != sheet.title) {
        const std::string link = "page=" + std::to_string(page) + " pos=[0 0]";
        cairo_pdf_surface_add_outline(surface.get(), CAIRO_PDF_OUTLINE_ROOT, printable(sheet.title).c_str(),
                                      link.c_str(), static_cast<cairo_pdf_outline_flags_t>(0));
      }
      cairo_save(c.get());
      cairo_scale(c.get(), kPointsPerMm, kPointsPerMm);
      {
        const Tag tag(c.get(), "Sect");
        draw_tagged(c.get(), sheet.items, printable(sheet.title), out.figures);
      }
      cairo_restore(c.get());
      cairo_show_page(c.get());
    }
    cairo_surface_finish(surface.get());
    const cairo_status_t status = cairo_status(c.get());
    const cairo_status_t wrote = cairo_surface_status(surface.get());
    if (status != CAIRO_STATUS_SUCCESS || wrote != CAIRO_STATUS_SUCCESS) {
      throw std::logic_error(std::string("a sheet cannot be drawn: ") +
                             cairo_status_to_string(status != CAIRO_STATUS_SUCCESS ? status : wrote));
    }
  }
  return out;
}

/// What stands between two marks; empty where either is missing.
std::string_view between(std::string_view text, std::string_view from, std::string_view to, std::size_t start = 0) {
  const std::size_t a = text.find(from, start);
  if (a == std::string_view::npos) return {};
  const std::size_t b = text.find(to, a + from.size());
  return b == std::string_view::npos ? std::string_view{} : text.substr(a + from.size(), b - a - from.size());
}

/// Text in a PDF's own terms: UTF-16, big end first, in hexadecimal (ISO 32000-1:2008 7.9.2.2). `words` is printable.
std::string pdf_text(std::string_view words) {
  constexpr std::string_view kDigits = "0123456789ABCDEF";
  std::string out = "<FEFF";
  const auto unit = [&](char32_t u) {
    for (int shift = 12; shift >= 0; shift -= 4) out += kDigits[(u >> shift) & 0xF];
  };
  for (const char32_t letter : letters(words)) {
    if (letter < 0x10000) {
      unit(letter);
    } else {
      unit(0xD800 + ((letter - 0x10000) >> 10));
      unit(0xDC00 + ((letter - 0x10000) & 0x3FF));
    }
  }
  return out + ">";
}

/// Objects to be put in place of those that the file has: number and body.
using NewObjects = std::map<int, std::string>;

/// Adds what is read out to each figure's element: a key that cairo does not write.
void tell_figures(std::string_view pdf, const std::vector<std::string>& told, NewObjects& objects) {
  constexpr std::string_view kFigure = " 0 obj\n<< /Type /StructElem\n   /S /Figure\n";
  std::size_t at = 0;
  for (const std::string& words : told) {
    at = pdf.find(kFigure, at);
    const std::size_t end = pdf.find(">>\nendobj", at);
    if (at == std::string_view::npos || end == std::string_view::npos)
      throw std::logic_error("a figure of a PDF is not where it is looked for");
    const std::size_t number = pdf.rfind('\n', at) + 1;
    const std::size_t body = at + std::string_view(" 0 obj\n").size();
    objects[std::stoi(std::string(pdf.substr(number, at - number)))] =
        std::string(pdf.substr(body, end - body)) + "   /Alt " + pdf_text(words) + "\n>>\n";
    at = end;
  }
}

/// The language of the words, a wish that no printer scales the pages, and what is read out in place of the figures:
/// keys that cairo does not write. Added as an update behind the file's end (ISO 32000-1:2008 7.5.6): the objects anew,
/// a table with their places, a trailer that points to the table before.
std::string with_reading_aids(Document document) {
  std::string& pdf = document.bytes;
  const std::size_t last = pdf.rfind("trailer");
  const std::string_view trailer = std::string_view(pdf).substr(std::min(last, pdf.size()));
  const std::string root(between(trailer, "/Root ", " 0 R")), info(between(trailer, "/Info ", " 0 R"));
  const std::string size(between(trailer, "/Size ", "\n")), before(between(trailer, "startxref\n", "\n"));
  const std::string_view catalogue = between(pdf, "\n" + root + " 0 obj\n", "endobj", 0);
  const std::size_t end = catalogue.rfind(">>");
  if (root.empty() || info.empty() || size.empty() || before.empty() || end == std::string_view::npos)
    throw std::logic_error("the catalogue of a PDF is not where it is looked for");
  NewObjects objects{
      {std::stoi(root), std::string(catalogue.substr(0, end)) +
                            "/Lang (en)\n   /ViewerPreferences << /PrintScaling /None /DisplayDocTitle true >>\n>>\n"}};
  tell_figures(pdf, document.figures, objects);
  std::string table = "xref\n";
  for (const auto& [number, body] : objects) {
    const std::string place = std::to_string(pdf.size());
    table += std::to_string(number) + " 1\n" + std::string(10 - place.size(), '0') + place + " 00000 n \n";
    pdf += std::to_string(number) + " 0 obj\n" + body + "endobj\n";
  }
  const std::string start = std::to_string(pdf.size());
  pdf += table + "trailer\n<< /Size " + size + "\n   /Root " + root + " 0 R\n   /Info " + info + " 0 R\n   /Prev " +
         before + "\n>>\nstartxref\n" + start + "\n%%EOF\n";
  return std::move(pdf);
}

}  // namespace

std::string pdf_bytes(const std::vector<Sheet>& sheets, const PdfInfo& info) {
  return with_reading_aids(drawn(sheets, info));
}

}  // namespace garthwright::sheets
