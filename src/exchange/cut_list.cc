// SPDX-License-Identifier: Apache-2.0
#include "exchange/cut_list.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numeric>
#include <optional>
#include <span>

#include "base/near.h"
#include "base/parse_json.h"
#include "base/quoted.h"
#include "exchange/csv_field.h"
#include "exchange/json_values.h"

namespace garthwright::exchange {

namespace {

constexpr double kLongest_mm = 1e6;
constexpr double kMost = 1e9;  // pieces of a kind, lengths in stock
constexpr double kMostInBundle = 1e5;
constexpr double kDearest_minor = 1e12;   // a length that costs ten thousand million euros
constexpr double kNanometresPerMm = 1e6;  // the finest step a length is read to
constexpr double kMostInOneLength = 1e5;  // pieces; a layout is written out piece by piece

/// The list as read, lengths still in mm.
struct Bundle {
  std::int64_t count = 0, price_minor = 0;
};
struct Stock {
  double length_mm = 0;
  std::int64_t price_minor = 0;
  std::optional<std::int64_t> limit;
  bool off_cut = false;
  std::vector<Bundle> bundles{};
  bool singly = true;
};
struct Wanted {
  double length_mm = 0;
  std::int64_t quantity = 1;
  std::string called;  ///< "pieces[3] 'B2'"
  int line = 0;
};
struct List {
  std::vector<Stock> stock;
  std::vector<Wanted> pieces;
  double kerf_mm = 0, trim_mm = 0;
};

/// Collects what is wrong, at most a screenful.
struct Complaints {
  std::string file;
  Diagnostics found;

  void add(Severity severity, std::string code, std::string what, std::string cure, int line = 0) {
    if (found.size() < 20)
      found.push_back({severity, std::move(code), std::move(what), std::move(cure), {file, line, 0, {}}});
  }
  void error(std::string what, std::string cure, int line = 0) {
    add(Severity::error, "bad-list", std::move(what), std::move(cure), line);
  }
};

std::string limits(double low, double high, bool whole) {
  const std::string from = low > 0 && low < 1 ? "above 0 and up to" : fmt::format("from {} to", low);
  return fmt::format("give a {}number {} {}", whole ? "whole " : "", from, high);
}

/// A number within limits, whatever kind of file it came from. `what` names it: "pieces[3].length_mm".
double within(std::optional<double> number, double low, double high, bool whole, const std::string& what,
              const std::string& shown, Complaints& complaints, int line = 0) {
  const bool right = number && std::isfinite(*number) && *number >= low && *number <= high &&
                     (!whole || *number == std::floor(*number));
  if (right) return *number;
  complaints.error(what + " is " + shown, limits(low, high, whole), line);
  return low;
}

constexpr double kFinest_mm = 1 / kNanometresPerMm;

// ---- JSON -----------------------------------------------------------------------------------------------------------

std::string shown(const Json& value) {
  std::string text = value.dump(-1, ' ', false, Json::error_handler_t::replace);
  return text.size() > 40 ? text.substr(0, 37) + "…" : text;
}

std::optional<double> number(const Json& value) {
  return value.is_number() ? std::optional<double>(value.get<double>()) : std::nullopt;
}

/// Reads the keys of one JSON object, and remarks on those that mean nothing.
class Keys {
 public:
  Keys(const Json& object, std::string where, std::vector<std::string> known, Complaints& complaints)
      : object_(object), where_(std::move(where)), complaints_(complaints) {
    if (!object.is_object()) {
      complaints.error((where_.empty() ? "the list" : where_) + " is " + shown(object), "give an object: {…}");
      return;
    }
    for (const auto& [key, value] : object.items())
      if (std::find(known.begin(), known.end(), key) == known.end())
        complaints.add(Severity::warning, "unknown-key", named(key) + " is not read", suggest(key, known));
  }

  double real(const char* key, double low, double high, std::optional<double> otherwise = {}) const {
    return get(key, low, high, false, otherwise);
  }
  std::int64_t whole(const char* key, double low, double high, std::optional<double> otherwise = {}) const {
    return static_cast<std::int64_t>(get(key, low, high, true, otherwise));
  }
  bool has(const char* key) const { return object_.is_object() && object_.contains(key) && !object_[key].is_null(); }
  bool yes(const char* key) const {
    if (!has(key)) return false;
    if (!object_[key].is_boolean()) complaints_.error(named(key) + " is " + shown(object_[key]), "give true or false");
    return object_[key] == Json(true);
  }
  const Json& array(const char* key) const {
    static const Json kNone = Json::array();
    if (has(key) && object_[key].is_array()) return object_[key];
    if (object_.is_object())
      complaints_.error(named(key) + (has(key) ? " is no list" : " is missing"), "give a list: [{…}, …]");
    return kNone;
  }

 private:
  std::string named(const std::string& key) const { return where_.empty() ? key : where_ + "." + key; }

  double get(const char* key, double low, double high, bool whole, std::optional<double> otherwise) const {
    if (!object_.is_object()) return low;
    if (has(key)) return within(number(object_[key]), low, high, whole, named(key), shown(object_[key]), complaints_);
    if (!otherwise) complaints_.error(named(key) + " is missing", limits(low, high, whole));
    return otherwise.value_or(low);
  }

  const Json& object_;
  std::string where_;
  Complaints& complaints_;
};

std::string called(const std::string& name, const std::string& mark) {
  return mark.empty() ? name : name + " " + garthwright::quoted(mark);
}

std::vector<Bundle> read_bundles(const Keys& stock, const std::string& where, Complaints& complaints) {
  std::vector<Bundle> bundles;
  if (!stock.has("bundles")) return bundles;
  int index = 0;
  for (const Json& entry : stock.array("bundles")) {
    const std::string name = fmt::format("{}.bundles[{}]", where, index++);
    const Keys keys(entry, name, {"count", "price_minor"}, complaints);
    const Bundle bundle{keys.whole("count", 2, kMostInBundle), keys.whole("price_minor", 0, kDearest_minor)};
    if (std::any_of(bundles.begin(), bundles.end(), [&](const Bundle& other) { return other.count == bundle.count; }))
      complaints.error(fmt::format("{} is a second bundle of {}", name, bundle.count), "give each count one price");
    bundles.push_back(bundle);
  }
  return bundles;
}

List read_json(const Json& document, Complaints& complaints) {
  List list;
  const Keys top(document, "", {"stock", "kerf_mm", "trim_mm", "pieces"}, complaints);
  list.kerf_mm = top.real("kerf_mm", 0, kLongest_mm, 0);
  list.trim_mm = top.real("trim_mm", 0, kLongest_mm, 0);
  int index = 0;
  for (const Json& entry : top.array("stock")) {
    const std::string name = fmt::format("stock[{}]", index++);
    const Keys keys(entry, name, {"length_mm", "price_minor", "limit", "off_cut", "bundles"}, complaints);
    Stock stock{keys.real("length_mm", kFinest_mm, kLongest_mm), 0, {}, keys.yes("off_cut")};
    stock.bundles = read_bundles(keys, name, complaints);
    stock.singly = stock.bundles.empty() || keys.has("price_minor");
    if (stock.singly) stock.price_minor = keys.whole("price_minor", 0, kDearest_minor);
    if (keys.has("limit")) stock.limit = keys.whole("limit", 0, kMost);
    list.stock.push_back(stock);
  }
  index = 0;
  for (const Json& entry : top.array("pieces")) {
    const std::string name = fmt::format("pieces[{}]", index++);
    const Keys keys(entry, name, {"length_mm", "quantity", "mark"}, complaints);
    const bool marked = keys.has("mark") && entry["mark"].is_string();
    list.pieces.push_back({keys.real("length_mm", kFinest_mm, kLongest_mm), keys.whole("quantity", 1, kMost, 1),
                           called(name, marked ? entry["mark"].get<std::string>() : "")});
  }
  return list;
}

// ---- CSV ------------------------------------------------------------------------------------------------------------

struct CsvRow {
  int line = 0;
  std::vector<std::string> cells;
};

/// Rows of RFC 4180 text, either line end; quotes may hold separators, line breaks and doubled quotes.
std::vector<CsvRow> csv_rows(std::string_view text) {
  std::vector<CsvRow> rows;
  CsvRow row{1, {""}};
  bool quoted = false;
  int line = 1;
  const auto end_row = [&] {
    if (row.cells.size() > 1 || !row.cells.front().empty()) rows.push_back(row);
    row = {line, {""}};
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '\n') ++line;
    if (quoted && c == '"' && i + 1 < text.size() && text[i + 1] == '"')
      row.cells.back() += text[i++];
    else if (c == '"')
      quoted = !quoted;
    else if (!quoted && c == ',')
      row.cells.emplace_back();
    else if (!quoted && c == '\n')
      end_row();
    else if (quoted || c != '\r')
      row.cells.back() += c;
  }
  end_row();
  return rows;
}

std::optional<double> number(const std::string& cell) {
  double value = 0;
  const char* end = cell.data() + cell.size();
  const auto [stopped, failure] = std::from_chars(cell.data(), end, value);
  if (failure != std::errc() || stopped != end) return std::nullopt;
  return value;
}

/// One row by the names in the heading.
class Cells {
 public:
  Cells(const CsvRow& heading, const CsvRow& row, Complaints& complaints)
      : heading_(heading), row_(row), complaints_(complaints) {}

  std::string text(const char* name) const {
    for (std::size_t i = 0; i < heading_.cells.size() && i < row_.cells.size(); ++i)
      if (heading_.cells[i] == name) return row_.cells[i];
    return "";
  }
  double real(const char* name, double low, double high) const { return get(name, low, high, false); }
  std::int64_t whole(const char* name, double low, double high) const {
    return static_cast<std::int64_t>(get(name, low, high, true));
  }

 private:
  double get(const char* name, double low, double high, bool whole) const {
    const std::string cell = text(name);
    return within(number(cell), low, high, whole, name, cell.empty() ? "missing" : garthwright::quoted(cell),
                  complaints_, row_.line);
  }

  const CsvRow& heading_;
  const CsvRow& row_;
  Complaints& complaints_;
};

void read_csv_row(const Cells& cells, int line, List& list, Complaints& complaints) {
  const std::string kind = cells.text("kind");
  if (kind == "stock" || kind == "off_cut") {
    Stock stock{cells.real("length_mm", kFinest_mm, kLongest_mm), 0, {}, kind == "off_cut"};
    if (!(stock.off_cut && cells.text("price_minor").empty()))
      stock.price_minor = cells.whole("price_minor", 0, kDearest_minor);
    if (!cells.text("quantity").empty()) stock.limit = cells.whole("quantity", 0, kMost);
    list.stock.push_back(stock);
  } else if (kind == "piece") {
    list.pieces.push_back({cells.real("length_mm", kFinest_mm, kLongest_mm), cells.whole("quantity", 1, kMost),
                           called("the piece", cells.text("mark")), line});
  } else if (kind == "kerf" || kind == "trim") {
    (kind == "kerf" ? list.kerf_mm : list.trim_mm) = cells.real("length_mm", 0, kLongest_mm);
  } else {
    complaints.error("kind is " + garthwright::quoted(kind), "give stock, off_cut, piece, kerf or trim", line);
  }
}

List read_csv(std::string_view text, Complaints& complaints) {
  static const std::vector<std::string> kKnown = {"kind", "length_mm", "price_minor", "quantity", "mark"};
  List list;
  const std::vector<CsvRow> rows = csv_rows(text);
  const auto has = [&](const char* name) {
    return !rows.empty() && std::count(rows.front().cells.begin(), rows.front().cells.end(), name) == 1;
  };
  if (!has("kind") || !has("length_mm")) {
    complaints.error("the text is neither JSON nor CSV with a heading",
                     "begin with { or with the line kind,length_mm,price_minor,quantity,mark", 1);
    return list;
  }
  for (const std::string& name : rows.front().cells)
    if (std::find(kKnown.begin(), kKnown.end(), name) == kKnown.end())
      complaints.add(Severity::warning, "unknown-key", "column " + garthwright::quoted(name) + " is not read",
                     suggest(name.substr(0, 40), kKnown), 1);
  for (const CsvRow& row : std::span(rows).subspan(1))
    read_csv_row(Cells(rows.front(), row, complaints), row.line, list, complaints);
  return list;
}

// ---- to the kernel's whole numbers ----------------------------------------------------------------------------------

std::int64_t nanometres(double mm) { return std::llround(mm * kNanometresPerMm); }

std::int64_t common_step(const List& list) {
  std::int64_t step = std::gcd(nanometres(list.kerf_mm), nanometres(list.trim_mm));
  for (const Stock& stock : list.stock) step = std::gcd(step, nanometres(stock.length_mm));
  for (const Wanted& piece : list.pieces) step = std::gcd(step, nanometres(piece.length_mm));
  return std::max<std::int64_t>(step, 1);
}

/// What goes into a stock, mm.
double usable_mm(const Stock& stock, const List& list) {
  return stock.limit == 0 ? 0 : stock.length_mm - (stock.off_cut ? 0 : list.trim_mm);
}

/// A piece longer than all that can be had, said in the list's own lengths.
void check_longest(const List& list, Complaints& complaints) {
  const auto longest = std::max_element(list.stock.begin(), list.stock.end(), [&](const Stock& a, const Stock& b) {
    return usable_mm(a, list) < usable_mm(b, list);
  });
  const double most = usable_mm(*longest, list);
  const bool trimmed = list.trim_mm > 0 && !longest->off_cut;
  for (const Wanted& piece : list.pieces)
    if (piece.length_mm > most + kFinest_mm / 2)
      complaints.error(
          fmt::format("{} is {} mm long, and the longest that can be had is {} mm{}", piece.called, piece.length_mm,
                      longest->length_mm, trimmed ? fmt::format(" less {} mm of trim", list.trim_mm) : ""),
          "give a longer stock, or make the piece of two", piece.line);
}

/// What a list may hold: beyond it the search would not come to an answer in any time a person has.
constexpr std::size_t kMostKinds = 5000;

/// How many different lengths.
template <class Row>
std::size_t kinds(const std::vector<Row>& rows) {
  std::vector<std::int64_t> lengths;
  for (const Row& row : rows) lengths.push_back(std::llround(row.length_mm * kNanometresPerMm));
  std::sort(lengths.begin(), lengths.end());
  return static_cast<std::size_t>(std::unique(lengths.begin(), lengths.end()) - lengths.begin());
}

void check_whole(const List& list, Complaints& complaints) {
  if (!complaints.found.empty() && has_error(complaints.found)) return;
  if (list.stock.empty()) complaints.error("there is no stock", "give at least one length that can be had");
  if (list.pieces.empty()) complaints.error("there are no pieces", "give at least one piece that is wanted");
  if (list.stock.empty() || list.pieces.empty()) return;
  const std::size_t stocks = kinds(list.stock), pieces = kinds(list.pieces);
  if (stocks > kMostKinds || pieces > kMostKinds)
    return complaints.error(fmt::format("the list has stock of {} lengths and pieces of {}", stocks, pieces),
                            fmt::format("at most {} different lengths of each are planned at once", kMostKinds));
  check_longest(list, complaints);
  const auto longest = std::max_element(list.stock.begin(), list.stock.end(),
                                        [](auto& a, auto& b) { return a.length_mm < b.length_mm; });
  const auto shortest = std::min_element(list.pieces.begin(), list.pieces.end(),
                                         [](auto& a, auto& b) { return a.length_mm < b.length_mm; });
  if (longest->length_mm > kMostInOneLength * (shortest->length_mm + list.kerf_mm))
    complaints.error(fmt::format("a length of {} mm holds more than {} pieces of {} mm", longest->length_mm,
                                 kMostInOneLength, shortest->length_mm),
                     "give longer pieces or shorter lengths");
}

buying::BundleProblem to_problem(const List& list, std::int64_t step) {
  buying::BundleProblem problem;
  const auto steps = [&](double mm) { return nanometres(mm) / step; };
  problem.cutting.kerf = steps(list.kerf_mm);
  problem.cutting.trim = steps(list.trim_mm);
  for (const Stock& stock : list.stock) {
    const int index = static_cast<int>(problem.cutting.stock.size());
    problem.cutting.stock.push_back({steps(stock.length_mm), stock.price_minor, stock.limit, stock.off_cut});
    for (const Bundle& bundle : stock.bundles) problem.bundles.push_back({index, bundle.count, bundle.price_minor});
    if (!stock.singly) problem.not_singly.push_back(index);
  }
  for (const Wanted& piece : list.pieces)
    problem.cutting.pieces.push_back({steps(piece.length_mm), piece.quantity, {}, {}});
  return problem;
}

// ---- the answer -----------------------------------------------------------------------------------------------------

double to_mm(const CutList& list, std::int64_t steps) {
  return static_cast<double>(steps) * static_cast<double>(list.step_nm) / kNanometresPerMm;
}

/// The pieces of one length, longest first.
std::vector<double> pieces_of(const CutList& list, const cutting::Layout& layout) {
  std::vector<double> lengths;
  for (const cutting::Cut& cut : layout.cuts) {
    const auto& piece = list.problem.cutting.pieces[static_cast<std::size_t>(cut.piece)];
    lengths.insert(lengths.end(), static_cast<std::size_t>(cut.count), to_mm(list, piece.length));
  }
  std::sort(lengths.rbegin(), lengths.rend());
  return lengths;
}

double stock_length(const CutList& list, std::size_t stock) {
  return to_mm(list, list.problem.cutting.stock[stock].length);
}
double stock_length(const CutList& list, const cutting::Layout& layout) {
  return stock_length(list, static_cast<std::size_t>(layout.stock));
}

/// 4800, not 4800.0: as people write lengths in a list.
Json plain_number(double mm) {
  if (mm == std::floor(mm)) return static_cast<std::int64_t>(mm);
  return mm;
}

/// What to ask for at the counter.
Json bought_json(const CutList& list, const buying::Purchase& purchase) {
  Json bought = Json::array();
  const cutting::Problem& problem = list.problem.cutting;
  for (std::size_t k = 0; k < problem.stock.size(); ++k) {
    const Json length = plain_number(stock_length(list, k));
    for (std::size_t i = 0; i < list.problem.bundles.size(); ++i) {
      const buying::Bundle& bundle = list.problem.bundles[i];
      if (static_cast<std::size_t>(bundle.stock) == k && purchase.bundles[i] > 0)
        bought.push_back({{"stock_mm", length},
                          {"bundle", bundle.count},
                          {"count", purchase.bundles[i]},
                          {"price_minor", bundle.cost}});
    }
    if (purchase.singles[k] > 0 && !problem.stock[k].off_cut)
      bought.push_back({{"stock_mm", length}, {"count", purchase.singles[k]}, {"price_minor", problem.stock[k].cost}});
  }
  return bought;
}

Json left_whole_json(const CutList& list, const buying::Purchase& purchase) {
  Json left = Json::array();
  for (std::size_t k = 0; k < purchase.spare.size(); ++k)
    if (purchase.spare[k] > 0)
      left.push_back({{"stock_mm", plain_number(stock_length(list, k))}, {"count", purchase.spare[k]}});
  return left;
}

}  // namespace

Result<CutList> parse_cut_list(std::string_view text, const std::string& file) {
  Complaints complaints{file, {}};
  text = without_mark(text);
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF"))
    return fail("bad-list", "this is UTF-16", "save it as UTF-8", {file, 0, 0, {}});
  List list;
  if (first != std::string_view::npos && (text[first] == '{' || text[first] == '[')) {
    const Result<Json> document = parse_json<Json>(text, file);
    if (!document) return tl::make_unexpected(document.error());
    list = read_json(*document, complaints);
  } else {
    list = read_csv(text, complaints);
  }
  check_whole(list, complaints);
  if (has_error(complaints.found)) return tl::make_unexpected(complaints.found);
  const std::int64_t step = common_step(list);
  return CutList{to_problem(list, step), step, complaints.found};
}

std::string cut_answer_json(const CutList& list, const buying::Purchase& purchase) {
  const cutting::Result& result = purchase.result;
  Json layouts = Json::array();
  for (const cutting::Layout& layout : result.layouts) {
    Json pieces = Json::array();
    for (const double length : pieces_of(list, layout)) pieces.push_back(plain_number(length));
    layouts.push_back({{"stock_mm", plain_number(stock_length(list, layout))},
                       {"count", layout.count},
                       {"pieces", std::move(pieces)}});
  }
  Json answer = {{"cost_minor", result.cost}, {"lower_bound_minor", result.lower_bound},
                 {"optimal", result.optimal}, {"layouts", std::move(layouts)},
                 {"seconds", result.seconds}, {"nodes", result.nodes}};
  if (!list.problem.bundles.empty()) {
    answer["bought"] = bought_json(list, purchase);
    answer["left_whole"] = left_whole_json(list, purchase);
  }
  return answer.dump() + "\n";
}

std::string cut_answer_csv(const CutList& list, const buying::Purchase& purchase) {
  std::string text = "stock_mm,count,pieces_mm\r\n";
  for (const cutting::Layout& layout : purchase.result.layouts) {
    std::string pieces;
    for (const double length : pieces_of(list, layout))
      pieces += (pieces.empty() ? "" : " ") + fmt::format("{}", length);
    text += fmt::format("{},{},{}\r\n", stock_length(list, layout), layout.count, csv_field(pieces));
  }
  return text;
}

}  // namespace garthwright::exchange
