// SPDX-License-Identifier: Apache-2.0
#include "sheets/marking_lines.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace garthwright::sheets {

namespace {

/// "rail" of "rail D1 or rail D2".
std::string noun_of(const std::string& against) {
  const std::string one = against.substr(0, against.find(" or "));
  return one.substr(0, one.find_last_of(' '));
}

/// "D1" of "rail D1 or rail D2"; a hole as it is.
std::string mark_of(const std::string& against) {
  if (against.starts_with("hole")) return against;
  const std::string one = against.substr(0, against.find(" or "));
  return one.substr(one.find_last_of(' ') + 1);
}

/// Neither the first nor the last of a row that is told by its pitch.
bool inside(const std::vector<EvenRow>& rows, const marking::Mark& m) {
  return m.kind == marking::MarkKind::seat && !m.seats.empty() &&
         std::any_of(rows.begin(), rows.end(), [&](const EvenRow& row) {
           return row.face == m.face && row.noun == noun_of(m.against) &&
                  (!m.is_near || (m.at_mm > row.first + 0.05 && m.at_mm < row.last - 0.05));
         });
}

std::string words_at(const marking::Mark& m) {
  switch (m.kind) {
    case marking::MarkKind::shoulder:
    case marking::MarkKind::seat:
      return m.against.empty() ? std::string(name(m.kind)) : m.against;
    case marking::MarkKind::hole:
      return m.fixing ? m.fixing->item : m.against;
    default:
      return std::string(name(m.kind));
  }
}

}  // namespace

std::vector<EvenRow> even_rows(const marking::MarkList& list) {
  constexpr std::size_t kMany = 5;
  constexpr double kEven = 0.6;  // mm: nobody marks nearer
  std::vector<std::pair<EvenRow, std::vector<double>>> rows;
  for (const marking::Mark& m : list.marks) {
    if (m.kind != marking::MarkKind::seat || m.seats.empty() || !m.is_near) continue;
    const std::string noun = noun_of(m.against);
    auto row = std::find_if(rows.begin(), rows.end(),
                            [&](const auto& r) { return r.first.face == m.face && r.first.noun == noun; });
    if (row == rows.end()) row = rows.insert(rows.end(), {EvenRow{m.face, noun}, {}});
    row->second.push_back(m.at_mm);
  }
  std::vector<EvenRow> even;
  for (auto& [row, at] : rows) {
    if (at.size() < kMany) continue;
    std::sort(at.begin(), at.end());
    row.first = at.front(), row.last = at.back(), row.count = at.size();
    row.pitch = (row.last - row.first) / static_cast<double>(row.count - 1);
    bool is_even = true;
    for (std::size_t i = 0; i < at.size(); ++i)
      is_even = is_even && std::abs(at[i] - row.first - static_cast<double>(i) * row.pitch) < kEven;
    if (is_even) even.push_back(row);
  }
  return even;
}

std::vector<Place> places(const Brief& brief, const marking::MarkList& list, double length) {
  struct Found {
    double at;
    std::vector<std::string> what;
    bool far_line = false;
  };
  std::vector<Found> found;
  const std::vector<EvenRow> rows = even_rows(list);
  for (const marking::Mark& m : list.marks) {
    if (m.kind == marking::MarkKind::depth || m.kind == marking::MarkKind::centre || m.fixing) continue;
    if (m.at_mm < -0.05 || m.at_mm > length + 0.05 || inside(rows, m)) continue;
    auto same =
        std::find_if(found.begin(), found.end(), [&](const Found& f) { return std::abs(f.at - m.at_mm) < 0.05; });
    if (same == found.end()) same = found.insert(found.end(), {m.at_mm, {}});
    std::string what = words_at(m);
    if (m.kind == marking::MarkKind::hole) what = "hole Ø " + brief.lengths.exact(m.diameter_mm);
    if (!m.seats.empty() && !m.is_near) {
      same->far_line = true;
      continue;
    }
    if (std::find(same->what.begin(), same->what.end(), what) == same->what.end()) same->what.push_back(what);
  }
  std::sort(found.begin(), found.end(), [](const Found& a, const Found& b) { return a.at < b.at; });
  std::vector<Place> out;
  for (const Found& f : found) {
    std::string words = brief.lengths.marked(f.at);
    if (!f.what.empty()) words += "  " + f.what.front();
    for (std::size_t i = 1; i < f.what.size(); ++i) words += " + " + mark_of(f.what[i]);
    out.push_back({f.at, words});
  }
  return out;
}

std::vector<NamedLine> named_lines(const marking::MarkList& list, double length) {
  std::vector<NamedLine> lines;
  std::map<std::string, int> seen;
  const std::vector<EvenRow> rows = even_rows(list);
  for (const marking::Mark& m : list.marks) {
    if (m.kind == marking::MarkKind::depth || m.kind == marking::MarkKind::centre || m.fixing) continue;
    if (m.at_mm < -0.05 || m.at_mm > length + 0.05 || inside(rows, m)) continue;
    NamedLine one{m.face + ": " + words_at(m), m.at_mm, ""};
    if (!m.seats.empty()) {
      const std::string first = m.against.substr(0, m.against.find(" or "));
      one.mark = first.substr(first.find_last_of(' ') + 1);
      one.name = fmt::format("{}: {}, {} line", m.face, noun_of(m.against), m.is_near ? "near" : "far");
    }
    const int number = ++seen[one.name];
    if (number > 1) one.name += fmt::format(" {}", number);
    lines.push_back(std::move(one));
  }
  return lines;
}

}  // namespace garthwright::sheets
