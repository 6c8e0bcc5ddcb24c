// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

Money times(Money price, int quantity) { return {price.minor * quantity}; }

// "120" or "12.5": a count, without a tail of noughts.
std::string number(double value) {
  std::string text = fmt::format("{:.1f}", value);
  if (text.ends_with(".0")) text.resize(text.size() - 2);
  return text;
}

// A part of the list: its rows under a bold line, its sum behind that.
struct Part {
  std::string name;
  std::vector<Row> rows;
  Money sum;
};

Part timber_part(const Brief& brief, const buying::Report& r) {
  Part part{"Timber", {}, {}};
  for (const buying::TimberLine& l : r.timber) {
    std::string about;
    for (const timber::Section& s : brief.plan.job.yard.sections) {
      if (s.name != l.section) continue;
      about = fmt::format("actual {} × {}", brief.lengths.brief(s.width_mm), brief.lengths.brief(s.thickness_mm));
      for (const std::string& more : {s.strength_class, s.treatment}) {
        if (!more.empty()) about += ", " + more;
      }
    }
    const Money cost = times(l.unit_price, l.quantity);
    part.rows.push_back({{fmt::format("{}", l.quantity), fmt::format("{}, {}", l.section, brief.lengths(l.length_mm)),
                          about, format_money(l.unit_price, r.currency, true), format_money(cost, r.currency, true)}});
    part.sum.minor += cost.minor;
  }
  return part;
}

Part item_part(const std::string& name, const std::vector<buying::ItemLine>& lines, const Currency& currency) {
  Part part{name, {}, {}};
  for (const buying::ItemLine& l : lines) {
    std::string about = l.unit;
    if (l.needed > 0) about += (about.empty() ? "" : "; ") + fmt::format("{} needed", number(l.needed));
    const Money cost = times(l.unit_price, l.quantity);
    part.rows.push_back({{fmt::format("{}", l.quantity), l.name, about, format_money(l.unit_price, currency, true),
                          format_money(cost, currency, true)}});
    part.sum.minor += cost.minor;
  }
  return part;
}

// What nobody need buy.
Part shed_part(const Brief& brief, const buying::OnHand& used) {
  Part part{"From the shed", {}, {}};
  for (const buying::OffCut& o : used.off_cuts)
    part.rows.push_back({{fmt::format("{}", o.quantity), fmt::format("{}, {}", o.section, brief.lengths(o.length_mm)),
                          "off-cut", "", ""}});
  for (const buying::SpareFixing& f : used.fixings)
    part.rows.push_back({{fmt::format("{}", f.quantity), f.item, "spare", "", ""}});
  return part;
}

// What may be said of the timber's cost, and no more.
std::string proof_sentence(const buying::Report& r) {
  if (r.timber.empty()) return "";
  const std::string cost = format_money(r.proof.cost, r.currency);
  if (r.proof.optimal) {
    return fmt::format("Timber: {}. Least cost proven: no purchase of the lengths this yard sells costs less.", cost);
  }
  const double gap = r.proof.cost.minor > 0
                         ? 100.0 * static_cast<double>(r.proof.cost.minor - r.proof.lower_bound.minor) /
                               static_cast<double>(r.proof.cost.minor)
                         : 0;
  return fmt::format("Timber: {}. Not proven least: nothing below {} is possible, so at most {:.1f} % could be saved.",
                     cost, format_money(r.proof.lower_bound, r.currency), gap);
}

}  // namespace

void draw_shopping(std::vector<Sheet>& sheets, const Brief& brief) {
  const buying::Report& r = brief.plan.purchase;
  Flow flow(sheets, brief, "shopping", "Shopping list", Turned::portrait);
  const timber::Yard& yard = brief.plan.job.yard;
  if (!yard.title.empty()) flow.paragraph(yard.title, kBody, Lettering::bold);
  std::string prices = r.price_note;
  if (!yard.price_date.empty() && prices.find(yard.price_date) == std::string::npos) {
    prices += (prices.empty() ? "" : " ") + fmt::format("Prices of {}.", yard.price_date);
  }
  if (!prices.empty()) flow.paragraph(prices);
  flow.down(2);

  Table table;
  table.columns = {{"", -1, false, true}, {"No.", 1},  {"What"},
                   {"Detail", -1, true},  {"Each", 1}, {r.currency.code, 1}};
  for (const Part& part : {timber_part(brief, r), item_part("Panels", r.panels, r.currency),
                           item_part("Fixings", r.fixings, r.currency), item_part("Ground", r.ground, r.currency),
                           item_part("Extras", r.extras, r.currency), shed_part(brief, r.from_shed)}) {
    if (part.rows.empty()) continue;
    table.rows.push_back({{"", "", part.name, "", "", format_money(part.sum, r.currency, true)}, true});
    for (Row row : part.rows) {
      row.cells.insert(row.cells.begin(), "");
      table.rows.push_back(std::move(row));
    }
  }
  table.rows.push_back({{"", "", "Total", "", "", format_money(r.total, r.currency, true)}, true});
  lay(flow, table);
  flow.down(2);
  if (const std::string proof = proof_sentence(r); !proof.empty()) flow.paragraph(proof);
  flow.paragraph(
      "At the yard: measure three pieces of every section, and every panel, before cutting anything. When they "
      "differ from the sizes above, give the job what was measured and print again.");
}

}  // namespace garthwright::sheets
