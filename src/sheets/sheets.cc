// SPDX-License-Identifier: Apache-2.0
#include "sheets/sheets.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <memory>
#include <set>

#include "base/near.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

/// Whether a kind is drawn when none was asked for by name.
enum class Drawn { always, on_demand, when_told, when_priced };

struct Kind {
  std::string name;
  std::function<void(std::vector<Sheet>&, const Brief&, const AllSolids&)> draw;
  bool needs_solids = false;
  Drawn drawn = Drawn::always;
  std::string rather_after{};  ///< goes on the last page of that kind where it needs no page more
};

template <class Draw>
auto without_solids(Draw draw) {
  return [draw](std::vector<Sheet>& sheets, const Brief& brief, const AllSolids&) { draw(sheets, brief); };
}

// In the order they are printed: what goes outside first, then what to know and buy, how it looks and what it bears,
// how to cut, and how to put it up. Neighbours that are turned alike share pages. The piece list is part of the first
// sheets, the marking list says in a table what the marking out shows.
const std::vector<Kind>& kinds() {
  static const std::vector<Kind> all{
      {"outside", draw_outside, true},
      {"cautions", without_solids(draw_cautions)},
      {"shopping", without_solids(draw_shopping)},
      {"thrift", without_solids(draw_thrift), false, Drawn::when_told},
      {"cost", without_solids(draw_cost), false, Drawn::when_priced},
      {"cover", draw_cover, true},
      {"elevations", draw_elevations, true},
      {"exploded", without_solids(draw_exploded)},
      {"checks", draw_checks, true},
      {"pieces", without_solids(draw_pieces), false, Drawn::on_demand},
      {"receiving", without_solids(draw_receiving), false, Drawn::always, "shopping"},
      {"cutting", without_solids(draw_cutting)},
      {"bench", without_solids(draw_bench)},
      {"joints", without_solids(draw_joints)},
      {"marking-out", without_solids(draw_marking_out)},
      {"marking-list", without_solids(draw_marking_list), false, Drawn::on_demand},
      {"site", without_solids(draw_site)},
      {"holes", without_solids(draw_holes)},
      {"steps", without_solids(draw_steps)},
      {"rod", without_solids(draw_rod)},
      {"templates", without_solids(draw_templates)},
      {"labels", without_solids(draw_labels), false, Drawn::on_demand},
  };
  return all;
}

}  // namespace

const std::vector<std::string>& sheet_kinds() {
  static const std::vector<std::string> names = [] {
    std::vector<std::string> out;
    for (const Kind& k : kinds()) out.push_back(k.name);
    return out;
  }();
  return names;
}

/// Those that are drawn of this plan with these options, in order.
static std::vector<std::string> kinds_drawn(const Plan& plan, const SheetOptions& options) {
  std::vector<std::string> names;
  for (const Kind& kind : kinds()) {
    const bool asked = std::find(options.which.begin(), options.which.end(), kind.name) != options.which.end();
    const bool by_itself = kind.drawn == Drawn::always || (kind.drawn == Drawn::when_told && !plan.thrift.empty()) ||
                           (kind.drawn == Drawn::when_priced && (options.hour || options.margin_percent > 0));
    if (options.which.empty() ? by_itself : asked) names.push_back(kind.name);
  }
  return names;
}

Result<Paper> parse_paper(std::string_view word) {
  if (word == "a4" || word == "A4") return Paper::a4;
  if (word == "letter" || word == "Letter") return Paper::letter;
  return fail("unknown-paper", fmt::format("there is no paper \"{}\"", word), "give a4 or letter");
}

Result<void> check(const SheetOptions& options) {
  for (const std::string& name : options.which) {
    const auto& known = sheet_kinds();
    if (std::find(known.begin(), known.end(), name) == known.end()) {
      return fail("unknown-sheet", fmt::format("there is no sheet \"{}\"", name), suggest(name, known));
    }
  }
  return {};
}

std::vector<Sheet> draw_sheets(const Plan& plan, const SheetOptions& options,
                               const std::vector<const solid::Solids*>& solids) {
  const std::vector<std::string> names = kinds_drawn(plan, options);
  const Brief brief{plan,  options.paper, {plan.style, options.both_units}, options.job,
                    names, options.hour,  options.margin_percent,           options.issue};
  const auto wanted = [&](const Kind& kind) { return std::find(names.begin(), names.end(), kind.name) != names.end(); };
  AllSolids all = solids;
  std::vector<std::unique_ptr<solid::Solids>> made;
  std::vector<Sheet> sheets;
  std::set<std::string> drawn;
  for (const Kind& kind : kinds()) {
    if (!wanted(kind) || drawn.contains(kind.name)) continue;
    if (kind.needs_solids && all.empty()) {
      for (const Structure& s : plan.garden.structures) {
        made.push_back(std::make_unique<solid::Solids>(s));
        all.push_back(made.back().get());
      }
    }
    kind.draw(sheets, brief, all);
    for (const Kind& later : kinds()) {
      if (later.rather_after != kind.name || !wanted(later) || sheets.empty()) continue;
      const std::size_t pages = sheets.size();
      const Sheet last = sheets.back();
      later.draw(sheets, brief, all);
      if (sheets.size() == pages) {
        drawn.insert(later.name);
      } else {
        sheets.resize(pages);
        sheets.back() = last;
      }
    }
  }
  stamp_title_blocks(sheets, brief);
  return sheets;
}

PdfInfo pdf_info(const Plan& plan) { return {plan.title, plan.job.date}; }

}  // namespace garthwright::sheets
