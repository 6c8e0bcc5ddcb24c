// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>

#include "base/near.h"
#include "base/quoted.h"
#include "cli/choice_groups.h"
#include "cli/command.h"
#include "decide/advice.h"
#include "exchange/write_files.h"
#include "pattern/described.h"
#include "pattern/shelves.h"
#include "timber/yard.h"

namespace garthwright::cli {

namespace {

namespace fs = std::filesystem;
using pattern::ChoiceInfo;
using pattern::PatternInfo;

struct Given {
  std::string pattern, catalogue, save;
  bool feet_inches = false;
};

/// Every catalogue on the shelves that can be read, by file name.
std::vector<std::pair<std::string, timber::Yard>> yards(const pattern::Shelves& shelves) {
  std::vector<fs::path> files;
  for (const std::string& folder : shelves.catalogues) {
    std::error_code none;
    for (const auto& entry : fs::directory_iterator(folder, none))
      if (entry.path().extension() == ".toml") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end(), [](auto& a, auto& b) { return a.filename() < b.filename(); });
  std::vector<std::pair<std::string, timber::Yard>> found;
  for (const fs::path& file : files)
    if (const Result<std::string> text = read_text(file.string()))
      if (const Result<timber::Yard> yard = timber::parse_yard(*text, file.string()))
        found.emplace_back(file.stem().string(), *yard);
  return found;
}

/// The yard that was asked for by name or, without a name, the first that speaks the job's units.
Result<std::pair<std::string, timber::Yard>> choose_yard(const Given& given, const pattern::Shelves& shelves) {
  const char* units = given.feet_inches ? "ft-in" : "mm";
  std::vector<std::string> names;
  for (auto& yard : yards(shelves)) {
    if (given.catalogue.empty() ? yard.second.units == units : yard.first == given.catalogue) return std::move(yard);
    names.push_back(yard.first);
  }
  if (given.catalogue.empty()) return fail("no-catalogue", std::string("no catalogue speaks ") + units);
  return fail("unknown-catalogue", "there is no catalogue " + garthwright::quoted(given.catalogue),
              suggest(given.catalogue, names));
}

std::string remark(const ChoiceInfo& choice) {
  return choice.help + (choice.range.empty() ? "" : " (" + choice.range + ")");
}

/// A value as TOML has it: numbers and yes or no bare, all else in quotes.
std::string toml_value(const std::string& text) {
  if (text == "true" || text == "false") return text;
  if (!text.empty() && text.find_first_not_of("0123456789.-") == std::string::npos) return text;
  if (text.find('\'') == std::string::npos) return "'" + text + "'";
  std::string escaped;
  for (const char c : text) escaped += (c == '"' || c == '\\' ? "\\" : "") + std::string(1, c);
  return '"' + escaped + '"';
}

/// Choices with a default stand behind a #, so that the job follows when the yard or the pattern changes.
std::string choice_lines(const PatternInfo& info) {
  std::string text;
  std::vector<std::pair<const ChoiceInfo*, const std::string*>> in_order;  // with the group that it begins
  const auto groups = in_groups(info.choices);
  for (const auto& [group, choices] : groups)
    for (const ChoiceInfo* choice : choices)
      in_order.emplace_back(choice, choice == choices.front() ? &group : nullptr);
  for (const auto& [at, group] : in_order) {
    const ChoiceInfo& choice = *at;
    if (group != nullptr && !group->empty()) text += fmt::format("\n# -- {}\n", *group);
    if (choice.fallback.empty() && (choice.worked_out || choice.optional)) {
      text += fmt::format("# {} ({}): {}\n", choice.name,
                          choice.worked_out ? "worked out unless given" : "may be left out", remark(choice));
      continue;
    }
    const bool needed = choice.fallback.empty();
    text +=
        fmt::format("# {}\n{}{} = {}\n", remark(choice), needed ? "" : "# ", choice.name, toml_value(choice.fallback));
  }
  return text;
}

/// A size a saw mill's timber may well have beside its nominal one: two millimetres less each way.
std::string measured_sample(const timber::Yard& yard) {
  const auto post = std::find_if(yard.sections.begin(), yard.sections.end(),
                                 [](const timber::Section& s) { return s.thickness_mm >= 60; });
  if (post == yard.sections.end()) return "# \"4x4\" = '98 x 98'\n";
  return fmt::format("# \"{}\" = '{:.0f} x {:.0f}'\n", post->name, post->thickness_mm - 2, post->width_mm - 2);
}

std::string site_sample(bool feet_inches) {
  return fmt::format(
      "# What is known of the garden; the plan says what it takes for the rest (docs/job-file.md):\n"
      "# [site]\n"
      "# wind_speed = {}  # {}\n"
      "# exposure = \"average\"  # sheltered, average, open or coast\n"
      "# soil = \"sand\"\n"
      "# climber = \"honeysuckle\"  # or \"none\"\n\n"
      "# Where the ground is not level, its height below or above 0 at some points (x, y, level):\n"
      "# [ground]\n"
      "# points = [{}]\n\n",
      feet_inches ? "115" : "24", feet_inches ? "mph, V of ASCE 7" : "m/s, v_b of EN 1991-1-4",
      feet_inches ? "[0, 0, 0], [\"12 ft\", 0, \"-6 in\"]" : "[0, 0, 0], [3600, 0, -150]");
}

std::string job_text(const PatternInfo& info, const std::string& yard_name, const timber::Yard& yard,
                     bool feet_inches) {
  return fmt::format(
      "# A job for garthwright: {}\n"
      "# Lengths may be written 1150, '1.15 m', '3 ft 9 1/4 in' or '45 1/4\"'; bare numbers are mm.\n"
      "format = 1\n"
      "title = \"{}\"\n"
      "units = \"{}\"\n\n"
      "{}"
      "[saw]\n"
      "kerf = 3\n"
      "trim = 10\n\n"
      "[timber]\n"
      "catalogue = \"{}\"  # {}\n"
      "# Sizes measured at the yard beat the catalogue's:\n"
      "# [timber.measured]\n"
      "{}\n"
      "[[structure]]\n"
      "name = \"{}\"\n"
      "pattern = \"{}\"\n\n"
      "[structure.choices]\n"
      "{}",
      info.title, info.title, feet_inches ? "ft-in" : "mm", site_sample(feet_inches), yard_name, yard.title,
      measured_sample(yard), info.name, info.name, choice_lines(info));
}

/// With fixings by the forces in it, where the pattern's first do not carry and nothing else fails; the text as it is
/// where what has no default must be filled in first.
std::string with_fixings_that_carry(const std::string& text, const pattern::Shelves& shelves) {
  constexpr double kSeconds = 10;
  const Result<pattern::Job> job = pattern::parse_job(text, "job.toml", shelves);
  if (!job) return text;
  decide::Way way;
  way.fixings = decide::fixings_by_forces(*job, shelves, kSeconds);
  return way.fixings.empty() ? text : decide::taken_text(text, "job.toml", way).value_or(text);
}

/// Never writes over a file: a job holds a person's work.
Status save(const std::string& path, const std::string& text) {
  std::error_code none;
  if (fs::exists(path, none))
    return wrong(
        fail("exists", "the file is there already", "give another name, or take it away first", {path, 0, 0, {}})
            .value());
  const fs::path target(path);
  const Result<void> written = exchange::write_all(target.has_parent_path() ? target.parent_path().string() : ".",
                                                   {{target.filename().string(), text}});
  if (written) return kDone;
  print(written.error());
  return kMachineFailed;
}

Status make_new(const Given& given) {
  const pattern::Shelves shelves = shelves_for("-");
  const auto yard = choose_yard(given, shelves);
  if (!yard) return wrong(yard.error());
  const LengthStyle style{.units = given.feet_inches ? Units::feet_inches : Units::mm};
  Diagnostics problems;
  const std::vector<std::string> known = pattern::names_on_shelf(shelves.patterns, ".lua");
  if (std::find(known.begin(), known.end(), given.pattern) == known.end())
    return wrong(fail("unknown-pattern", "there is no pattern " + garthwright::quoted(given.pattern),
                      suggest(given.pattern, known))
                     .value());
  const auto infos = pattern::describe_patterns({given.pattern}, shelves, &yard->second, style, problems);
  if (infos.empty()) return wrong(problems);
  const std::string text =
      with_fixings_that_carry(job_text(infos.front(), yard->first, yard->second, given.feet_inches), shelves);
  return given.save.empty() ? write_out(text) : save(given.save, text);
}

}  // namespace

void add_new(CommandLine& words) {
  auto given = std::make_shared<Given>();
  Command command = words.add("new", "Begin a job file, with every choice of a pattern explained");
  command.argument("PATTERN", given->pattern, "pattern to build from; `garthwright patterns` lists them");
  command.option("--save", "FILE", given->save, "write to this file (which must not exist) instead of standard output");
  command.option("--catalogue", "NAME", given->catalogue,
                 "timber yard to buy from (else the first that fits the units)");
  command.flag("--ft-in", given->feet_inches, "feet and inches instead of millimetres");
  command.note("Example: garthwright new arbor --save garden.toml");
  command.runs([given] { return make_new(*given); });
}

}  // namespace garthwright::cli
