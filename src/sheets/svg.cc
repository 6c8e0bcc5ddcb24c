// SPDX-License-Identifier: Apache-2.0
#include "sheets/svg.h"

#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <string_view>

namespace garthwright::sheets {

namespace {

class Writer {
 public:
  std::string out;

  // A micrometre is finer than any printer; trailing zeros are dropped.
  void number(double value) {
    const double rounded = std::round(value * 1000) / 1000;
    std::string text = fmt::format("{:.3f}", rounded == 0 ? 0.0 : rounded);
    while (text.back() == '0') text.pop_back();
    if (text.back() == '.') text.pop_back();
    out += text;
  }
  void point(Point p) {
    number(p.x);
    out += ' ';
    number(p.y);
  }
  void attribute(std::string_view name, double value) {
    out += fmt::format(" {}=\"", name);
    number(value);
    out += '"';
  }
  void escaped(std::string_view text) {
    for (const char c : text) {
      switch (c) {
        case '&':
          out += "&amp;";
          break;
        case '<':
          out += "&lt;";
          break;
        case '>':
          out += "&gt;";
          break;
        case '"':
          out += "&quot;";
          break;
        default:
          out += c;
      }
    }
  }
  void path(const Path& path) {
    out += " d=\"";
    for (const Path::Step& s : path.steps) {
      switch (s.kind) {
        case Path::Step::Kind::move:
          out += 'M';
          break;
        case Path::Step::Kind::line:
          out += 'L';
          break;
        case Path::Step::Kind::cubic:
          out += 'C';
          point(s.handle1);
          out += ' ';
          point(s.handle2);
          out += ' ';
          break;
        case Path::Step::Kind::close:
          out += 'Z';
          continue;
      }
      point(s.to);
    }
    out += '"';
  }

  void draw(const Stroke& stroke) {
    out += "<path";
    path(stroke.path);
    attribute("stroke-width", stroke.weight);
    if (const auto pattern = dash_pattern(stroke.dash); !pattern.empty()) {
      out += " stroke-dasharray=\"";
      for (std::size_t i = 0; i < pattern.size(); ++i) {
        if (i > 0) out += ' ';
        number(pattern[i]);
      }
      out += '"';
    }
    out += " fill=\"none\" stroke=\"#000\"/>\n";
  }
  void draw(const Fill& fill) {
    const int grey = static_cast<int>(std::lround(255 * (1 - fill.ink)));
    out += "<path";
    path(fill.path);
    out += fmt::format(" fill=\"#{0:02x}{0:02x}{0:02x}\" fill-rule=\"evenodd\"/>\n", grey);
  }
  void draw(const Text& text) {
    out += "<text";
    if (text.turn_deg == 0) {
      attribute("x", text.at.x);
      attribute("y", text.at.y);
    } else {
      out += " transform=\"translate(";
      point(text.at);
      out += ") rotate(";
      number(-text.turn_deg);
      out += ")\"";
    }
    attribute("font-size", text.size);
    if (text.lettering == Lettering::bold) out += " font-weight=\"bold\"";
    attribute("textLength", text.advance);
    out += " lengthAdjust=\"spacingAndGlyphs\">";
    escaped(text.words);
    out += "</text>\n";
  }
  void draw(const Group& group) {
    out += "<g data-name=\"";
    escaped(group.name);
    out += "\">\n";
    draw(group.items);
    out += "</g>\n";
  }
  void draw(const Items& items) {
    for (const Item& item : items) std::visit([&](const auto& value) { draw(value); }, item.value);
  }
};

}  // namespace

std::string svg_bytes(const Sheet& sheet) {
  Writer w;
  w.out = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"";
  w.number(sheet.width);
  w.out += "mm\" height=\"";
  w.number(sheet.height);
  w.out += "mm\" viewBox=\"0 0 ";
  w.number(sheet.width);
  w.out += ' ';
  w.number(sheet.height);
  w.out +=
      "\" font-family=\"Andika, Verdana, sans-serif\" style=\"font-feature-settings:'cv10','cv39'\" "
      "xml:space=\"preserve\">\n<title>";
  w.escaped(sheet.title);
  w.out += "</title>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n";
  w.draw(sheet.items);
  w.out += "</svg>\n";
  return w.out;
}

}  // namespace garthwright::sheets
