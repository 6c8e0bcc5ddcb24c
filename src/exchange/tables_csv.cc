// SPDX-License-Identifier: Apache-2.0
#include "exchange/tables_csv.h"

#include <fmt/format.h>

#include <cmath>
#include <initializer_list>

#include "exchange/csv_field.h"

namespace garthwright::exchange {

namespace {

std::string row(std::initializer_list<std::string> fields) {
  std::string line;
  for (const std::string& field : fields) line += (line.empty() ? "" : ",") + csv_field(field);
  return line + "\r\n";
}

std::string number(double value) { return fmt::format("{}", std::round(value * 1000) / 1000 + 0.0); }

std::string piece_line(const PieceRow& piece, LengthStyle style) {
  return row({piece.mark, piece.name, piece.structure, std::to_string(piece.quantity), piece.section,
              number(piece.width_mm), number(piece.thickness_mm), number(piece.length_mm),
              format_length(piece.length_mm, style), number(piece.mass_kg), piece.why});
}

/// One line of the shopping list; where there are several yards, its yard stands last.
class ShoppingRows {
 public:
  explicit ShoppingRows(const Plan& plan) : plan_(plan), several_(plan.job.yards.size() > 1) {
    text_ = "kind,name,length_mm,quantity,unit,unit_price,amount,currency";
    text_ += several_ ? ",yard\r\n" : "\r\n";
  }

  void add(const std::string& kind, const std::string& name, const std::string& length, int quantity,
           const std::string& unit, Money each, const timber::Offer& offer) {
    const Currency& currency = plan_.purchase.currency;
    const Money amount{each.minor * quantity};
    std::string line = row({kind, name, length, std::to_string(quantity), unit, format_money(each, currency, true),
                            format_money(amount, currency, true), currency.code});
    if (several_)
      line.insert(line.size() - 2, "," + csv_field(plan_.job.yards[static_cast<std::size_t>(offer.yard)].name));
    text_ += line;
  }
  void add(const char* kind, const std::vector<buying::ItemLine>& items) {
    for (const buying::ItemLine& item : items)
      add(kind, item.name, "", item.quantity, item.unit, item.unit_price, item.offer);
  }
  const std::string& text() const { return text_; }

 private:
  const Plan& plan_;
  bool several_;
  std::string text_;
};

}  // namespace

std::string pieces_csv(const Plan& plan) {
  std::string text = row({"mark", "name", "structure", "quantity", "section", "width_mm", "thickness_mm", "length_mm",
                          "length", "mass_kg", "why"});
  for (const PieceRow& piece : plan.pieces) text += piece_line(piece, plan.style);
  return text;
}

std::string shopping_csv(const Plan& plan) {
  const buying::Report& list = plan.purchase;
  ShoppingRows rows(plan);
  for (const buying::TimberLine& line : list.timber) {
    std::string unit = line.straight ? "straight length" : "length";
    if (line.bundle > 1) unit = fmt::format("bundle of {} {}s", line.bundle, unit);
    rows.add("timber", line.section, number(line.length_mm), line.quantity, unit, line.unit_price, line.offer);
  }
  rows.add("fixing", list.fixings);
  rows.add("panel", list.panels);
  rows.add("ground", list.ground);
  rows.add("extra", list.extras);
  return rows.text();
}

}  // namespace garthwright::exchange
