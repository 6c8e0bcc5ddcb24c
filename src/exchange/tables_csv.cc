// SPDX-License-Identifier: Apache-2.0
#include "exchange/tables_csv.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>

#include "exchange/csv_field.h"

namespace garthwright::exchange {

namespace {

char separator(Csv csv) { return csv == Csv::comma ? ',' : ';'; }

std::string row(Csv csv, std::initializer_list<std::string> fields) {
  std::string line;
  bool first = true;
  for (const std::string& field : fields) {
    if (!first) line += separator(csv);
    first = false;
    line += csv_field(field, separator(csv));
  }
  return line + "\r\n";
}

/// A figure with a point, as this table writes it.
std::string figure(Csv csv, std::string text) {
  if (csv == Csv::semicolon) std::replace(text.begin(), text.end(), '.', ',');
  return text;
}
std::string number(Csv csv, double value) {
  return figure(csv, fmt::format("{}", std::round(value * 1000) / 1000 + 0.0));
}

std::string piece_line(const PieceRow& piece, LengthStyle style, Csv csv) {
  return row(csv, {piece.mark, piece.name, piece.structure, std::to_string(piece.quantity), piece.section,
                   number(csv, piece.width_mm), number(csv, piece.thickness_mm), number(csv, piece.length_mm),
                   format_length(piece.length_mm, style), number(csv, piece.mass_kg), piece.why});
}

/// One line of the shopping list; where there are several yards, its yard stands last.
class ShoppingRows {
 public:
  ShoppingRows(const Plan& plan, Csv csv) : plan_(plan), csv_(csv), several_(plan.job.yards.size() > 1) {
    text_ = row(csv, {"kind", "name", "length_mm", "quantity", "unit", "unit_price", "amount", "currency"});
    if (several_) text_.insert(text_.size() - 2, std::string(1, separator(csv)) + "yard");
  }

  void add(const std::string& kind, const std::string& name, const std::string& length, int quantity,
           const std::string& unit, Money each, const timber::Offer& offer) {
    const Currency& currency = plan_.purchase.currency;
    const Money amount{each.minor * quantity};
    std::string line =
        row(csv_, {kind, name, length, std::to_string(quantity), unit, figure(csv_, format_money(each, currency, true)),
                   figure(csv_, format_money(amount, currency, true)), currency.code});
    if (several_)
      line.insert(
          line.size() - 2,
          separator(csv_) + csv_field(plan_.job.yards[static_cast<std::size_t>(offer.yard)].name, separator(csv_)));
    text_ += line;
  }
  void add(const char* kind, const std::vector<buying::ItemLine>& items) {
    for (const buying::ItemLine& item : items)
      add(kind, item.name, "", item.quantity, item.unit, item.unit_price, item.offer);
  }
  const std::string& text() const { return text_; }

 private:
  const Plan& plan_;
  Csv csv_;
  bool several_;
  std::string text_;
};

}  // namespace

std::string pieces_csv(const Plan& plan, Csv csv) {
  std::string text = row(csv, {"mark", "name", "structure", "quantity", "section", "width_mm", "thickness_mm",
                               "length_mm", "length", "mass_kg", "why"});
  for (const PieceRow& piece : plan.pieces) text += piece_line(piece, plan.style, csv);
  return text;
}

std::string shopping_csv(const Plan& plan, Csv csv) {
  const buying::Report& list = plan.purchase;
  ShoppingRows rows(plan, csv);
  for (const buying::TimberLine& line : list.timber) {
    std::string unit = line.straight ? "straight length" : "length";
    if (line.bundle > 1) unit = fmt::format("bundle of {} {}s", line.bundle, unit);
    rows.add("timber", line.section, number(csv, line.length_mm), line.quantity, unit, line.unit_price, line.offer);
  }
  rows.add("fixing", list.fixings);
  rows.add("panel", list.panels);
  rows.add("ground", list.ground);
  rows.add("extra", list.extras);
  return rows.text();
}

}  // namespace garthwright::exchange
