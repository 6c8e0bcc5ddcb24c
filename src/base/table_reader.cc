// SPDX-License-Identifier: Apache-2.0
#include "base/table_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>

#include "base/length.h"
#include "base/near.h"
#include "base/plain_text.h"
#include "base/quoted.h"

namespace garthwright {
namespace {

constexpr std::size_t kLargestFile = 4 << 20;
constexpr int kMostDots = 500;  // a dotted key opens a table at each dot, and tables close by recursion

const toml::table kNothing;

std::string_view name(toml::node_type type) {
  switch (type) {
    case toml::node_type::table:
      return "a table";
    case toml::node_type::array:
      return "a list";
    case toml::node_type::string:
      return "text";
    case toml::node_type::integer:
    case toml::node_type::floating_point:
      return "a number";
    case toml::node_type::boolean:
      return "true or false";
    case toml::node_type::date:
    case toml::node_type::time:
    case toml::node_type::date_time:
      return "a date";
    default:
      return "nothing";
  }
}

/// Line of the first key too deep to read, 0 when there is none.
int too_deep(std::string_view text) {
  int line = 1, dots = 0;
  for (char c : text) {
    if (c == '\n') ++line, dots = 0;
    if (c == '.' && ++dots > kMostDots) return line;
  }
  return 0;
}

/// The number as it was written: the shortest numeral that reads as the same double.
std::string numeral(const toml::node& node) {
  if (const auto* whole = node.as_integer()) return std::to_string(whole->get());
  char buffer[400];
  const auto end =
      std::to_chars(buffer, buffer + sizeof buffer, node.as_floating_point()->get(), std::chars_format::fixed);
  return {buffer, end.ptr};
}

bool is_number(const toml::node& node) { return node.is_integer() || node.is_floating_point(); }

/// What the parser says, without the tail that shows the bytes.
std::string reason(std::string_view description) {
  std::string text = quoted(description, 160);
  return text.substr(1, text.size() - 2);
}

}  // namespace

Result<toml::table> parse_toml(std::string_view text, const std::string& file) {
  if (text.size() > kLargestFile)
    return fail("too-large", "the file is larger than 4 MiB", "no job or catalogue needs as much", {file, 0, 0, ""});
  if (const int line = too_deep(text))
    return fail("bad-toml", fmt::format("the line has more than {} dots", kMostDots), "keys are never nested as deep",
                {file, line, 0, ""});
  toml::parse_result parsed = toml::parse(text, std::string_view(file));
  if (!parsed) {
    const auto& begin = parsed.error().source().begin;
    return fail("bad-toml", "not TOML: " + reason(parsed.error().description()), "see https://toml.io for the notation",
                {file, static_cast<int>(begin.line), static_cast<int>(begin.column), ""});
  }
  return std::move(parsed).table();
}

Place place_of(const toml::node& node, const std::string& file) {
  const auto& begin = node.source().begin;
  return {file, static_cast<int>(begin.line), static_cast<int>(begin.column), ""};
}

TableReader::TableReader(const toml::table& table, std::string file, std::string called, Diagnostics& problems)
    : table_(&table), file_(std::move(file)), called_(std::move(called)), problems_(&problems) {}

bool TableReader::has(std::string_view key) const { return table_->contains(key); }

Place TableReader::place() const { return place_of(*table_, file_); }

Place TableReader::place(std::string_view key) const {
  const toml::node* found = table_->get(key);
  return found == nullptr ? place() : place_of(*found, file_);
}

void TableReader::problem(std::string_view key, std::string code, std::string what, std::string cure) {
  problems_->push_back({Severity::error, std::move(code), std::move(what), std::move(cure), place(key)});
}

void TableReader::wrong_type(std::string_view key, const toml::node& node, std::string_view wanted) {
  problem(key, "wrong-type", fmt::format("{} of {} is {}", key, called_, name(node.type())),
          fmt::format("give {}", wanted));
}

const toml::node* TableReader::node(std::string_view key, Need need) {
  asked_.emplace_back(key);
  const toml::node* found = table_->get(key);
  if (found == nullptr && need == Need::required)
    problem(key, "missing-key", fmt::format("{} has no {}", called_, key), fmt::format("add {} = …", key));
  return found;
}

/// A text is written on sheets and in every file, often, and drawing it takes time by its length.
static constexpr std::size_t kLongestText = 1000;  // bytes, as a pattern's (pattern/lua_box.h)

std::optional<std::string> TableReader::text(std::string_view key, Need need) {
  const toml::node* found = node(key, need);
  if (found == nullptr) return {};
  const auto* value = found->as_string();
  if (value == nullptr) {
    wrong_type(key, *found, "text in quotes");
    return {};
  }
  if (need == Need::required && value->get().empty()) {
    problem(key, "empty", fmt::format("{} of {} is empty", key, called_), "write at least one character");
    return {};
  }
  if (value->get().size() > kLongestText) {
    problem(key, "bad-text", fmt::format("{} of {} is a text of {} bytes", key, called_, value->get().size()),
            fmt::format("give at most {}", kLongestText));
    return {};
  }
  if (!is_plain_text(value->get())) {
    problem(key, "bad-text", fmt::format("{} of {} holds control characters", key, called_), "write it on one line");
    return {};
  }
  return value->get();
}

std::optional<bool> TableReader::yes_no(std::string_view key) {
  const toml::node* found = node(key);
  if (found == nullptr) return {};
  if (const auto* value = found->as_boolean()) return value->get();
  wrong_type(key, *found, "true or false");
  return {};
}

std::optional<double> TableReader::in_range(std::string_view key, double value, Range range, bool length) {
  if (value >= range.least && value <= range.most) return value;
  const auto printed = [&](double v) { return length ? format_length(v) : fmt::format("{}", v); };
  problem(key, "out-of-range", fmt::format("{} of {} is {}", key, called_, printed(value)),
          fmt::format("give {} to {}", printed(range.least), printed(range.most)));
  return {};
}

std::optional<double> TableReader::number(std::string_view key, Range range, Need need) {
  const toml::node* found = node(key, need);
  if (found == nullptr) return {};
  if (!is_number(*found)) {
    wrong_type(key, *found, "a number");
    return {};
  }
  return in_range(key, *found->value<double>(), range, false);
}

std::optional<int> TableReader::whole(std::string_view key, Range range, Need need) {
  const toml::node* found = node(key, need);
  if (found == nullptr) return {};
  const auto* value = found->as_integer();
  if (value == nullptr) {
    wrong_type(key, *found, "a whole number");
    return {};
  }
  const auto within = in_range(key, static_cast<double>(value->get()), range, false);
  if (!within) return {};
  return static_cast<int>(*within);
}

template <class Value>
std::optional<Value> TableReader::keep(std::string_view key, Result<Value> value) {
  if (value) return *value;
  for (Diagnostic& diagnostic : value.error()) {
    diagnostic.where = place(key);
    diagnostic.what = fmt::format("{} of {}: {}", key, called_, diagnostic.what);
    problems_->push_back(std::move(diagnostic));
  }
  return {};
}

std::optional<double> TableReader::length(std::string_view key, Range range, Need need) {
  const toml::node* found = node(key, need);
  if (found == nullptr) return {};
  std::optional<double> mm;
  if (const auto* written = found->as_string()) {
    mm = keep(key, parse_length(written->get()));
  } else if (is_number(*found)) {
    mm = *found->value<double>();
  } else {
    wrong_type(key, *found, "a length like 1150 or \"3 ft 9 1/4 in\"");
  }
  if (!mm) return {};
  return in_range(key, *mm, range, true);
}

std::optional<std::pair<double, double>> TableReader::size(std::string_view key, Range range, Need need) {
  const toml::node* found = node(key, need);
  if (found == nullptr) return {};
  const auto* written = found->as_string();
  if (written == nullptr) {
    wrong_type(key, *found, "text like \"45 x 95\"");
    return {};
  }
  const auto pair = keep(key, parse_section_size(written->get()));
  if (!pair || !in_range(key, pair->first, range, true) || !in_range(key, pair->second, range, true)) return {};
  return pair;
}

std::optional<Money> TableReader::money(std::string_view key, const Currency& currency, Need need) {
  const toml::node* found = node(key, need);
  if (found == nullptr) return {};
  if (!found->is_string() && !is_number(*found)) {
    wrong_type(key, *found, "an amount like 12.95");
    return {};
  }
  const std::string written = found->is_string() ? found->as_string()->get() : numeral(*found);
  const auto amount = keep(key, parse_money(written, currency));
  if (amount && amount->minor < 0) {
    problem(key, "out-of-range", fmt::format("{} of {} is {}", key, called_, format_money(*amount, currency)),
            "give 0 or more");
    return {};
  }
  return amount;
}

std::optional<std::string> TableReader::day(std::string_view key, Need need) {
  const toml::node* found = node(key, need);
  if (found == nullptr) return {};
  int year = 0;
  unsigned month = 0, day = 0;
  if (const auto* date = found->as_date()) {
    year = date->get().year, month = date->get().month, day = date->get().day;
  } else if (const auto* written = found->as_string()) {
    const std::string& text = written->get();
    const bool shaped = text.size() == 10 && text[4] == '-' && text[7] == '-' &&
                        text.find_first_not_of("0123456789-") == std::string::npos;
    if (shaped) {
      std::from_chars(text.data(), text.data() + 4, year);
      std::from_chars(text.data() + 5, text.data() + 7, month);
      std::from_chars(text.data() + 8, text.data() + 10, day);
    }
  } else {
    wrong_type(key, *found, "a day like 2026-03-01");
    return {};
  }
  if (!std::chrono::year_month_day{std::chrono::year{year}, std::chrono::month{month}, std::chrono::day{day}}.ok()) {
    problem(key, "bad-date", fmt::format("{} of {} is not a day", key, called_), "write it like 2026-03-01");
    return {};
  }
  return fmt::format("{:04}-{:02}-{:02}", year, month, day);
}

std::optional<int> TableReader::one_of(std::string_view key, const std::vector<std::string>& names, Need need) {
  const auto written = text(key, need);
  if (!written) return {};
  const auto found = std::find(names.begin(), names.end(), *written);
  if (found != names.end()) return static_cast<int>(found - names.begin());
  problem(key, "unknown-word", fmt::format("{} of {} is {}", key, called_, quoted(*written)), suggest(*written, names));
  return {};
}

TableReader TableReader::table(std::string_view key) {
  const toml::node* found = node(key);
  const toml::table* inner = found == nullptr ? nullptr : found->as_table();
  if (found != nullptr && inner == nullptr) wrong_type(key, *found, fmt::format("a table: [{}]", key));
  return {inner == nullptr ? kNothing : *inner, file_, fmt::format("[{}]", key), *problems_};
}

std::vector<TableReader> TableReader::tables(std::string_view key, Need need) {
  const toml::node* found = node(key, need);
  if (found == nullptr) return {};
  const toml::array* list = found->as_array();
  std::vector<TableReader> readers;
  bool all_tables = list != nullptr;
  for (std::size_t i = 0; list != nullptr && i < list->size(); ++i) {
    const toml::table* inner = list->get(i)->as_table();
    all_tables = all_tables && inner != nullptr;
    if (inner != nullptr) readers.push_back({*inner, file_, fmt::format("{} {}", key, i + 1), *problems_});
  }
  if (list != nullptr && list->empty() && need == Need::required)
    problem(key, "empty", fmt::format("{} of {} is empty", key, called_), "give at least one");
  if (!all_tables) wrong_type(key, *found, fmt::format("tables: [[{}]] or {} = [{{ … }}, …]", key, key));
  return readers;
}

std::vector<std::string> TableReader::keys() {
  std::vector<std::pair<std::pair<toml::source_index, toml::source_index>, std::string>> found;
  for (const auto& [key, value] : *table_) {
    const auto& begin = key.source().begin;
    found.push_back({{begin.line, begin.column}, std::string(key.str())});
  }
  std::sort(found.begin(), found.end());
  std::vector<std::string> keys;
  for (auto& [position, key] : found) keys.push_back(std::move(key));
  asked_.insert(asked_.end(), keys.begin(), keys.end());
  return keys;
}

void TableReader::finish() {
  std::sort(asked_.begin(), asked_.end());
  asked_.erase(std::unique(asked_.begin(), asked_.end()), asked_.end());
  std::vector<Diagnostic> unknown;
  for (const auto& [key, value] : *table_) {
    if (std::binary_search(asked_.begin(), asked_.end(), key.str())) continue;
    const auto& begin = key.source().begin;
    unknown.push_back({Severity::error,
                       "unknown-key",
                       fmt::format("{} has no key {}", called_, quoted(key.str())),
                       suggest(key.str(), asked_),
                       {file_, static_cast<int>(begin.line), static_cast<int>(begin.column), ""}});
  }
  std::stable_sort(unknown.begin(), unknown.end(), [](const Diagnostic& a, const Diagnostic& b) {
    return std::pair(a.where.line, a.where.column) < std::pair(b.where.line, b.where.column);
  });
  problems_->insert(problems_->end(), unknown.begin(), unknown.end());
}

}  // namespace garthwright
