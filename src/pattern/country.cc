// SPDX-License-Identifier: Apache-2.0
#include "pattern/country.h"

#include <algorithm>
#include <span>

#include "base/table_reader.h"
#include "pattern/shelves.h"

namespace garthwright::pattern {
namespace {

constexpr double kHighest = 20000;  // mm, of a custom
constexpr const char* kTo = " to ";

Result<Country> parse_country(const ShelfFile& file) {
  const Result<toml::table> table = parse_toml(file.bytes, file.path);
  if (!table) return tl::make_unexpected(table.error());
  Diagnostics problems;
  TableReader reader(*table, file.path, "the country", problems);
  Country country;
  country.ask = reader.text("ask", Need::required).value_or("");
  TableReader words = reader.table("words");
  for (const std::string& word : words.keys())
    if (const auto theirs = words.text(word)) country.words.emplace_back(word, *theirs);
  for (TableReader& custom : reader.tables("custom")) {
    Country::Custom one;
    if (const toml::node* list = custom.node("patterns", Need::required); list && list->is_array())
      for (const toml::node& name : *list->as_array())
        if (name.is_string()) one.patterns.push_back(name.as_string()->get());
    one.over_mm = custom.length("over", {0, kHighest}, Need::required).value_or(0);
    one.words = custom.text("words", Need::required).value_or("");
    custom.finish();
    country.customs.push_back(std::move(one));
  }
  reader.finish();
  if (!problems.empty()) return tl::make_unexpected(std::move(problems));
  return country;
}

/// "rail to post", word by word; what is not in the list stays.
std::string renamed(std::string_view joint, const auto& word) {
  const std::size_t at = joint.find(kTo);
  if (at == std::string_view::npos) return word(joint);
  return word(joint.substr(0, at)) + kTo + renamed(joint.substr(at + 4), word);
}

/// How high it stands above its own zero, mm.
double height_of(const Structure& structure) {
  double top = 0;
  for (std::size_t i = 0; i < structure.pieces.size(); ++i)
    top = std::max(top, world_box(structure, body(PieceId{static_cast<int>(i)})).max.z);
  for (std::size_t i = 0; i < structure.panels.size(); ++i)
    top = std::max(top, world_box(structure, body(PanelId{static_cast<int>(i)})).max.z);
  return top;
}

bool is_of(const Structure& structure, const std::vector<std::string>& patterns) {
  const auto any = [&](const std::string& p) {
    return std::find(patterns.begin(), patterns.end(), p) != patterns.end();
  };
  return any(structure.pattern) ||
         std::any_of(structure.guests.begin(), structure.guests.end(), [&](const Part& g) { return any(g.pattern); });
}

}  // namespace

Result<std::optional<Country>> country_of(const Job& job, const Shelves& shelves) {
  const auto fact =
      std::find_if(job.site.begin(), job.site.end(), [](const SiteFact& f) { return f.name == "country"; });
  if (fact == job.site.end() || !std::holds_alternative<std::string>(fact->value)) return std::nullopt;
  const std::string& name = std::get<std::string>(fact->value);
  const std::vector<std::string> known = names_on_shelf(shelves.patterns, ".toml");
  if (std::find(known.begin(), known.end(), name) == known.end()) return std::nullopt;
  const Result<ShelfFile> file = read_from_shelf(shelves.patterns, name, ".toml", "country");
  if (!file) return tl::make_unexpected(file.error());
  Result<Country> country = parse_country(*file);
  if (!country) return tl::make_unexpected(country.error());
  return *std::move(country);
}

Order in_pattern_words(const Country& country, Order order) {
  const auto word = [&](std::string_view theirs) {
    for (const auto& [ours, said] : country.words)
      if (said == theirs) return ours;
    return std::string(theirs);
  };
  for (GivenFixing& given : order.fixings) given.name = renamed(given.name, word);
  return order;
}

void speak(const Country& country, Built& built) {
  const auto word = [&](std::string_view ours) {
    for (const auto& [name, said] : country.words)
      if (name == ours) return said;
    return std::string(ours);
  };
  Structure& structure = built.structure;
  for (Piece& piece : structure.pieces) piece.name = word(piece.name);
  for (Connection& connection : structure.connections) connection.name = renamed(connection.name, word);
  for (const Country::Custom& custom : country.customs)
    if (is_of(structure, custom.patterns) && height_of(structure) > custom.over_mm)
      built.remarks.push_back(
          {Severity::warning, "ask-locally", structure.name + ": " + custom.words, "ask " + country.ask, {}});
}

}  // namespace garthwright::pattern
