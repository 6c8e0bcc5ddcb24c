// SPDX-License-Identifier: Apache-2.0
#include "server/shelf_answers.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "base/near.h"
#include "exchange/json_values.h"
#include "marking/blades.h"
#include "pattern/shelves.h"
#include "plan/plan.h"
#include "plan/read_site.h"
#include "server/embedded.h"
#include "solid/solid.h"
#include "timber/yard.h"

namespace garthwright::server {
namespace {

using exchange::Json;
using exchange::rounded;

std::string text_of(const Json& json) { return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n"; }

/// The catalogues that can be read; other TOML files on the shelf are no yards.
std::vector<std::pair<std::string, timber::Yard>> all_yards(const pattern::Shelves& shelves) {
  std::vector<std::pair<std::string, timber::Yard>> yards;
  for (const std::string& name : pattern::names_on_shelf(shelves.catalogues, ".toml"))
    if (const Result<pattern::ShelfFile> file =
            pattern::read_from_shelf(shelves.catalogues, name, ".toml", "catalogue"))
      if (Result<timber::Yard> yard = timber::parse_yard(file->bytes, file->path))
        yards.emplace_back(name, *std::move(yard));
  return yards;
}

// ---- examples -------------------------------------------------------------------------------------------------------

struct Example {
  std::string name;
  std::string_view text;
  pattern::Job job;
};

std::vector<Example> all_examples(const pattern::Shelves& shelves) {
  std::vector<Example> examples;
  for (const EmbeddedFile& file : example_files()) {
    const std::string name(file.name.substr(0, file.name.rfind('.')));
    if (Result<pattern::Job> job = pattern::parse_job(file.bytes, std::string(file.name), shelves);
        job && !job->orders.empty())
      examples.push_back({name, file.bytes, *std::move(job)});
  }
  return examples;
}

/// An isometric drawing of the visible edges. One line weight that does not grow with the picture; the ink is the
/// text's colour around it.
std::string picture_svg(const Structure& structure) {
  const solid::Solids solids(structure);
  std::string path;
  double left = 1e9, right = -1e9, low = 1e9, high = -1e9;
  for (const solid::Line& line : solids.project(solid::isometric_view(), false)) {
    for (std::size_t i = 0; i < line.points.size(); ++i) {
      const auto& [x, y] = line.points[i];
      path += fmt::format("{}{:.0f} {:.0f}", i == 0 ? 'M' : 'L', x, -y);
      left = std::min(left, x), right = std::max(right, x), low = std::min(low, y), high = std::max(high, y);
    }
  }
  const double margin = 0.03 * std::max(right - left, high - low);
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{:.0f} {:.0f} {:.0f} {:.0f}\"><path d=\"{}\" fill=\"none\" "
      "stroke=\"currentColor\" stroke-width=\"1\" stroke-linejoin=\"round\" "
      "vector-effect=\"non-scaling-stroke\"/></svg>",
      left - margin, -high - margin, right - left + 2 * margin, high - low + 2 * margin, path);
}

std::optional<std::string> picture_of(const Example& example, const pattern::Shelves& shelves) {
  int letter = 0;
  const Result<pattern::Built> built = pattern::build(example.job, example.job.orders.front(), shelves, 0, letter);
  if (!built) return std::nullopt;
  return picture_svg(built->structure);
}

// ---- as JSON --------------------------------------------------------------------------------------------------------

Json choice_json(const pattern::ChoiceInfo& info) {
  Json entry = {{"name", info.name}, {"kind", info.unit}, {"group", info.group}, {"help", info.help}};
  if (info.unit == "length") entry["unit"] = "mm";
  if (info.unit == "length" || info.unit == "count" || info.unit == "number") {
    entry["min"] = rounded(info.least);
    entry["max"] = rounded(info.most);
  }
  entry["default"] = info.fallback;
  if (info.fallback_value) entry["default_value"] = rounded(*info.fallback_value);
  entry["worked_out"] = info.worked_out;
  entry["optional"] = info.optional;
  entry["range"] = info.range;
  if (!info.options.empty()) entry["options"] = info.options;
  if (!info.role.empty()) entry["role"] = info.role;
  return entry;
}

Json lengths_json(const timber::Section& section) {
  Json lengths = Json::array();
  for (const timber::YardLength& length : section.lengths) {
    Json& entry = lengths.emplace_back(Json{{"length_mm", rounded(length.length_mm)}});
    if (length.singly) entry["price_minor"] = length.price.minor;
    if (length.limit) entry["limit"] = *length.limit;
    for (const timber::Pack& bundle : length.bundles)
      entry["bundles"].push_back({{"count", bundle.count}, {"price_minor", bundle.price.minor}});
  }
  return lengths;
}

Json yard_json(const std::string& name, const timber::Yard& yard) {
  LengthStyle style{.units = yard.units == "ft-in" ? Units::feet_inches : Units::mm, .symbol = false};
  const char* unit = style.units == Units::mm ? " mm" : "";
  Json sections = Json::array(), panels = Json::array(), usual = Json::object();
  for (const timber::Section& section : yard.sections)
    sections.push_back({{"name", section.name},
                        {"width_mm", rounded(section.width_mm)},
                        {"thickness_mm", rounded(section.thickness_mm)},
                        {"text", fmt::format("{} × {}{}", format_length(section.thickness_mm, style),
                                             format_length(section.width_mm, style), unit)},
                        {"species", section.species},
                        {"strength_class", section.strength_class},
                        {"treatment", section.treatment},
                        {"lengths", lengths_json(section)}});
  for (const timber::PanelItem& panel : yard.panels)
    panels.push_back({{"name", panel.name},
                      {"width_mm", rounded(panel.width_mm)},
                      {"height_mm", rounded(panel.height_mm)},
                      {"thickness_mm", rounded(panel.thickness_mm)},
                      {"mass_kg", rounded(panel.mass_kg)},
                      {"price_minor", panel.price.minor}});
  for (const auto& [role, item] : yard.defaults) usual[role] = item;
  return {{"name", name},
          {"title", yard.title},
          {"note", yard.note},
          {"currency", yard.currency.code},
          {"minor_digits", yard.currency.minor_digits},
          {"price_date", yard.price_date},
          {"units", yard.units},
          {"sections", std::move(sections)},
          {"panels", std::move(panels)},
          {"usual", std::move(usual)}};
}

}  // namespace

Result<std::string> patterns_json(const pattern::Shelves& shelves, LengthStyle style, const std::string& yard) {
  const auto yards = all_yards(shelves);
  const auto at = std::find_if(yards.begin(), yards.end(), [&](const auto& one) { return one.first == yard; });
  if (!yard.empty() && at == yards.end()) {
    std::vector<std::string> names;
    for (const auto& one : yards) names.push_back(one.first);
    return fail("unknown-catalogue", fmt::format("there is no catalogue \"{}\"", yard), suggest(yard, names));
  }
  const std::vector<Example> examples = all_examples(shelves);
  Json list = Json::array();
  Diagnostics broken;  // a pattern that cannot be read is not offered
  for (const pattern::PatternInfo& info :
       pattern::list_patterns(shelves, at == yards.end() ? nullptr : &at->second, style, broken)) {
    Json entry = {{"name", info.name}, {"title", info.title}, {"help", info.help}};
    const auto example = std::find_if(examples.begin(), examples.end(),
                                      [&](const Example& one) { return one.job.orders.front().pattern == info.name; });
    if (example != examples.end()) {
      if (const std::optional<std::string> picture = picture_of(*example, shelves)) entry["picture"] = *picture;
      entry["example"] = example->name;
    }
    Json choices = Json::array();
    for (const pattern::ChoiceInfo& choice : info.choices) choices.push_back(choice_json(choice));
    entry["choices"] = std::move(choices);
    list.push_back(std::move(entry));
  }
  return text_of(list);
}

std::string yards_json(const pattern::Shelves& shelves) {
  Json list = Json::array();
  for (const auto& [name, yard] : all_yards(shelves)) list.push_back(yard_json(name, yard));
  return text_of(list);
}

std::string blades_json() {
  Json list = Json::array();
  for (const marking::Blade& blade : marking::blades()) {
    list.push_back({{"tool", blade.tool == CurveTool::bandsaw ? "bandsaw" : "jigsaw"},
                    {"width_mm", rounded(blade.width_mm)},
                    {"inches", blade.inches},
                    {"least_radius_mm", rounded(marking::least_radius(blade, 0))},
                    {"least_radius_thick_mm", rounded(marking::least_radius(blade, marking::kThickFrom))}});
    // What is fit for any timber has no limit to tell.
    if (blade.most_thickness_mm < 1e9) list.back()["most_thickness_mm"] = rounded(blade.most_thickness_mm);
  }
  return text_of({{"thick_from_mm", rounded(marking::kThickFrom)}, {"blades", std::move(list)}});
}

std::string site_json() {
  Json routes = Json::object();
  for (const auto& [name, route] : {std::pair{"EN", Site::Route::en}, std::pair{"US", Site::Route::us}}) {
    Json questions = Json::array();
    for (const SiteQuestion& each : site_questions(route)) {
      Json& entry = questions.emplace_back(Json{{"name", each.name}});
      if (each.words.empty()) {
        entry.update({{"unit", each.unit}, {"min", rounded(each.least)}, {"max", rounded(each.most)}});
        // What was not measured is not taken to be anything.
        if (each.usual >= each.least) entry["default_value"] = rounded(each.usual);
      } else {
        entry["options"] = each.words;
        if (!each.usual_word.empty()) entry["default"] = each.usual_word;
      }
    }
    routes[name] = std::move(questions);
  }
  return text_of(routes);
}

std::string examples_json(const pattern::Shelves& shelves) {
  Json list = Json::array();
  for (const Example& example : all_examples(shelves))
    list.push_back({{"name", example.name},
                    {"title", example.job.title},
                    {"pattern", example.job.orders.front().pattern},
                    {"job", std::string(example.text)}});
  return text_of(list);
}

}  // namespace garthwright::server
