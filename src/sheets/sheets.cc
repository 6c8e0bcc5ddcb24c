// SPDX-License-Identifier: Apache-2.0
#include "sheets/sheets.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <memory>

#include "base/near.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

struct Kind {
  std::string name;
  std::function<void(std::vector<Sheet>&, const Brief&, const AllSolids&)> draw;
  bool needs_solids = false;
  bool on_demand = false;  ///< drawn only when asked for by name, or when the plan tells where the price jumps
};

template <class Draw>
auto without_solids(Draw draw) {
  return [draw](std::vector<Sheet>& sheets, const Brief& brief, const AllSolids&) { draw(sheets, brief); };
}

// In the order they are printed: what it is, what to buy, what to cut and how.
const std::vector<Kind>& kinds() {
  static const std::vector<Kind> all{
      {"cover", draw_cover, true},
      {"cautions", without_solids(draw_cautions)},
      {"checks", draw_checks, true},
      {"elevations", draw_elevations, true},
      {"exploded", without_solids(draw_exploded)},
      {"shopping", without_solids(draw_shopping)},
      {"thrift", without_solids(draw_thrift), false, true},
      {"pieces", without_solids(draw_pieces)},
      {"cutting", without_solids(draw_cutting)},
      {"bench", without_solids(draw_bench)},
      {"marking-out", without_solids(draw_marking_out)},
      {"marking-list", without_solids(draw_marking_list)},
      {"rod", without_solids(draw_rod)},
      {"templates", without_solids(draw_templates)},
      {"site", without_solids(draw_site)},
      {"holes", without_solids(draw_holes)},
      {"steps", without_solids(draw_steps)},
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

std::vector<std::string> kinds_drawn(const Plan& plan, const SheetOptions& options) {
  std::vector<std::string> names;
  for (const Kind& kind : kinds()) {
    const bool asked = std::find(options.which.begin(), options.which.end(), kind.name) != options.which.end();
    if (options.which.empty() ? !kind.on_demand || !plan.thrift.empty() : asked) names.push_back(kind.name);
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
  const Brief brief{plan, options.paper, {plan.style, options.both_units}};
  const std::vector<std::string> names = kinds_drawn(plan, options);
  const auto wanted = [&](const Kind& kind) { return std::find(names.begin(), names.end(), kind.name) != names.end(); };
  AllSolids all = solids;
  std::vector<std::unique_ptr<solid::Solids>> made;
  std::vector<Sheet> sheets;
  for (const Kind& kind : kinds()) {
    if (!wanted(kind)) continue;
    if (kind.needs_solids && all.empty()) {
      for (const Structure& s : plan.structures) {
        made.push_back(std::make_unique<solid::Solids>(s));
        all.push_back(made.back().get());
      }
    }
    kind.draw(sheets, brief, all);
  }
  stamp_title_blocks(sheets, brief);
  return sheets;
}

PdfInfo pdf_info(const Plan& plan) { return {plan.title, plan.job.date}; }

}  // namespace garthwright::sheets
