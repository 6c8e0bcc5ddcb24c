// SPDX-License-Identifier: Apache-2.0
#include "pattern/job.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/kept.h"
#include "base/near.h"
#include "base/quoted.h"
#include "base/table_reader.h"
#include "base/underscored.h"
#include "pattern/read_garden.h"
#include "pattern/read_open.h"
#include "pattern/shelves.h"
#include "structure/connecting.h"
#include "timber/market.h"

namespace garthwright::pattern {
namespace {

/// A problem found further down keeps its own place, or takes the place of the key that led there.
void add(Diagnostics& problems, const Diagnostics& more, const Place& where) {
  for (Diagnostic problem : more) {
    if (problem.where.file.empty()) problem.where = where;
    problems.push_back(std::move(problem));
  }
}

std::optional<Points> points_of(const toml::array& array) {
  Points points;
  for (const toml::node& item : array) {
    const toml::array* pair = item.as_array();
    if (!pair || pair->size() != 2) return std::nullopt;
    const std::optional<double> x = pair->get(0)->value<double>(), y = pair->get(1)->value<double>();
    if (!x || !y) return std::nullopt;
    points.push_back({*x, *y});
  }
  return points;
}

std::optional<double> finite_number(const toml::node& node) {
  if (!node.is_integer() && !node.is_floating_point()) return std::nullopt;
  const std::optional<double> number = node.value<double>();
  return number && std::isfinite(*number) ? number : std::nullopt;
}

void read_site(TableReader& root, Job& job) {
  TableReader site = root.table("site");
  for (const std::string& key : site.keys()) {
    const toml::node& node = *site.node(key);
    SiteFact fact{key, 0.0, site.place(key)};
    if (node.is_string()) {
      const std::optional<std::string> text = site.text(key);
      if (!text) continue;
      fact.value = *text;
    } else if (const auto* yes = node.as_boolean())
      fact.value = yes->get();
    else if (const std::optional<double> number = finite_number(node))
      fact.value = *number;
    else {
      site.problem(key, "wrong-type", key + " of the site is neither a number, text, true nor false", "");
      continue;
    }
    job.site.push_back(std::move(fact));
  }
}

void read_saw(TableReader& root, Job& job) {
  TableReader saw = root.table("saw");
  job.saw.kerf_mm = saw.length("kerf", {0, 20}).value_or(job.saw.kerf_mm);
  job.saw.trim_mm = saw.length("trim", {0, 500}).value_or(job.saw.trim_mm);
  job.saw.rip_kerf_mm = saw.length("rip_kerf", {0, 20});
  job.saw.fit_mm = saw.length("fit", {0, 10}).value_or(job.saw.fit_mm);
  if (const auto tool = saw.one_of("curves", {"jigsaw", "bandsaw"}))
    job.saw.curve_tool = *tool == 0 ? CurveTool::jigsaw : CurveTool::bandsaw;
  job.saw.blade_mm = saw.length("blade", {2, 40}).value_or(job.saw.blade_mm);
  saw.finish();
}

/// What was measured holds at every yard that sells it.
void read_measured(TableReader& timber, Job& job, Diagnostics& problems) {
  TableReader measured = timber.table("measured");
  for (const std::string& name : measured.keys()) {
    const auto size = measured.size(name, {1, 10000});
    if (!size) continue;
    bool set = false;
    Diagnostics reasons;
    for (timber::Yard& yard : job.yards) {
      const bool is_panel = timber::find_panel(yard, name).has_value();
      const Result<void> done = is_panel ? timber::set_measured_panel(yard, name, size->first, size->second)
                                         : timber::set_measured_section(yard, name, size->first, size->second);
      set = set || done;
      if (!done && reasons.empty()) reasons = done.error();
    }
    if (!set) add(problems, reasons, measured.place(name));
  }
}

void read_prices_of(TableReader& prices, timber::Yard& yard, Diagnostics& problems) {
  for (const std::string& section : prices.keys()) {
    TableReader lengths = prices.table(section);
    for (const std::string& key : lengths.keys()) {
      const Result<double> length = parse_length(key);
      if (!length) {
        add(problems, length.error(), lengths.place(key));
        continue;
      }
      const std::optional<Money> price = lengths.money(key, yard.currency);
      if (!price) continue;
      const Result<void> set = timber::set_price(yard, section, *length, *price);
      if (!set) add(problems, set.error(), lengths.place(key));
    }
  }
}

/// Of one yard by section; of several by yard, then by section.
void read_prices(TableReader& timber, Job& job, Diagnostics& problems) {
  TableReader prices = timber.table("prices");
  if (job.yards.size() == 1) return read_prices_of(prices, job.yards.front(), problems);
  for (timber::Yard& yard : job.yards) {
    TableReader of_yard = prices.table(yard.name);
    of_yard.call("the prices of " + yard.name);
    read_prices_of(of_yard, yard, problems);
  }
  prices.finish();
}

constexpr std::size_t kMostYards = 6;

/// The names in `catalogue`: a text, or a list of texts.
std::vector<std::string> catalogue_names(TableReader& timber) {
  const toml::node& node = *timber.node("catalogue");
  const toml::array* list = node.as_array();
  if (list == nullptr) {
    const std::optional<std::string> name = timber.text("catalogue");
    return name ? std::vector{*name} : std::vector<std::string>{};
  }
  std::vector<std::string> names;
  for (const toml::node& item : *list) {
    const auto* name = item.as_string();
    const bool twice = name && std::find(names.begin(), names.end(), name->get()) != names.end();
    if (!name || twice) {
      timber.problem("catalogue", twice ? "duplicate" : "wrong-type",
                     twice ? fmt::format("catalogue names {} twice", quoted(name->get()))
                           : "catalogue holds something that is no name",
                     "write catalogue = [\"harrow-lane\", \"lower-mill\"]");
      return {};
    }
    names.push_back(name->get());
  }
  if (names.empty() || names.size() > kMostYards) {
    timber.problem("catalogue", "bad-catalogue", fmt::format("catalogue names {} yards", names.size()),
                   fmt::format("name 1 to {}", kMostYards));
    return {};
  }
  return names;
}

/// Yards that are bought from together take the same money, and are told apart by their names.
void add_yard(timber::Yard yard, Job& job, const Place& where, Diagnostics& problems) {
  for (const timber::Yard& other : job.yards) {
    if (other.currency != yard.currency)
      return add(problems,
                 fail("bad-catalogue",
                      fmt::format("{} takes {} and {} takes {}", other.title, other.currency.code, yard.title,
                                  yard.currency.code),
                      "name yards of one currency")
                     .value(),
                 where);
    if (other.name == yard.name)
      return add(problems,
                 fail("bad-catalogue", fmt::format("two catalogues have the name {}", quoted(yard.name)),
                      "give each catalogue a name of its own")
                     .value(),
                 where);
  }
  job.yards.push_back(std::move(yard));
}

/// Reading a catalogue takes longer than planning an arbor: the last ones read are kept.
Result<timber::Yard> yard_in(const ShelfFile& file) {
  static Kept<timber::Yard> yards(8);
  if (const auto known = yards.find(file.path, file.bytes)) return *known;
  Result<timber::Yard> yard = timber::parse_yard(file.bytes, file.path);
  if (yard) yards.keep(file.path, file.bytes, *yard);
  return yard;
}

void read_timber(TableReader& root, Job& job, const Shelves& shelves, Diagnostics& problems) {
  TableReader timber = root.table("timber");
  if (!timber.has("catalogue"))
    return root.problem("timber", "missing-key", "the job does not say where its timber comes from",
                        "write [timber] and catalogue = \"…\"; there " + list_shelf(shelves.catalogues, ".toml"));
  const std::vector<std::string> names = catalogue_names(timber);
  if (names.empty()) return;
  const Place where = timber.place("catalogue");
  for (const std::string& name : names) {
    const Result<ShelfFile> file = read_from_shelf(shelves.catalogues, name, ".toml", "catalogue");
    if (!file) {
      add(problems, file.error(), where);
      continue;
    }
    Result<timber::Yard> yard = yard_in(*file);
    if (yard)
      add_yard(*std::move(yard), job, where, problems);
    else
      add(problems, yard.error(), where);
  }
  if (job.yards.size() < names.size()) return;
  read_measured(timber, job, problems);
  read_prices(timber, job, problems);
  timber.finish();
  job.yard = job.yards.size() == 1 ? job.yards.front() : timber::market(job.yards, (1u << job.yards.size()) - 1);
}

void read_choices(TableReader& structure, Order& order) {
  TableReader choices = structure.table("choices");
  for (const std::string& key : choices.keys()) {
    const toml::node& node = *choices.node(key);
    GivenChoice choice{key, 0.0, choices.place(key)};
    if (node.is_string()) {
      const std::optional<std::string> text = choices.text(key);
      if (!text) continue;
      choice.value = *text;
    } else if (const auto* yes = node.as_boolean()) {
      choice.value = yes->get();
    } else if (const toml::array* list = node.as_array()) {
      const std::optional<Points> points = points_of(*list);
      if (!points) {
        choices.problem(key, "wrong-type", key + " is a list, but not of points",
                        "write [[0, 1], [0.3, 1], [0.7, 0], [1, 0]]");
        continue;
      }
      choice.value = *points;
    } else if (const std::optional<double> number = finite_number(node)) {
      choice.value = *number;
    } else {
      choices.problem(key, "wrong-type", key + " is neither a number, text, true or false, nor a list of points", "");
      continue;
    }
    order.choices.push_back(std::move(choice));
  }
}

/// Every text must name something the yard sells.
void read_fixings(TableReader& structure, const timber::Yard& yard, Order& order) {
  TableReader fixings = structure.table("fixings");
  std::vector<std::string> known = fixing_words();
  for (const timber::FixingItem& item : yard.fixings) {
    known.push_back(item.name);
    const std::string size(size_name(item.name));
    if (!is_connector(item.kind) && std::find(known.begin(), known.end(), size) == known.end()) known.push_back(size);
  }
  for (const std::string& key : fixings.keys()) {
    const std::optional<std::string> text = fixings.text(key);
    if (!text) continue;
    const FixingText asked = parse_fixing_text(*text);
    if (std::find(known.begin(), known.end(), asked.item) == known.end()) {
      fixings.problem(key, "unknown-fixing", fmt::format("the yard sells no fixing {}", quoted(asked.item)),
                      suggest(asked.item, known) + "; write \"2 x bolt M10x130\", \"2 x bolt M10\" or \"3 x bolt\"");
      continue;
    }
    order.fixings.push_back({key, *text, fixings.place(key)});
  }
}

void read_at(TableReader& structure, Order& order) {
  const toml::node* at = structure.node("at");
  if (!at) return;
  const toml::array* list = at->as_array();
  if (!list || (list->size() != 2 && list->size() != 3))
    return structure.problem("at", "wrong-type", "at should be two or three lengths", "write at = [2000, 0]");
  for (std::size_t i = 0; i < list->size(); ++i) {
    const toml::node& node = *list->get(i);
    std::optional<double> value = finite_number(node);
    if (const auto* text = node.as_string())
      if (const Result<double> length = parse_length(text->get())) value = *length;
    if (!value || std::abs(*value) > 1e6)
      return structure.problem("at", "bad-length", "at holds something that is no length", "write at = [\"2 m\", 0]");
    order.at[static_cast<int>(i)] = *value;
  }
  order.placed = true;
  order.levelled = list->size() == 3;
}

constexpr double kSteepest = 1500;  // mm of fall over one structure
constexpr std::size_t kMostStructures = 500;

void read_structures(TableReader& root, Job& job) {
  std::vector<TableReader> structures = root.tables("structure", Need::required);
  if (structures.size() > kMostStructures)
    return root.problem("structure", "too-large", fmt::format("the job has {} structures", structures.size()),
                        fmt::format("at most {} are planned at once: part it into several jobs", kMostStructures));
  for (TableReader& structure : structures) {
    structure.call("the structure");
    Order order;
    order.where = structure.place();
    order.number = static_cast<int>(job.orders.size());
    order.pattern = structure.text("pattern", Need::required).value_or("");
    order.name = structure.text("name").value_or(order.pattern);
    order.turn_deg = structure.number("turn", {-360, 360}).value_or(0);
    structure.call("structure " + quoted(order.name));
    const auto same_name = [&](const Order& other) { return other.name == order.name; };
    if (std::any_of(job.orders.begin(), job.orders.end(), same_name))
      structure.problem("name", "same-name", fmt::format("two structures are called {}", quoted(order.name)),
                        "give each its own name");
    read_at(structure, order);
    if (structure.has("levels")) {
      TableReader levels = structure.table("levels");
      levels.call("levels of the ground");
      for (const std::string& post : levels.keys())
        if (const auto level = levels.length(post, {-kSteepest, kSteepest}))
          order.levels.push_back(
              {post, Traced::named(fmt::format("ground at {}", post), *level, "levels"), levels.place(post)});
    }
    if (structure.has("shares")) {
      TableReader shares = structure.table("shares");
      shares.call("shared posts");
      for (const std::string& post : shares.keys())
        if (const auto host = shares.text(post)) order.shares.push_back({post, *host, shares.place(post)});
    }
    order.climber = underscored(structure.text("climber").value_or(""));
    order.climber_where = structure.place("climber");
    read_choices(structure, order);
    order.open = read_open(structure);
    if (structure.has("fixings")) read_fixings(structure, job.yard, order);
    structure.finish();
    job.orders.push_back(std::move(order));
  }
}

}  // namespace

Result<Job> parse_job(std::string_view text, const std::string& file, const Shelves& shelves) {
  const Result<toml::table> table = parse_toml(text, file);
  if (!table) return tl::make_unexpected(table.error());
  Diagnostics problems;
  TableReader root(*table, file, "the job", problems);
  Job job;
  job.file = file;
  const std::optional<int> format = root.whole("format", {-1e9, 1e9}, Need::required);
  if (format && *format != 1)
    root.problem("format", "bad-format", fmt::format("job files of format {} are not known", *format),
                 "write format = 1");
  job.title = root.text("title").value_or(Job::kUntitled);
  job.date = root.day("date").value_or("");
  if (root.one_of("units", {"mm", "ft-in"}) == 1) job.style.units = Units::feet_inches;
  if (const std::optional<int> part = root.whole("fraction", {2, 64})) {
    if ((*part & (*part - 1)) != 0)
      root.problem("fraction", "bad-fraction", fmt::format("rules are not divided into {}ths of an inch", *part),
                   "give 8, 16, 32 or 64");
    else
      job.style.fraction = *part;
  }
  read_site(root, job);
  job.ground = read_ground(root);
  job.existing = read_existing(root);
  read_saw(root, job);
  read_timber(root, job, shelves, problems);
  read_structures(root, job);
  root.finish();
  if (has_error(problems)) return tl::make_unexpected(std::move(problems));
  return job;
}

}  // namespace garthwright::pattern
