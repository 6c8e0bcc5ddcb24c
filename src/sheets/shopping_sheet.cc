// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "sheets/amounts.h"
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

// Only what yard `of` sells, when several are bought from.
Part timber_part(const Brief& brief, const buying::Report& r, std::optional<int> of) {
  Part part{"Timber", {}, {}};
  for (const buying::TimberLine& l : r.timber) {
    if (of && l.offer.yard != *of) continue;
    std::string about = l.bundle > 1 ? fmt::format("bundle of {}", l.bundle) : "";
    for (const timber::Section& s : brief.plan.job.yard.sections) {
      if (s.name != l.section) continue;
      if (!about.empty()) about += ", ";
      about += fmt::format("actual {} × {}", brief.lengths.exact(s.width_mm), brief.lengths.exact(s.thickness_mm));
      for (const std::string& more : {s.strength_class, s.treatment}) {
        if (!more.empty()) about += ", " + more;
      }
    }
    if (l.straight) about += ", picked straight";
    const Money cost = times(l.unit_price, l.quantity);
    part.rows.push_back({{fmt::format("{}", l.quantity), fmt::format("{}, {}", l.section, brief.lengths(l.length_mm)),
                          about, format_money(l.unit_price, r.currency, true), format_money(cost, r.currency, true)}});
    part.sum.minor += cost.minor;
  }
  return part;
}

/// What one of them is, and what the structures take of it: of what comes in bags and tins so much by volume.
std::string detail(const buying::ItemLine& l, const Brief& brief) {
  const Units units = brief.lengths.style.units;
  const pattern::Job& job = brief.plan.job;
  const timber::Yard& yard = job.yards.size() > 1 ? job.yards[static_cast<std::size_t>(l.offer.yard)] : job.yard;
  const auto named = [&](const auto& item) { return item.name == l.name; };
  const auto bag = std::find_if(yard.ground.begin(), yard.ground.end(), named);
  const auto tin = std::find_if(yard.preservatives.begin(), yard.preservatives.end(), named);
  const bool in_bags = bag != yard.ground.end(), in_tins = tin != yard.preservatives.end();
  std::string about = in_bags ? bag_words(units, bag->bag_kg) : in_tins ? tin_words(units, tin->tin_l) : l.unit;
  if (l.needed > 0)
    about += fmt::format("{}{} needed", about.empty() ? "" : "; ",
                         in_bags || in_tins ? volume_words(units, l.needed) : number(l.needed));
  const auto& fixings = brief.plan.purchase.fixings;
  if (l.needed > 0 && std::any_of(fixings.begin(), fixings.end(), [&](const auto& f) { return &f == &l; })) {
    const auto& over = brief.plan.purchase.left_over.fixings;
    const auto spare = std::find_if(over.begin(), over.end(), [&](const auto& f) { return f.item == l.name; });
    about += spare == over.end() ? ", NONE TO SPARE" : fmt::format(", {} to spare", spare->quantity);
  }
  return about;
}

Part item_part(const std::string& name, const std::vector<buying::ItemLine>& lines, const Brief& brief,
               std::optional<int> of) {
  const Currency& currency = brief.plan.purchase.currency;
  Part part{name, {}, {}};
  for (const buying::ItemLine& l : lines) {
    if (of && l.offer.yard != *of) continue;
    const Money cost = times(l.unit_price, l.quantity);
    part.rows.push_back({{fmt::format("{}", l.quantity), l.name, detail(l, brief),
                          format_money(l.unit_price, currency, true), format_money(cost, currency, true)}});
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
    return fmt::format("Timber: {}. Least cost proven: no purchase of the lengths {} costs less.", cost,
                       r.bills.size() > 1 ? "these yards sell" : "this yard sells");
  }
  const double gap = r.proof.cost.minor > 0
                         ? 100.0 * static_cast<double>(r.proof.cost.minor - r.proof.lower_bound.minor) /
                               static_cast<double>(r.proof.cost.minor)
                         : 0;
  return fmt::format("Timber: {}. Not proven least: nothing below {} is possible, so at most {:.1f} % could be saved.",
                     cost, format_money(r.proof.lower_bound, r.currency), gap);
}

// What may be said of the split between yards.
std::string split_sentence(const buying::Report& r) {
  const std::string cost = format_money(r.whole.cost, r.currency);
  if (r.whole.optimal)
    return fmt::format(
        "In all: {}. Least cost proven: no split between the yards costs less, delivery, minimum orders "
        "and tax counted.",
        cost);
  return fmt::format("In all: {}. Not proven least: no split between the yards costs less than {}.", cost,
                     format_money(r.whole.lower_bound, r.currency));
}

void add_part(Table& table, const Part& part, const Currency& currency) {
  if (part.rows.empty()) return;
  table.rows.push_back(
      {{"", "", part.name, "", "", part.sum.minor == 0 ? "" : format_money(part.sum, currency, true)}, true});
  for (Row row : part.rows) {
    row.cells.insert(row.cells.begin(), "");
    table.rows.push_back(std::move(row));
  }
}

// All parts of one yard's order, or of the only yard's.
void add_order(Table& table, const Brief& brief, const buying::Report& r, std::optional<int> of) {
  for (const Part& part :
       {timber_part(brief, r, of), item_part("Panels", r.panels, brief, of), item_part("Fixings", r.fixings, brief, of),
        item_part("Ground", r.ground, brief, of), item_part("Extras", r.extras, brief, of)})
    add_part(table, part, r.currency);
}

Table shopping_table(const buying::Report& r) {
  Table table;
  table.columns = {{"", -1, false, true}, {"No.", 1},  {"What"},
                   {"Detail", -1, true},  {"Each", 1}, {r.currency.code, 1}};
  return table;
}

// A list for each yard to be driven to.
void draw_yards(Flow& flow, const Brief& brief) {
  const buying::Report& r = brief.plan.purchase;
  const auto& yards = brief.plan.job.yards;
  for (const buying::YardBill& bill : r.bills) {
    int index = 0;
    while (index < static_cast<int>(yards.size()) && yards[static_cast<std::size_t>(index)].name != bill.name) ++index;
    flow.ensure(30);
    flow.paragraph(bill.title, kBody, Lettering::bold);
    flow.paragraph(bill.price_note);
    flow.down(2);
    Table table = shopping_table(r);
    add_order(table, brief, r, index);
    table.rows.push_back({{"", "", "Paid here", "", "", format_money(bill.total(), r.currency, true)}, true});
    lay(flow, table);
    flow.down(4);
  }
}

}  // namespace

void draw_shopping(std::vector<Sheet>& sheets, const Brief& brief) {
  const buying::Report& r = brief.plan.purchase;
  Flow flow(sheets, brief, "shopping", "Shopping list", Turned::portrait);
  const timber::Yard& yard = brief.plan.job.yard;
  const bool several = r.bills.size() > 1;
  if (several) {
    draw_yards(flow, brief);
  } else {
    const std::string& title = r.bills.empty() ? yard.title : r.bills.front().title;
    if (!title.empty()) flow.paragraph(title, kBody, Lettering::bold);
    std::string prices = r.bills.empty() ? r.price_note : r.bills.front().price_note;
    if (!yard.price_date.empty() && prices.find(yard.price_date) == std::string::npos) {
      prices += (prices.empty() ? "" : " ") + fmt::format("Prices of {}.", yard.price_date);
    }
    if (!prices.empty()) flow.paragraph(prices);
    flow.down(2);
  }
  Table table = shopping_table(r);
  if (!several) add_order(table, brief, r, {});
  add_part(table, shed_part(brief, r.from_shed), r.currency);
  table.rows.push_back(
      {{"", "", several ? "Total of all yards" : "Total", "", "", format_money(r.total, r.currency, true)}, true});
  lay(flow, table);
  flow.down(2);
  if (const std::string proof = proof_sentence(r); !proof.empty()) flow.paragraph(proof);
  if (!r.bills.empty()) flow.paragraph(split_sentence(r));
  if (!r.fixings.empty())
    flow.paragraph(
        "Of fixings the packs hold what is needed and what is said to spare: where it is none, one that drops in the "
        "grass is a trip to the yard; buy a few more.");
  flow.paragraph(
      "At the yard: measure three pieces of every section, and every panel, before cutting anything. When they "
      "differ from the sizes above, give the job what was measured and print again.");
}

}  // namespace garthwright::sheets
