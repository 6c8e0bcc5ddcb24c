// SPDX-License-Identifier: Apache-2.0
#include "sheets/inspect.h"

#include <fmt/format.h>

#include <algorithm>

#include "sheets/job_code.h"
#include "sheets/lettering.h"
#include "sheets/overlap.h"

namespace garthwright::sheets {

namespace {

// Every straight run of every stroke; a curve is bounded by its handles.
template <class Visit>
void each_run(const Items& items, const Visit& visit) {
  for (const Item& item : items) {
    if (const auto* group = std::get_if<Group>(&item.value)) each_run(group->items, visit);
    const auto* stroke = std::get_if<Stroke>(&item.value);
    if (stroke == nullptr) continue;
    Point last, first;
    for (const Path::Step& s : stroke->path.steps) {
      if (s.kind == Path::Step::Kind::move) {
        first = s.to;
      } else if (s.kind == Path::Step::Kind::close) {
        visit(*stroke, last, first);
      } else {
        visit(*stroke, last, s.to);
      }
      last = s.to;
    }
  }
}

}  // namespace

std::vector<std::string> faults(const Sheet& sheet, double clear, double margin) {
  std::vector<std::string> found;
  const auto text = all_text(sheet);
  const Rect page{margin, margin, sheet.width - margin, sheet.height - margin};
  const auto off_page = [&](const Rect& r) {
    return r.left < page.left || r.top < page.top || r.right > page.right || r.bottom > page.bottom;
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (off_page(text[i]->ink)) {
      found.push_back(fmt::format("{}: \"{}\" at {:.1f}, {:.1f} leaves the page", sheet.title, text[i]->words,
                                  text[i]->ink.left, text[i]->ink.top));
    }
    for (std::size_t j = i + 1; j < text.size(); ++j) {
      if (meet(text[i]->ink.grown(clear / 2), text[j]->ink.grown(clear / 2))) {
        found.push_back(fmt::format("{}: \"{}\" at {:.1f}, {:.1f} meets \"{}\" at {:.1f}, {:.1f}", sheet.title,
                                    text[i]->words, text[i]->ink.left, text[i]->ink.top, text[j]->words,
                                    text[j]->ink.left, text[j]->ink.top));
      }
    }
  }
  each_run(sheet.items, [&](const Stroke&, Point a, Point b) {
    const Rect r{std::min(a.x, b.x), std::min(a.y, b.y), std::max(a.x, b.x), std::max(a.y, b.y)};
    if (off_page(r))
      found.push_back(fmt::format("{}: a line at {:.1f}, {:.1f} leaves the page", sheet.title, r.left, r.top));
  });
  return found;
}

std::vector<std::string> crossed_text(const Sheet& sheet) {
  std::vector<std::string> found;
  const auto text = all_text(sheet);
  std::vector<bool> crossed(text.size(), false);
  each_run(sheet.items, [&](const Stroke&, Point a, Point b) {
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (!crossed[i] && passes(a, b, text[i]->ink.grown(-0.15))) crossed[i] = true;
    }
  });
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (crossed[i]) found.push_back(fmt::format("{}: \"{}\" is crossed by a line", sheet.title, text[i]->words));
  }
  return found;
}

std::vector<std::string> small_text(const Sheet& sheet) {
  std::vector<std::string> found;
  for (const Item& item : sheet.items) {
    const auto* drawing = std::get_if<Group>(&item.value);
    if (drawing == nullptr || drawing->name == "title block" || drawing->name == kJobCode) continue;
    Sheet alone;
    alone.items = drawing->items;
    for (const Text* text : all_text(alone))
      if (text->size * kCapHeight < 2.5 - 1e-6)
        found.push_back(
            fmt::format("{}: \"{}\" is lettered {:.2f} mm high", sheet.title, text->words, text->size * kCapHeight));
  }
  return found;
}

}  // namespace garthwright::sheets
