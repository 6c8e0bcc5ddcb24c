// SPDX-License-Identifier: Apache-2.0
#include "pattern/read_open.h"

#include <algorithm>
#include <cmath>
#include <sstream>

#include "base/quoted.h"

namespace garthwright::pattern {
namespace {

constexpr const char* kAll = "all";
constexpr std::string_view kAllBut = "all but ";
constexpr const char* kHowOpen =
    "write open = \"all\", open = \"all but opening, height\", or a table [structure.open] of choices";

std::string trimmed(const std::string& text) {
  const auto from = text.find_first_not_of(" \t"), to = text.find_last_not_of(" \t");
  return from == std::string::npos ? std::string() : text.substr(from, to - from + 1);
}

/// "all", or "all but a, b".
void read_words(TableReader& structure, OpenChoices& open) {
  const std::optional<std::string> words = structure.text("open");
  if (!words) return;
  open.all = *words == kAll || words->starts_with(kAllBut);
  if (!open.all) return structure.problem("open", "bad-open", "open is " + quoted(*words), kHowOpen);
  if (*words == kAll) return;
  std::istringstream list(words->substr(kAllBut.size()));
  for (std::string name; std::getline(list, name, ',');)
    if (!(name = trimmed(name)).empty()) open.all_but.push_back(name);
  if (open.all_but.empty()) structure.problem("open", "bad-open", "open is " + quoted(*words), kHowOpen);
}

std::optional<OpenChoice::Value> value_of(const toml::node& node) {
  if (const auto* text = node.as_string()) return OpenChoice::Value(text->get());
  if (const auto* yes = node.as_boolean()) return OpenChoice::Value(yes->get());
  const std::optional<double> number =
      node.is_integer() || node.is_floating_point() ? node.value<double>() : std::nullopt;
  if (number && std::isfinite(*number)) return OpenChoice::Value(*number);
  return std::nullopt;
}

/// { from = 600, to = 1000, step = 100 }; a step that is not given is the pattern's.
void read_range(TableReader& table, const std::string& name, OpenChoice& open) {
  constexpr Range kAny{-1e6, 1e6};
  TableReader range = table.table(name);
  range.call("the range of " + name);
  const std::optional<double> from = range.length("from", kAny, Need::required),
                              to = range.length("to", kAny, Need::required), step = range.length("step", kAny);
  range.finish();
  if (!from || !to) return;
  if (*from > *to) return range.problem("to", "bad-open", name + " is open from more to less", "give the least first");
  if (step && *step <= 0) return range.problem("step", "bad-open", "the step of " + name + " is not above zero", "");
  open.range = OpenChoice::Range{*from, *to, step};
}

void read_list(TableReader& table, const std::string& name, const toml::array& list, OpenChoice& open) {
  for (const toml::node& item : list) {
    const std::optional<OpenChoice::Value> value = value_of(item);
    if (!value)
      return table.problem(name, "wrong-type", name + " is open for something that is no number, text, true nor false",
                           "write a list of values, as [\"4x4\", \"6x6\"]");
    open.values.push_back(*value);
  }
  if (open.values.empty())
    table.problem(name, "bad-open", name + " is open for no value at all", "list at least one value");
}

}  // namespace

OpenChoices read_open(TableReader& structure) {
  OpenChoices open;
  if (!structure.has("open")) return open;
  open.where = structure.place("open");
  if (structure.node("open")->is_string()) {
    read_words(structure, open);
    return open;
  }
  if (!structure.node("open")->is_table()) {
    structure.problem("open", "wrong-type", "open is neither text nor a table", kHowOpen);
    return open;
  }
  TableReader table = structure.table("open");
  for (const std::string& name : table.keys()) {
    const toml::node& node = *table.node(name);
    OpenChoice choice;
    choice.name = name;
    choice.where = table.place(name);
    if (const toml::array* list = node.as_array())
      read_list(table, name, *list, choice);
    else if (node.is_table())
      read_range(table, name, choice);
    else if (const auto* yes = node.as_boolean(); !yes || !yes->get()) {
      table.problem(name, "wrong-type", name + " is open for neither a list, a range nor all",
                    "write [\"4x4\", \"6x6\"], { from = 600, to = 1000, step = 100 } or true");
      continue;
    }
    open.choices.push_back(std::move(choice));
  }
  return open;
}

}  // namespace garthwright::pattern
