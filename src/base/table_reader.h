// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/diagnostic.h"
#include "base/money.h"
#include "base/toml.h"

namespace garthwright {

/// A TOML file as read: the table it is, or why it is none ("bad-toml", "too-large"), with its place.
/// Any byte sequence is answered; nesting that would exhaust the stack is refused first.
Result<toml::table> parse_toml(std::string_view text, const std::string& file);

/// Where a node stands in its file.
Place place_of(const toml::node& node, const std::string& file);

enum class Need { optional, required };

/// Limits of a number or a length, both allowed.
struct Range {
  double least = 0, most = 0;
};

/// One table of a TOML file while it is read. Each value is taken by name; what is wrong with it collects in the shared
/// list of problems with file, line and column, and the reader goes on, so that a person hears of all mistakes at once.
/// Call finish() last: it reports every key nobody asked for, with the nearest one that was.
///
///   Diagnostics problems;
///   TableReader job(table, "garden.toml", "the job", problems);
///   const auto title = job.text("title", Need::required);
///   TableReader saw = job.table("saw");
///   const double kerf = saw.length("kerf", {0, 20}).value_or(3);
///   saw.finish(); job.finish();
class TableReader {
 public:
  TableReader(const toml::table& table, std::string file, std::string called, Diagnostics& problems);

  bool has(std::string_view key) const;
  /// Where this table, or the value of that key in it, stands.
  Place place() const;
  Place place(std::string_view key) const;
  const std::string& called() const { return called_; }
  void call(std::string called) { called_ = std::move(called); }

  std::optional<std::string> text(std::string_view key, Need need = Need::optional);
  std::optional<bool> yes_no(std::string_view key);
  std::optional<int> whole(std::string_view key, Range range, Need need = Need::optional);
  std::optional<double> number(std::string_view key, Range range, Need need = Need::optional);
  /// A bare number is mm; text as parse_length reads it.
  std::optional<double> length(std::string_view key, Range range, Need need = Need::optional);
  /// Text like "45 x 95", in the order written, both within the range.
  std::optional<std::pair<double, double>> size(std::string_view key, Range range, Need need = Need::optional);
  /// A number or text; exact, at least 0.
  std::optional<Money> money(std::string_view key, const Currency& currency, Need need = Need::optional);
  /// A TOML date, or text "2026-03-01", as ISO 8601 text.
  std::optional<std::string> day(std::string_view key, Need need = Need::optional);
  /// One of the names given, as its index.
  std::optional<int> one_of(std::string_view key, const std::vector<std::string>& names, Need need = Need::optional);

  /// The table under this key; an empty one where there is none or something else stands there.
  TableReader table(std::string_view key);
  /// The tables of an array ([[key]] or key = [{…}, …]), in order.
  std::vector<TableReader> tables(std::string_view key, Need need = Need::optional);
  /// The raw value, for shapes this reader does not know; counts as asked for.
  const toml::node* node(std::string_view key, Need need = Need::optional);
  /// All keys in the order they stand in the file; each counts as asked for.
  std::vector<std::string> keys();

  void problem(std::string_view key, std::string code, std::string what, std::string cure);
  void finish();

 private:
  void wrong_type(std::string_view key, const toml::node& node, std::string_view wanted);
  template <class Value>
  std::optional<Value> keep(std::string_view key, Result<Value> value);
  std::optional<double> in_range(std::string_view key, double value, Range range, bool length);

  const toml::table* table_;
  std::string file_, called_;
  Diagnostics* problems_;
  std::vector<std::string> asked_;
};

}  // namespace garthwright
