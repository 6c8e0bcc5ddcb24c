// SPDX-License-Identifier: Apache-2.0
#include "sheets/marking_notes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sheets/marking_lines.h"
#include "structure/absorbing.h"
#include "structure/marks.h"
#include "structure/saw.h"
#include "structure/tapering.h"

namespace garthwright::sheets {

namespace {

/// Fixings of one kind in one row: "Front: 6 × screw 5x80, Ø 5.5, 22.5 from the top: at 45, then every 120".
std::vector<std::string> rows_of_fixings(const Brief& brief, const marking::MarkList& list) {
  struct InRow {
    const marking::Mark* first;
    std::vector<double> at;
  };
  std::vector<InRow> rows;
  for (const marking::Mark& m : list.marks) {
    if (!m.fixing || !m.fixing->first || m.face == "datum end" || m.face == "far end") continue;
    const auto same = std::find_if(rows.begin(), rows.end(), [&](const InRow& r) {
      return r.first->face == m.face && r.first->fixing->item == m.fixing->item &&
             std::abs(*r.first->across_mm - *m.across_mm) < 0.05 && r.first->diameter_mm == m.diameter_mm &&
             r.first->fixing->sunk_mm == m.fixing->sunk_mm;
    });
    if (same == rows.end())
      rows.push_back({&m, {m.at_mm}});
    else
      same->at.push_back(m.at_mm);
  }
  std::vector<std::string> out;
  for (const InRow& row : rows) {
    const marking::Mark& m = *row.first;
    std::string text = fmt::format("{}: {} × {}", m.face, row.at.size(), m.fixing->item);
    if (m.diameter_mm > 0) text += fmt::format(", drill Ø {}", brief.lengths.exact(m.diameter_mm));
    if (m.fixing->counterbore_mm > 0)
      text += fmt::format(", counterbore Ø {} {} deep", brief.lengths.exact(m.fixing->counterbore_mm),
                          brief.lengths.marked(m.fixing->sunk_mm));
    text += fmt::format(", {} from the {}: at ", brief.lengths.marked(*m.across_mm), m.from);
    const double pitch = row.at.size() > 1 ? row.at[1] - row.at[0] : 0;
    bool even = row.at.size() > 3;
    for (std::size_t i = 1; i < row.at.size(); ++i) even = even && std::abs(row.at[i] - row.at[i - 1] - pitch) < 0.1;
    if (even) {
      text += fmt::format("{}, then every {}", brief.lengths.marked(row.at[0]), brief.lengths.marked(pitch));
    } else {
      for (std::size_t i = 0; i < row.at.size(); ++i) text += (i > 0 ? ", " : "") + brief.lengths.marked(row.at[i]);
    }
    out.push_back(text + ".");
  }
  // Brackets: those at one distance from an edge together.
  std::vector<std::pair<std::string, std::vector<const marking::Mark*>>> folds;
  for (const marking::Mark& m : list.marks) {
    if (m.kind != marking::MarkKind::centre || !m.across_mm) continue;
    const std::string row = fmt::format("{}|{}|{}|{:.1f}", m.face, m.against, m.from, *m.across_mm);
    const auto known = std::find_if(folds.begin(), folds.end(), [&](const auto& f) { return f.first == row; });
    (known == folds.end() ? folds.emplace_back(row, std::vector<const marking::Mark*>{}) : *known).second.push_back(&m);
  }
  for (const auto& [row, marks] : folds) {
    std::string at;
    for (const marking::Mark* m : marks) at += (at.empty() ? "" : ", ") + brief.lengths.marked(m->at_mm);
    out.push_back(fmt::format("{}: {}, {} from the {}, the middle of {} at {}.", marks.front()->face,
                              marks.front()->against, brief.lengths.marked(*marks.front()->across_mm),
                              marks.front()->from, marks.size() > 1 ? "their folds" : "its fold", at));
  }
  return out;
}

/// Whether a line of what comes to this seat is on the piece at all: a small piece lies wholly under a large one.
bool is_bounded(const marking::MarkList& list, const marking::Mark& near, double length) {
  const auto on = [&](double at) { return at > -0.05 && at < length + 0.05; };
  if (on(near.at_mm)) return true;
  return std::any_of(list.marks.begin(), list.marks.end(), [&](const marking::Mark& m) {
    return m.kind == near.kind && !m.is_near && m.face == near.face && m.against == near.against && on(m.at_mm);
  });
}

/// How far across seats lie where it is not flush, and which lie below the face or lean.
std::vector<std::string> seats_across(const Brief& brief, const marking::MarkList& list, double length) {
  std::vector<std::string> out;
  for (const EvenRow& row : even_rows(list))
    out.push_back(fmt::format("{}: {} of {}, near lines at {}, then every {} to {}.", row.face, row.count,
                              row.noun + "s", brief.lengths.marked(row.first), brief.lengths.marked(row.pitch),
                              brief.lengths.marked(row.last)));
  for (const marking::Mark& m : list.marks) {
    if (m.seats.empty() || !m.is_near || m.kind != marking::MarkKind::seat || m.across_thickness_mm) continue;
    if (!is_bounded(list, m, length)) continue;
    std::string text;
    if (m.across_mm && *m.across_mm > 0.05)
      text = fmt::format("{} in from the {}", brief.lengths.marked(*m.across_mm), m.from);
    if (m.across_mm && *m.across_mm < -0.05)
      text = fmt::format("{} over the {}", brief.lengths.marked(-*m.across_mm), m.from);
    if (m.at_mm < -0.05 && m.across_mm)
      text += fmt::format("{}{} over the datum end", text.empty() ? "" : ", ", brief.lengths.marked(-m.at_mm));
    if (m.angle_deg != 0 || m.tilt_deg != 0) text += (text.empty() ? "" : ", ") + m.setting;
    if (text.empty()) continue;
    text = fmt::format("{} on the {}: {}.", m.against, m.face, text);
    if (std::find(out.begin(), out.end(), text) == out.end()) out.push_back(text);
  }
  return out;
}

/// An arc by its ends, its depth in the middle and half way to there, and its radius.
std::string hollow_words(const Brief& brief, const Notch& hollow, const std::string& face) {
  const double radius = radius_of(hollow), chord = hollow.region.size().x;
  const double quarter = std::sqrt(radius * radius - chord * chord / 16) - radius + hollow.region.size().y;
  return fmt::format("Curve on the {}: from {} over {}; {} deep in the middle, {} a quarter of the way; radius {}.",
                     face, brief.lengths(hollow.region.min.x), brief.lengths(chord),
                     brief.lengths(hollow.region.size().y), brief.lengths(quarter), brief.lengths(radius));
}

/// "a, c and d": of hands, or nothing where it is all of them.
std::string hands_told(const std::vector<std::string>& hands, std::size_t of) {
  if (hands.size() == of) return "";
  std::string out;
  for (const std::string& hand : hands) out += (out.empty() ? "" : ", ") + hand;
  return out + ": ";
}

}  // namespace

std::vector<std::string> notes(const Brief& brief, const Structure& s, const Piece& piece,
                               const marking::MarkList& list) {
  std::vector<std::string> out;
  const auto add = [&](const std::string& line) {
    if (std::find(out.begin(), out.end(), line) == out.end()) out.push_back(line);
  };
  for (const Machining& m : piece.machining) {
    if (const auto* cut = std::get_if<EndCut>(&m)) {
      if (const auto taper = taper_of(piece, *cut)) {
        add(fmt::format("{}: taper {} off over {}; saw along the line, or plane to it.",
                        cut->end == End::start ? "Datum end" : "Far end", brief.lengths(taper->off),
                        brief.lengths(taper->along)));
        continue;
      }
      const SawSetting set = saw_setting(*cut);
      std::string text = cut->end == End::start ? "Datum end: " : "Far end: ";
      if (set.mitre_deg == 0 && set.bevel_deg == 0) continue;
      if (set.mitre_deg != 0) {
        text += fmt::format("saw turned {:.1f}° (bevel gauge {:.1f}°)", std::abs(set.mitre_deg),
                            90 - std::abs(set.mitre_deg));
      }
      if (set.bevel_deg != 0) {
        text += fmt::format("{}blade tilted {:.1f}° (gauge {:.1f}°)", set.mitre_deg != 0 ? ", " : "",
                            std::abs(set.bevel_deg), 90 - std::abs(set.bevel_deg));
      }
      add(text + ".");
    } else if (const auto* shape = std::get_if<ShapedEnd>(&m)) {
      add(fmt::format("{}: {}, by its template.", shape->end == End::start ? "Datum end" : "Far end", shape->profile));
    } else if (const auto* notch = std::get_if<Notch>(&m); notch != nullptr && notch->kind == Notch::Kind::hollow) {
      add(hollow_words(brief, *notch, list.faces[static_cast<std::size_t>(notch->opens_on)]));
    } else if (notch != nullptr) {
      std::string of = notch->against.index >= 0 ? describe(s, notch->against) : "";
      if (notch->against.kind == Body::Kind::piece && notch->against.index >= 0) {
        const Piece& other = s[PieceId{notch->against.index}];
        of = other.name + " " + other.mark;
      }
      add(fmt::format("{} for {}: {} wide, {} deep from the {}.",
                      notch->kind == Notch::Kind::birds_mouth ? "Bird's mouth" : "Notch", of,
                      brief.lengths(notch->wide.value()), brief.lengths(notch->deep.value()),
                      list.faces[static_cast<std::size_t>(notch->opens_on)]));
    }
  }
  for (const std::string& line : seats_across(brief, list, piece.length.value())) add(line);
  for (const std::string& line : rows_of_fixings(brief, list)) add(line);
  for (const PieceId id : list.pieces)
    for (const std::string& name : also_called(s, id))
      add(fmt::format("The {} {} is the {} too: lines for both are on it.", s[id].where, s[id].name, name));
  if (piece.ground_contact)
    add("Its foot goes into the ground: an end as bought where the cutting diagrams say so; a sawn one is soaked in "
        "preservative.");
  if (const marking::InPlace* one = marking::find_in_place(brief.plan.marking.order, piece.mark)) {
    switch (one->what) {
      case marking::InPlace::What::length:
        add("DO NOT CUT YET: hold it up in its place and mark it there.");
        break;
      case marking::InPlace::What::notches:
        add("DO NOT CUT THE NOTCHES YET: lay it in its place and mark them there.");
        break;
      case marking::InPlace::What::head:
        add(
            fmt::format("LEAVE IT {} LONG: it stands first, then all heads are cut at one level. Strike what lies "
                        "above the ground when it stands, measured down from the head.",
                        brief.lengths(marking::kLeftLong)));
        break;
    }
  }
  return out;
}

std::string merged_notes(const std::vector<std::vector<std::string>>& notes, const std::vector<std::string>& hands) {
  std::vector<std::pair<std::string, std::vector<std::string>>> said;
  for (std::size_t i = 0; i < notes.size(); ++i)
    for (const std::string& note : notes[i]) {
      auto known = std::find_if(said.begin(), said.end(), [&](const auto& s) { return s.first == note; });
      if (known == said.end()) known = said.insert(said.end(), {note, {}});
      known->second.push_back(hands[i]);
    }
  std::stable_partition(said.begin(), said.end(), [&](const auto& s) { return s.second.size() == hands.size(); });
  std::string out;
  for (const auto& [note, of] : said) out += (out.empty() ? "" : "  ") + hands_told(of, hands.size()) + note;
  return out;
}

std::string which(const Structure& s, const marking::MarkList& list) {
  if (list.hand.empty()) return "";
  std::string out;
  for (const PieceId id : list.pieces)
    if (!s[id].where.empty()) out += (out.empty() ? "" : ", ") + s[id].where;
  return out;
}

}  // namespace garthwright::sheets
