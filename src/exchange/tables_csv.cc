// SPDX-License-Identifier: Apache-2.0
#include "exchange/tables_csv.h"

#include <fmt/format.h>

#include <cmath>
#include <initializer_list>

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

std::string shopping_line(std::string kind, const std::string& name, std::string length, int quantity, std::string unit,
                          Money each, const Currency& currency) {
  const Money amount{each.minor * quantity};
  return row({std::move(kind), name, std::move(length), std::to_string(quantity), std::move(unit),
              format_money(each, currency, true), format_money(amount, currency, true), currency.code});
}

std::string item_lines(const char* kind, const std::vector<buying::ItemLine>& items, const Currency& currency) {
  std::string lines;
  for (const buying::ItemLine& item : items)
    lines += shopping_line(kind, item.name, "", item.quantity, item.unit, item.unit_price, currency);
  return lines;
}

}  // namespace

std::string csv_field(std::string_view text) {
  if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + '"';
}

std::string pieces_csv(const Plan& plan) {
  std::string text = row({"mark", "name", "structure", "quantity", "section", "width_mm", "thickness_mm", "length_mm",
                          "length", "mass_kg", "why"});
  for (const PieceRow& piece : plan.pieces) text += piece_line(piece, plan.style);
  return text;
}

std::string shopping_csv(const Plan& plan) {
  const buying::Report& list = plan.purchase;
  std::string text = row({"kind", "name", "length_mm", "quantity", "unit", "unit_price", "amount", "currency"});
  for (const buying::TimberLine& line : list.timber)
    text += shopping_line("timber", line.section, number(line.length_mm), line.quantity, "length", line.unit_price,
                          list.currency);
  text += item_lines("fixing", list.fixings, list.currency);
  text += item_lines("panel", list.panels, list.currency);
  text += item_lines("ground", list.ground, list.currency);
  text += item_lines("extra", list.extras, list.currency);
  return text;
}

}  // namespace garthwright::exchange
