// SPDX-License-Identifier: Apache-2.0
#include "sheets/pdf.h"

#include <cairo-ft.h>
#include <cairo-pdf.h>

#include <memory>
#include <mutex>
#include <stdexcept>

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
cairo_font_face_t* cairo_face(Lettering lettering) {
  static const auto open = [](Lettering l) {
    static FT_Library library = [] {
      FT_Library made = nullptr;
      FT_Init_FreeType(&made);
      return made;
    }();
    const auto file = font_file(l);
    FT_Face face = nullptr;
    FT_New_Memory_Face(library, file.data(), static_cast<FT_Long>(file.size()), 0, &face);
    return cairo_ft_font_face_create_for_ft_face(face, FT_LOAD_NO_HINTING);
  };
  static cairo_font_face_t* const plain = open(Lettering::plain);
  static cairo_font_face_t* const bold = open(Lettering::bold);
  return lettering == Lettering::bold ? bold : plain;
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
  std::vector<cairo_glyph_t> glyphs;
  std::vector<cairo_text_cluster_t> clusters;
  for (const SetGlyph& g : set.glyphs) {
    glyphs.push_back({g.glyph, g.x * text.size, 0});
    clusters.push_back({g.bytes, 1});
  }
  cairo_save(c);
  cairo_translate(c, text.at.x, text.at.y);
  cairo_rotate(c, -text.turn_deg * 3.14159265358979323846 / 180);
  cairo_set_font_face(c, cairo_face(text.lettering));
  cairo_set_font_size(c, text.size);
  set_ink(c, 1);
  cairo_show_text_glyphs(c, text.words.data(), static_cast<int>(text.words.size()), glyphs.data(),
                         static_cast<int>(glyphs.size()), clusters.data(), static_cast<int>(clusters.size()),
                         static_cast<cairo_text_cluster_flags_t>(0));
  cairo_restore(c);
}

void draw(cairo_t* c, const Items& items);
void draw(cairo_t* c, const Group& group) { draw(c, group.items); }
void draw(cairo_t* c, const Items& items) {
  for (const Item& item : items) std::visit([&](const auto& value) { draw(c, value); }, item.value);
}

cairo_status_t append(void* to, const unsigned char* data, unsigned length) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

std::string pdf_bytes(const std::vector<Sheet>& sheets, const PdfInfo& info) {
  // One document at a time: FreeType's faces are shared.
  static std::mutex mutex;
  const std::lock_guard lock(mutex);
  std::string bytes;
  {
    const Owned<cairo_surface_t> surface(cairo_pdf_surface_create_for_stream(append, &bytes, 1, 1));
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
      draw(c.get(), sheet.items);
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
  return bytes;
}

}  // namespace garthwright::sheets
